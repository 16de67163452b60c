// What the job has come to so far, or at its end, beside the program's own job.
import { html, nothing, type TemplateResult } from "lit-html";
import type { Run } from "../../asked.ts";
import { ounces } from "../../units.ts";
import type { Hand } from "./hand.ts";
import { minutes, percentOf, whole } from "./words.ts";

type Record = Run["record"];

const used = (r: Record): number => r.totals.drained_ml + r.totals.removed_ml;

const byHand = (hand: Hand, bleeder: string): boolean =>
  hand.closed.every((c) => c.opening.bleeder !== bleeder || c.opening.closed_by === "hand");

/** Drained there, however often it was opened. */
const ofBleeder = (record: Record, bleeder: string): number =>
  record.openings.filter((o) => o.bleeder === bleeder).reduce((sum, o) => sum + o.drained_ml, 0);

export function sum(hand: Hand): TemplateResult | typeof nothing {
  const { record, own } = hand;
  if (!record) return nothing;
  const ended = hand.done || hand.dry;
  const beside = ended ? own : undefined;
  const row = (what: string, of: (r: Record) => TemplateResult | string, kind = "") => html`<tr class=${kind}>
    <th scope="row">${what}</th><td>${of(record)}</td>${beside ? html`<td>${of(beside)}</td>` : nothing}</tr>`;
  const opened = new Set(hand.closed.map((c) => c.opening.bleeder));
  const wheels = hand.bleeders.filter((b) => opened.has(b));
  return html`<section class="sum">
    <h2>${ended ? "Your job" : `So far: ${opened.size} of ${hand.bleeders.length} opened`}</h2>
    <table>
      <thead><tr><td></td><th scope="col">you</th>${beside ? html`<th scope="col">the program’s own job</th>` : nothing}</tr></thead>
      <tbody>
        ${row("fluid used", (r) => html`<b>${whole(used(r))}</b> mL${ounces(used(r))}`)}
        ${row("old fluid left", (r) => html`<b>${percentOf(r.left.old_fraction)}</b>, <data class=${r === record ? "old-left" : "own-left"} value=${r.left.old_ml}>${whole(r.left.old_ml)}</data> mL${ounces(r.left.old_ml)}`)}
        ${row("bleeder open", (r) => html`${minutes(r.totals.flow_seconds)} min`)}
        ${wheels.map((b) => html`<tr class="wheel"><th scope="row"><bdi title=${b}>${b}</bdi></th><td class=${byHand(hand, b) ? "yours" : "stop"}>${whole(ofBleeder(record, b))} mL</td>${beside ? html`<td>${whole(ofBleeder(beside, b))} mL</td>` : nothing}</tr>`)}
      </tbody>
    </table>
    <p class="about">Fluid used is what ran out at the bleeders and what a syringe took. ${beside ? "The program’s own job closes by the scenario’s rule, in the scenario’s order or the one you tapped in Try." : nothing}</p>
  </section>`;
}
