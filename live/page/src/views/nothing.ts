// What a view shows as long as there is no car.
import { html, nothing, type TemplateResult } from "lit-html";
import type { App } from "../app.ts";

export function nothingYet(app: App): TemplateResult {
  const car = app.views.find((v) => v.word === "car")!;
  return html`<h1>Nothing to open yet.</h1>${app.wrong ? html`<p>The scenario has mistakes: the view Car shows them.</p>` : nothing}
    <p>Answer one question, “What is it?”, and the page can guess the rest.</p>
    <button type="button" class="chief" @click=${() => app.show(car)}>What is it?</button>`;
}
