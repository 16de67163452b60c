// What decides: each thing from one end of what is usual to the other, in the same millilitres; zero is the job.
import { html, nothing, type TemplateResult } from "lit-html";
import type { Car } from "../../asked.ts";
import { inUnits } from "../../units.ts";
import { each } from "../../words.ts";
import type { Decides, End, Lever } from "./asked.ts";
import { range, whole } from "./words.ts";

export interface Bar {
  name: string;
  about: string;
  /** More than the job, mL. */
  least: number;
  most: number;
  /** What it is at the bleeders alone, if a syringe takes some, and how much that takes. */
  gross: number | undefined;
  taken?: number;
}

const ORDER = "order of the bleeders";
const SYRINGE = "emptying the reservoir by syringe";
const NAMES = new Map([
  [ORDER, "Order"],
  [SYRINGE, "Syringe first"],
  ["what the eye accepts", "Your eye"],
  ["level of the reservoir", "Level at start"],
  ["wear of the pads", "Pad wear"],
  ["temperature", "Temperature"],
  ["gauge pressure", "Gauge"],
  ["bores and lengths of the lines", "Lines"],
  ["supply", "Supply"],
]);
const AS_IT_IS = "as it is";

/** Those that move little first. */
export function bars(decides: Decides): Bar[] {
  const all = decides.levers.map((lever) => bar(lever, decides));
  return all.sort((a, b) => a.most - a.least - (b.most - b.least));
}

function bar(lever: Lever, { own, counted, order }: Decides): Bar {
  const [from, to] = counted ? [lever.cleanest, lever.dirtiest] : [lever.least, lever.most];
  const of = (end: End) => (counted ? end.old_left_ml - own.old_left_ml : end.gone_ml - own.gone_ml);
  const bar: Bar = { name: NAMES.get(lever.what) ?? lever.what, about: ends(from, to), least: of(from), most: of(to), gross: undefined };
  if (lever.what === ORDER && order) bar.about = order.every_order ? `all ${order.tried}, equally clean` : `${order.tried} tried, equally clean`;
  if (lever.what === SYRINGE) {
    const other = from.at === AS_IT_IS ? to : from;
    // What it takes more, or less where it is the job that is syringed.
    const more = other.removed_ml - own.removed_ml;
    if (more < 0) bar.name = "Not syringed";
    if (!counted) {
      bar.taken = Math.abs(more);
      bar.gross = of(other) - more;
      bar.about = more < 0 ? "reservoir as found" : `its ${whole(more)} mL counted in`;
    }
  }
  return bar;
}

function ends(from: End, to: End): string {
  const at = [from.at, to.at].filter((text) => text !== AS_IT_IS);
  return at.length ? inUnits(at.join(" to ")) : "no difference";
}

/** Round figures on both sides of zero, and the ends of the axis. */
export function axis(bars: readonly Bar[]): { from: number; to: number; marks: number[] } {
  const all = bars.flatMap((b) => [b.least, b.most, b.gross ?? 0]);
  const [least, most] = [Math.min(-1, ...all), Math.max(1, ...all)];
  const step = each(most - least);
  const marks: number[] = [];
  for (let mark = Math.ceil(least / step) * step; mark <= most; mark += step) if (mark !== 0) marks.push(mark);
  const room = 0.03 * (most - least);
  return { from: least - room, to: most + room, marks };
}

/** Of more than this the smallest are shown when asked for; the order always. */
const FEW = 5;

export interface Shown {
  late: boolean;
  /** What zero is. */
  zero: string;
  trying: string;
  all: boolean;
  toggle(): void;
}

/** As many bleeders, or pairs of them, as every order is tried of; of more some are. */
const MOST_WHEELS = 6;

/** What is being tried; `progress` says how far it is. */
export function trying({ opened_together: { length: wheels } }: Car, progress: string): string {
  if (wheels < 2) return `Trying what decides${progress}`;
  let orders = 1;
  for (let n = 2; n <= wheels; n++) orders *= n;
  return `Trying ${wheels > MOST_WHEELS ? "some" : orders} orders and what else decides${progress}`;
}

function dashed(bars: readonly Bar[]): string {
  const taken = bars.find((b) => b.taken)?.taken;
  return taken ? `Dashed: without the syringe’s ${whole(taken)} mL` : "";
}

export function drawn(decides: Decides, { late, zero, trying, all, toggle }: Shown): TemplateResult {
  const every = bars(decides);
  const large = every.slice(-FEW + 1);
  const few = every.filter((b) => b.name === NAMES.get(ORDER) || large.includes(b));
  const chosen = all || every.length <= FEW ? every : few;
  const { from, to, marks } = axis(every);
  const at = (ml: number) => `${((100 * (ml - from)) / (to - from)).toFixed(2)}%`;
  const span = (a: number, b: number) => `left:${at(Math.min(a, b))};width:${((100 * Math.abs(b - a)) / (to - from)).toFixed(2)}%`;
  const grid = (mark: number) => html`<i class="mark" style="left:${at(mark)}"></i>`;
  const row = (b: Bar) => html`<li>
    <span class="of"><b>${b.name}</b> <span class="about"><bdi>${b.about}</bdi></span></span>
    <span class="track" aria-hidden="true">${marks.map(grid)}<i class="zero" style="left:${at(0)}"></i>
      ${b.gross === undefined ? nothing : html`<i class="gross" style=${span(b.gross, 0)}></i>`}
      <i class="net" style=${span(b.least, b.most)}></i></span>
    <span class="ml">${range(b.least, b.most)}<span class="unseen"> mL</span></span>
  </li>`;
  const tick = (ml: number, text: string) => html`<span class=${Math.abs(ml) / (to - from) < 0.3 ? "tick close" : "tick"} style="left:${at(ml)}">${text}</span>`;
  const word = (mark: number) => tick(mark, (mark < 0 ? "−" : "+") + Math.abs(mark));
  const clear = (mark: number) => Math.abs(mark) / (to - from) > 0.16;
  return html`<ul class=${late ? "bars late" : "bars"}>${chosen.map(row)}</ul>
    <p class="axis" aria-hidden="true"><span class="track">${marks.filter(clear).map(word)}<span class="tick" style="left:${at(0)}">${zero}</span></span><span class="ml">mL</span></p>
    <p class="below">${every.length > chosen.length || all ? html`<button type="button" class="plain" aria-expanded=${all} @click=${toggle}>${all ? "Show fewer" : `Show all ${every.length}`}</button>` : nothing}
      <span class="about">${late ? trying : dashed(chosen)}</span></p>
    ${decides.stopped.length ? html`<p class="about">Ends before it is done: <bdi>${decides.stopped.join("; ")}</bdi></p>` : nothing}`;
}
