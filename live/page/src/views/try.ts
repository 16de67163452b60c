// Try: tap the wheels in the order in which you would open them.
import { html } from "lit-html";
import type { View } from "../app.ts";
import { map } from "../map.ts";

export const tryView: View = {
  word: "try",
  name: "Try",
  short: "Try",
  draw(app) {
    if (!app.car) return html`<p>Nothing to open yet.</p>`;
    const run = app.run();
    if (!("ok" in run)) return html`<p>${"error" in run ? run.error : ""}</p>`;
    return html`<h1>${run.ok.record.totals.new_fluid_ml.toFixed(0)} mL</h1>${map(app.car, run.ok.moments.at(-1)!)}`;
  },
};
