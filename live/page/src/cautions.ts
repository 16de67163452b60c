// What somebody must know who does at a car what the page shows.
import { html } from "lit-html";

export const cautions = html`<footer class="cautions">
  <h2>Before you do this at a car</h2>
  <ul>
    <li>Brakes that fail kill. The maker’s service instructions, local rules and a qualified technician come before anything here: this is a model.</li>
    <li>Set the vehicle on stands, never on a jack alone.</li>
    <li>Brake fluid harms eyes, skin and paint. Old fluid is hazardous waste.</li>
    <li>Stay below the maker’s limit for pressure in the reservoir.</li>
    <li>Try the pedal, and look for leaks, before anyone drives.</li>
  </ul>
</footer>`;
