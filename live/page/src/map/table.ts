// The map's figures in words, for those who do not see it.
import { html, type TemplateResult } from "lit-html";
import type { Car, Moment } from "../asked.ts";
import { percent } from "./fluid.ts";

export function meanOf(cells: readonly number[] | undefined): number {
  return cells?.length ? cells.reduce((a, b) => a + b, 0) / cells.length : 0;
}

export function table(car: Car, moment: Moment): TemplateResult {
  const row = (part: number) => {
    const p = car.parts[part]!;
    const name = p.part.includes(p.kind) ? p.part : `${p.part}, ${p.kind}`;
    return html`<tr><th scope="row"><bdi>${name}</bdi></th><td>${(moment.volume_ml[part] ?? 0).toFixed(1)}</td><td>${percent(meanOf(moment.old[part]))}</td></tr>`;
  };
  const parts = car.map.shapes.map((s) => s.part).sort((a, b) => a - b);
  return html`<div class="unseen"><table><caption>What lies where</caption>
    <thead><tr><th scope="col">Part</th><th scope="col">Fluid, mL</th><th scope="col">Old, %</th></tr></thead>
    <tbody>${parts.map(row)}</tbody></table></div>`;
}
