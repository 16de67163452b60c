// Beside the questions: the car before the job, how sure its figures are, what is worth finding out.
import { html, nothing, svg, type TemplateResult } from "lit-html";
import type { App } from "../../app.ts";
import type { Car, Run } from "../../asked.ts";
import type { Answer } from "../../core.ts";
import { map } from "../../map.ts";
import type { State } from "./state.ts";
import type { Sure, Worth } from "./told.ts";

/** A share in what is uncertain below which nothing is worth a look. */
const WORTH = 0.05;

/** Whether there is room for the car lying. */
export const wide = matchMedia("(min-width: 1240px)");

/** The job of the car as it stands in its text. */
let held: { car: Car; run: Answer<Run> } | undefined;

export function beside(app: App, state: State): TemplateResult | typeof nothing {
  if (!app.own) return nothing;
  if (held?.car !== app.own) held = { car: app.own, run: app.run({}) };
  const { run } = held;
  const before = "ok" in run ? run.ok.moments[0] : undefined;
  return html`
    <section><h2>What we take it to hold, before the job</h2>
      ${before ? map(app.own, before, { landscape: wide.matches, caption: "The car before the job" }) : html`<p class="wrong">${"error" in run ? run.error : ""}</p>`}</section>
    ${sure(state)}`;
}

function sure({ sure: told }: State): TemplateResult | typeof nothing {
  if (!told) return nothing;
  const waiting = told === "asked";
  const answer = waiting || !("ok" in told) ? undefined : told.ok;
  if (answer) last = answer;
  if (!waiting && !answer) return html`<section><h2>How sure</h2><p>${"error" in told ? told.error : "It can’t be told of this text."}</p></section>`;
  const shown = answer ?? last;
  if (!shown?.in_all) return html`<section><h2>How sure: eight jobs in ten lie in the bar</h2><p class="soft">Drawing 100 cars as this one may be.</p></section>`;
  const of = shown.in_all;
  return html`<section class="sure" aria-busy=${waiting}><h2>How sure: eight jobs in ten lie in the bar</h2>
      <dl>${bar("Drained at the bleeders", "mL", [of.drained_ml_p10, of.drained_ml_p50, of.drained_ml_p90], 1)}
      ${bar("Old fluid left", "mL", [of.left_old_ml_p10, of.left_old_ml_p50, of.left_old_ml_p90], 1)}
      ${bar("Time in the bay", "min", [of.bay_seconds_p10, of.bay_seconds_p50, of.bay_seconds_p90], 60)}</dl>
      <p class="soft">${waiting ? "Drawing 100 cars as this one may be." : `${shown.draws} cars drawn as this one may be${shown.default_spreads ? ", with usual spreads where its text has none" : ""}. The thick stroke: half of them need no more.`}</p></section>
    ${worth(shown.worth)}`;
}

/** Shown while the next is drawn, so that nothing jumps. */
let last: Sure | undefined;

function bar(name: string, unit: string, values: (number | null)[], by: number): TemplateResult {
  const [low, middle, high] = values.map((v) => (v === null ? null : v / by));
  if (low == null || middle == null) return html`<div><dt>${name}</dt><dd>can’t be told</dd></div>`;
  // One that has no upper end never ran clean in one job of ten.
  const end = round(Math.max(high ?? middle * 2, 1e-9));
  const x = (v: number) => (200 * v) / end;
  const to = high == null ? 200 : x(high);
  return html`<div><dt>${name}</dt>
    <dd class="scale" aria-hidden="true"><svg viewBox="-2 0 204 24" preserveAspectRatio="none">${svg`<path class="axis" d="M0 7v10M0 12H200"/><rect x=${x(low)} y="3" width=${Math.max(1.5, to - x(low))} height="18" rx="2"/><path class="middle" d="M${x(middle)} 1v22"/>`}</svg><small>${end}</small></dd>
    <dd class="figure"><strong>${figure(low)} to ${high == null ? "no end" : figure(high)}</strong> ${unit}</dd></div>`;
}

const figure = (v: number): string => (v > 0 && v < 1 ? "<1" : v.toFixed(0));

/** The end of a scale: the next 1, 2, 4, 6 or 8 times a power of ten. */
function round(most: number): number {
  const ten = 10 ** Math.floor(Math.log10(most));
  return (([1, 2, 4, 6, 8].find((n) => n * ten >= most * 1.02) ?? 10) * Math.max(ten, 1e-3)) || 1;
}

function worth(all: Worth[]): TemplateResult | typeof nothing {
  if (!all.length) return nothing;
  const most = (w: Worth) => Math.max(w.share_of_drained, w.share_of_old_left);
  const some = all.filter((w) => most(w) >= WORTH).slice(0, 3);
  const percent = (share: number) => (share < 0.01 ? "<1 %" : `${Math.round(100 * share)} %`);
  return html`<section class="worth"><h2>Worth finding out</h2>
    ${some.length
      ? html`<ul>${some.map((w) => html`<li><strong><bdi>${w.quantity}</bdi></strong> makes ${percent(w.share_of_drained)} of the spread of what is drained, ${percent(w.share_of_old_left)} of that of old fluid left.</li>`)}</ul>
        <p class="soft">${all.length - some.length} more guesses make less.</p>`
      : html`<p>No single guess makes a twentieth of the spread.</p>`}</section>`;
}
