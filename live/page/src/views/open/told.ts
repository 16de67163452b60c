// After a bleeder was closed: what it looked like beside what it is, and what was to be seen meanwhile.
import { html, nothing, type TemplateResult } from "lit-html";
import type { Closed, Point } from "./asked.ts";
import { each } from "../../words.ts";
import { box } from "./fluid.ts";
import { percentOf, rows, whole, type Row } from "./words.ts";

export function told(closed: Closed): TemplateResult {
  return html`<section class="looked" aria-label="It looked">
      <h2>It looked</h2>
      <div class="pill" style=${box(closed.opening.seen_old_fraction)}></div>
      <p class="big">${percentOf(closed.opening.seen_old_fraction)} old</p>
      <p class="about">in the clear hose</p>
    </section>
    <section class="is">
      <h2>It is, part by part</h2>
      ${bars(rows(closed.path))}
      <p class="about">From the reservoir to <bdi>${closed.opening.bleeder}</bdi>: old, of what each part holds. Without the reservoir <data class="path" value=${closed.opening.path_old_fraction}>${percentOf(closed.opening.path_old_fraction)}</data>.</p>
    </section>
    <section class="curve">
      <h2>In the hose while you held <bdi>${closed.opening.bleeder}</bdi> open</h2>
      ${plot(closed)}
    </section>`;
}

function bars(all: Row[]): TemplateResult {
  const most = Math.max(...all.map((r) => r.volume_ml), 1);
  const one = (r: Row) => {
    const old = r.volume_ml > 0 ? r.old_ml / r.volume_ml : 0;
    return html`<li>
      <span class="part" title=${`${r.word} ${r.name}`.trim()}>${r.word}${r.name ? html` <bdi>${r.name}</bdi>` : nothing}</span>
      <span class="track"><span class="bar" style=${`width:${((100 * r.volume_ml) / most).toFixed(1)}%`}><span style=${`width:${(100 * old).toFixed(1)}%;${box(1)}`}></span></span></span>
      <span class="figure"><b>${percentOf(old)}</b> <span>${r.old_ml > 0 && r.old_ml < 0.5 ? "<1" : Math.round(r.old_ml)} of ${whole(r.volume_ml)} mL</span></span>
    </li>`;
  };
  return html`<ul class="parts">${all.map(one)}</ul>`;
}

function plot(closed: Closed): TemplateResult {
  const { curve, on, falls, opening } = closed;
  const end = Math.max(on.at(-1)?.[0] ?? 0, opening.drained_ml, 1);
  const x = (ml: number) => (100 * ml) / end;
  const y = (old: number) => 100 - 100 * old;
  const line = (points: Point[], which: 1 | 2) => points.map((p) => `${x(p[0]).toFixed(2)},${y(p[which]).toFixed(2)}`).join(" ");
  const area = [`0% 100%`, ...curve.map((p) => `${x(p[0]).toFixed(2)}% ${y(p[1]).toFixed(2)}%`), `${x(opening.drained_ml).toFixed(2)}% 100%`].join(",");
  const by = each(end);
  const ticks = Array.from({ length: Math.floor(end / by) + 1 }, (_, i) => i * by);
  const at = x(opening.drained_ml);
  const dry = opening.closed_by !== "hand";
  const end_word = !dry ? "you closed" : opening.closed_by === "supply" ? "it ran dry" : "it was closed";
  const falling = falls.map(([to, ml]) => html`<li>${percentOf(to)} old from <b>${whole(ml)} mL</b></li>`);
  return html`<div class="plot">
      <div class="area" style=${`clip-path:polygon(${area});${box(1)}`}></div>
      <svg viewBox="0 0 100 100" preserveAspectRatio="none" role="img" aria-label=${`Old fluid seen in the hose and on the path, up to ${whole(opening.drained_ml)} mL, where ${end_word}`}>
        <line class="eye" x1="0" x2="100" y1=${y(opening.threshold)} y2=${y(opening.threshold)}/>
        <polyline class="line" points=${line(curve, 1)}/>
        <polyline class="line on" points=${line(on, 1)}/>
        <polyline class="line path" points=${line([...curve, ...on.slice(1)], 2)}/>
      </svg>
      <span class=${`mark ${dry ? "dry" : ""}`} style=${`left:${at.toFixed(2)}%`}></span>
      <span class="eye-word" style=${`bottom:${(100 * opening.threshold).toFixed(1)}%`}>looks clean</span>
      ${[0, 0.5, 1].map((old) => html`<span class="y" style=${`top:${y(old)}%`}>${100 * old} %</span>`)}
      ${ticks.map((ml) => html`<span class="x" style=${`left:${x(ml).toFixed(2)}%`}>${ml}</span>`)}
    </div>
    <p class="about">mL run out. Thick: seen in the hose. Thin: old on the whole path. Dotted: had you held it open.</p>
    <ul class="marks"><li class=${dry ? "stop" : "yours"}>${end_word} at <b><data class="closed-at" value=${opening.drained_ml}>${whole(opening.drained_ml)}</data> mL</b></li>${falling}</ul>`;
}
