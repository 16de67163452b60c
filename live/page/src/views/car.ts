// Car.
import { html } from "lit-html";
import type { View } from "../app.ts";

export const carView: View = { word: "car", name: "Car", short: "Car", draw: () => html`<p>Car</p>` };
