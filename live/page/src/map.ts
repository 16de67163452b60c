// The car from above: every area is volume, filled old to new.
import { svg, type TemplateResult } from "lit-html";
import type { Area, Car, Moment, Shape } from "./asked.ts";

/** Draws a moment. */
export function map(car: Car, moment: Moment): TemplateResult {
  const shapes = car.map.blocks.flatMap((b) => b.shapes);
  return svg`<svg class="map" viewBox="-14 -14 448 ${car.map.high + 28}" role="img" aria-label="The car from above">
    ${shapes.map((s) => shape(s, moment))}</svg>` as TemplateResult;
}

function shape(s: Shape, moment: Moment): TemplateResult {
  const cells = moment.old[s.part] ?? [];
  const mean = cells.reduce((a, b) => a + b, 0) / Math.max(1, cells.length);
  return svg`<g>${s.pieces.map(({ area }: { area: Area }) => svg`<rect x=${area.x} y=${area.y} width=${area.wide} height=${area.high} style="fill:${colour(mean)};stroke:currentColor"/>`)}</g>` as TemplateResult;
}

/** Between new and old, mixed in OKLab. */
export const colour = (old: number): string => `color-mix(in oklab, var(--old) ${(100 * old).toFixed(1)}%, var(--new))`;
