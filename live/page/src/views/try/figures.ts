// Three figures of a job, those of the pinned job beneath.
import { html, nothing, type TemplateResult } from "lit-html";
import type { Run } from "../../asked.ts";
import { ounces } from "../../units.ts";
import { clock, percent, used, whole } from "./words.ts";

interface Figure {
  what: string;
  figure: string;
  unit: string;
}

function of(run: Run): Figure[] {
  const { left, totals } = run.record;
  const open = clock(totals.flow_seconds);
  return [
    { what: "fluid used", figure: whole(used(run)), unit: `mL${ounces(used(run))}` },
    { what: "old fluid left", figure: percent(left.old_fraction), unit: "% of all" },
    { what: "bleeder open", figure: open.figure, unit: open.unit },
  ];
}

/** `run` is nothing as long as nothing has been opened. */
export function figures(run: Run | undefined, whole: boolean, pin: Run | undefined): TemplateResult {
  const pinned = pin && of(pin);
  const none = ["fluid used", "old fluid left", "bleeder open"].map((what) => ({ what, figure: "–", unit: "" }));
  const one = ({ what, figure, unit }: Figure, i: number) => html`<div>
    <dt>${what}${run && !whole && i !== 1 ? " so far" : ""}</dt>
    <dd><b>${figure}</b> <span class="unit">${unit}</span></dd>
    ${pinned ? html`<dd class="pinned"><span>pinned ${pinned[i]!.figure}<span class="unseen"> ${pinned[i]!.unit}</span></span></dd>` : nothing}
  </div>`;
  return html`<dl class="figures">${(run ? of(run) : none).map(one)}</dl>`;
}
