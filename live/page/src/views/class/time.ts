// Every step of the job on the clock, from when until when: to scale, and as a list.
import { html, nothing, type TemplateResult } from "lit-html";
import type { Class, InOrder, Stretch } from "./asked.ts";
import { nameOf } from "./orders.ts";
import { clock, does, ml, ticks } from "./words.ts";

export function time(c: Class): TemplateResult {
  const longest = Math.max(...c.orders.map((o) => o.bay_seconds), 60);
  const minutes = ticks(0, longest / 60);
  return html`<section class="time"><h2>Every step on the clock</h2>
    <p class="about">Minutes from the start. Filled: a bleeder is open. Outlined: something else is done. Line: from wheel to wheel, setting up, ending.</p>
    <div class="clocks">${c.orders.map((o) => line(o, longest))}
      <div class="minutes" aria-hidden="true"><div class="scale">${minutes.map((m) => html`<span style=${`left:${(6000 * m) / longest}%`}>${m}</span>`)}</div><span class="unit">min</span></div></div>
    <details><summary>As a list</summary><div class="tables">${c.orders.map(list)}</div></details></section>`;
}

const kind = (s: Stretch): string => (s.doing === "open" ? "open" : ["set up", "move on", "finish"].includes(s.doing) ? "between" : "step");

function line(order: InOrder, longest: number): TemplateResult {
  const place = (s: Stretch): string => `left:${(100 * s.start_s) / longest}%;width:${(100 * (s.end_s - s.start_s)) / longest}%`;
  return html`<p class="of">${nameOf(order)}</p><div class="ran" role="img" aria-label=${`${nameOf(order)}: ${clock(order.bay_seconds)} in the bay, ${clock(order.flow_seconds)} with a bleeder open`}>${order.time_line.map((s) => html`<i class=${kind(s)} style=${place(s)} title=${`${words(s)}, ${clock(s.start_s)} to ${clock(s.end_s)}`}><span>${s.doing === "open" ? s.bleeders.join(", ") : nothing}</span></i>`)}</div><p class="sum"><b>${clock(order.bay_seconds)}</b></p>`;
}

const words = (s: Stretch): string => [does(s), ...s.bleeders].join(" ");

function list(order: InOrder): TemplateResult {
  return html`<table><caption>${nameOf(order)}</caption><thead><tr><th scope="col">From</th><th scope="col">To</th><th scope="col">What</th></tr></thead>
    <tbody>${order.time_line.map((s) => html`<tr><td>${clock(s.start_s)}</td><td>${clock(s.end_s)}</td><td>${does(s)}${s.bleeders.map((b, i) => html`${i ? "," : nothing} <bdi title=${b}>${b}</bdi>`)}${moved(s)}${s.chambers.length ? html`: <span class="chambers">${s.chambers.map((b, i) => html`${i ? ", " : nothing}<bdi>${b}</bdi>`)}</span>` : nothing}</td></tr>`)}</tbody></table>`;
}

const moved = (s: Stretch): string => (Math.abs(s.moved_ml) < 0.05 ? "" : `, ${ml(Math.abs(s.moved_ml))}${s.doing === "open" ? " run out" : s.moved_ml < 0 ? " taken" : " new"}`);
