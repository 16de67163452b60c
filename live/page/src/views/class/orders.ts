// Two orders side by side on one scale: the maps after the same number of bleeders, and what ran out at each.
import { html, nothing, type TemplateResult } from "lit-html";
import type { Car } from "../../asked.ts";
import { map, type Tire } from "../../map.ts";
import type { Class, Drained, InOrder } from "./asked.ts";
import { figure, ml } from "./words.ts";

export const nameOf = (order: InOrder): string => (order.named.includes("far_first") ? (order.named.includes("near_first") ? "The order" : "Far wheel first") : "Near wheel first");

/** From here on half the page is wide enough for a car that lies; below it points up. */
export const lying = matchMedia("(min-width: 1200px)");

export function maps(car: Car, c: Class, after: number): TemplateResult {
  const one = (order: InOrder, i: number): TemplateResult => {
    const moments = c.moments[i] ?? [];
    const moment = moments[Math.min(after, moments.length - 1)];
    const done = order.openings.slice(0, after);
    const tires = (bleeder: string): Tire => {
      const ran = done.filter((o) => o.bleeder === bleeder);
      const turn = order.order.indexOf(bleeder) + 1;
      return ran.length ? { state: "done", turn, ml: ran.reduce((sum, o) => sum + o.drained_ml, 0) } : { state: "coming", turn };
    };
    const caption = `${nameOf(order)}, ${after === 0 ? "before the first bleeder" : `after ${after} of ${moments.length - 1}`}`;
    // Each map's hatching has a name of its own.
    const look = { landscape: lying.matches, tires, caption, id: i === 0 ? "first" : "second" };
    return html`<section class="one"><div class="called"><h2>${nameOf(order)}</h2><p class="order">${order.order.map((b, n) => html`${n ? " · " : nothing}<bdi title=${b}>${b}</bdi>`)}</p></div>${moment ? map(car, moment, look) : nothing}</section>`;
  };
  return html`<div class="two">${c.orders.map(one)}</div>`;
}

export function stepper(c: Class, after: number, go: (to: number) => void): TemplateResult {
  const most = Math.max(...c.moments.map((m) => m.length)) - 1;
  return html`<fieldset class="after"><legend>After bleeder</legend>${Array.from({ length: most + 1 }, (_, n) => html`<label><input type="radio" name="after" .checked=${n === after} @change=${() => go(n)}><span>${n === 0 ? "before" : n}</span></label>`)}</fieldset>`;
}

export function bars(c: Class): TemplateResult {
  const longest = Math.max(...c.orders.map((o) => o.drained_ml), 1);
  const one = (order: InOrder): TemplateResult => html`
    <p class="of">${nameOf(order)}</p>
    <div class="ran"><div class="track" style=${`width:${(100 * order.drained_ml) / longest}%`}>${order.openings.map((o) => opening(o, order.drained_ml))}</div></div>
    <p class="sum"><b>${ml(order.drained_ml)}</b>${c.compared_by === "old_left" ? html`<span>leaves ${ml(order.old_left_ml)} old</span>` : nothing}</p>`;
  return html`<div class="drained">${c.orders.map(one)}</div>
    <p class="about">One scale, each bleeder open ${c.compared_by === "drained" ? "until it looks clean" : "for its millilitres"}. Amber: old fluid that came out. Blue: new fluid that came out with it. Whoever goes first washes out the reservoir.</p>
    <details><summary>The same as figures</summary><div class="tables">${c.orders.map(table)}</div></details>`;
}

function opening(o: Drained, total: number): TemplateResult {
  const share = 100 * (o.drained_ml / total);
  const old = o.drained_ml > 0 ? 100 * (o.old_ml / o.drained_ml) : 0;
  return html`<div class="opening" style=${`width:${share}%`} title=${`${o.bleeder}: ${ml(o.drained_ml)}, of it ${ml(o.old_ml)} old`}><i class="old" style=${`width:${old}%`}></i><span class="chip"><bdi>${o.bleeder}</bdi> <b>${o.drained_ml.toFixed(0)}</b></span></div>`;
}

function table(order: InOrder): TemplateResult {
  return html`<table><caption>${nameOf(order)}, mL</caption><thead><tr><th scope="col">Bleeder</th><th scope="col">Ran out</th><th scope="col">Of it old</th><th scope="col">Out of the reservoir</th><th scope="col">New</th></tr></thead>
    <tbody>${order.openings.map((o) => html`<tr><th scope="row"><bdi title=${o.bleeder}>${o.bleeder}</bdi>${o.pass > 1 ? `, pass ${o.pass}` : nothing}</th>${[o.drained_ml, o.old_ml, o.reservoir_ml, o.new_ml].map((x) => html`<td>${figure(x, "mL")}</td>`)}</tr>`)}</tbody></table>`;
}
