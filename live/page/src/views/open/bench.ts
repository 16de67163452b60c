// What is seen at the bleeder: clear hose, bottle, gauge, and the counters beside them.
import { html, nothing, svg, type TemplateResult } from "lit-html";
import { isUs } from "../../units.ts";
import { hatching } from "../../map/fluid.ts";
import { filled } from "./fluid.ts";
import type { Hand } from "./hand.ts";
import { minutes, psi, whole } from "./words.ts";

interface Seen {
  wheel: string;
  /** Nothing has come through yet: the hose is as it was put on. */
  begun: boolean;
  hose: number;
  bottle: number;
  ml: number;
  seconds: number;
}

/** What is to be seen now; of a shut bleeder, as it was when it was closed. */
export function seen(hand: Hand): Seen {
  const { now, last } = hand;
  const hose = now?.hose;
  if (now && hose) {
    return { wheel: hose.bleeder, begun: hose.drained_ml > 0, hose: hose.seen_old_fraction, bottle: now.bottle_old_fraction ?? 0, ml: hose.drained_ml, seconds: now.clock_s - hose.opened_s };
  }
  if (!last) return { wheel: hand.wheel, begun: false, hose: 0, bottle: 0, ml: 0, seconds: 0 };
  const { opening: o } = last;
  return { wheel: o.bleeder, begun: o.drained_ml > 0, hose: o.seen_old_fraction, bottle: last.bottle_old_fraction ?? 0, ml: o.drained_ml, seconds: o.closed_s - o.opened_s };
}

const TOP = 44;
const BOTTOM = 254;

/** A bottle of 100 mL, 200, 400 and so on that takes all of it, and at first about what a vehicle holds. */
export function bottle(ml: number, holds_ml: number): number {
  let size = 100;
  while (size < holds_ml || size < ml * 1.02) size *= 2;
  return size;
}

export function bench(hand: Hand): TemplateResult {
  const s = seen(hand);
  const holds = hand.subject.car.parts.reduce((sum, p) => sum + p.volume_ml, 0);
  const size = bottle(s.ml, holds);
  const level = BOTTOM - ((BOTTOM - TOP) * s.ml) / size;
  const marks = [1, 2, 3, 4].map((n) => (n * size) / 4);
  const short = [...s.wheel].length > 5 ? `${[...s.wheel].slice(0, 3).join("")}…` : s.wheel;
  return html`<div class="bench">
    <svg class="hose" viewBox="0 0 240 290" role="img" aria-label=${`Clear hose on ${s.wheel}, bottle beneath`}>
      ${hatching("seen", 1)}
      ${marks.map((ml) => {
        const y = BOTTOM - ((BOTTOM - TOP) * ml) / size;
        return svg`<line x1="94" x2="106" y1=${y + 30} y2=${y + 30} class="line"/><text x="88" y=${y + 35} text-anchor="end">${ml}${ml === size ? " mL" : ""}</text>`;
      })}
      ${s.ml > 0 ? filled("seen", s.bottle, (fill) => svg`<rect x="108" width="120" y=${level + 30} height=${BOTTOM - level} fill=${fill}/>` as TemplateResult) : nothing}
      <path class="line glass" d="M107 ${TOP + 12}V${BOTTOM + 30}H229V${TOP + 12}"/>
      ${s.begun ? filled("seen", s.hose, (fill) => svg`<path d="M50 12H152Q184 12 184 44V92H156V54Q156 40 142 40H50Z" fill=${fill}/>` as TemplateResult) : nothing}
      <path class="line" d="M50 12H152Q184 12 184 44V92M156 92V54Q156 40 142 40H50"/>
      <rect class="screw" x="2" y="4" width="60" height="44" rx="8"/>
      <text class=${`name ${short.length > 3 ? "long" : ""}`} x="32" y="33" text-anchor="middle">${short}<title>${s.wheel}</title></text>
    </svg>
    <div class="dials">
      ${gauge(hand)}
      <div class="counted">
        <p class="clock">${minutes(s.seconds)} min</p>
        <p class="ml"><b>${whole(s.ml)}</b> mL</p>
      </div>
    </div>
  </div>`;
}

/** From where to where the gauge goes, psi, in steps. */
export function scale(gauge: number, limit: number | undefined): { from: number; to: number; each: number } {
  if (gauge < 0) return { from: -15, to: 0, each: 5 };
  const most = Math.max(gauge, limit ?? 0);
  const each = most <= 27 ? 10 : most <= 57 ? 20 : 50;
  return { from: 0, to: 3 * each * Math.max(1, Math.ceil((most * 1.05) / (3 * each))), each };
}

/** Half the dial's opening at its bottom, degrees. */
const GAP = 60;

function gauge(hand: Hand): TemplateResult {
  const now = hand.now;
  if (!now) return html``;
  const { supply } = now;
  const of = hand.subject.change.supply ?? hand.subject.car.supply ?? "";
  if (supply.gauge_kpa === 0 && supply.supply_ml === null) {
    return html`<div class="gauge none"><p>No gauge: <bdi>${of}</bdi>.</p>${supplyText(hand)}</div>`;
  }
  const [at, limit] = [psi(supply.gauge_kpa), now.gauge_limit_kpa === null ? undefined : psi(now.gauge_limit_kpa)];
  const { from, to, each } = scale(at, limit);
  const angle = (x: number) => ((180 + GAP / 2 + (360 - GAP) * ((Math.min(to, Math.max(from, x)) - from) / (to - from))) * Math.PI) / 180;
  const on = (x: number, r: number) => [70 + r * Math.sin(angle(x)), 70 - r * Math.cos(angle(x))].map((v) => v.toFixed(1));
  const arc = (a: number, b: number) => `M${on(a, 60)}A60 60 0 ${angle(b) - angle(a) > Math.PI ? 1 : 0} 1 ${on(b, 60)}`;
  const ticks = Array.from({ length: Math.round((to - from) / each) + 1 }, (_, i) => from + i * each);
  const over = limit !== undefined && at > limit;
  return html`<div class="gauge">
    <svg viewBox="0 0 140 132" role="img" aria-label=${`Gauge: ${at.toFixed(1)} psi`}>
      <path class="arc" d=${arc(from, to)}/>
      ${limit !== undefined && from === 0 && limit < to ? svg`<path class="arc over" d=${arc(limit, to)}/>` : nothing}
      ${ticks.map((t) => { const [x, y] = on(t, 43); return svg`<text x=${x!} y=${Number(y) + 5} text-anchor="middle">${t < 0 ? `−${-t}` : t}</text>`; })}
      <path class="line pointer" d=${`M70 70L${on(at, 31)}`}/><circle cx="70" cy="70" r="6"/>
    </svg>
    <p class="psi"><b>${at < 0 ? "−" : ""}${Math.abs(at).toFixed(1)} psi</b> ${isUs() ? nothing : html`<span>${supply.gauge_kpa < 0 ? "−" : ""}${Math.abs(supply.gauge_kpa).toFixed(0)} kPa</span>`}</p>
    ${limit === undefined || from < 0 ? nothing : html`<p class="limit">${over ? "over the limit of" : "limit"} ${Number(limit.toFixed(1))} psi</p>`}
    ${supplyText(hand)}
  </div>`;
}

function supplyText({ now }: Hand): TemplateResult {
  if (!now) return html``;
  const { supply_ml, reservoir_ml } = now.supply;
  const often = now.done_meanwhile;
  const what = supply_ml === null ? "topped up" : "pumped up";
  return html`<p class="about">reservoir ${whole(reservoir_ml)} mL${supply_ml === null ? "" : html`<br>supply ${whole(Math.max(0, supply_ml))} mL`}${often > 0 ? html`<br>${what} ${often} ×` : nothing}</p>`;
}
