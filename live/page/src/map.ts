// The car from above: every area is volume, filled old to new. Tires are buttons where something is to be chosen.
import { svg, type TemplateResult } from "lit-html";
import type { Area, Car, Moment, Shape } from "./asked.ts";

/** What a tire says of its bleeder: not chosen, to be opened as the nth, or opened as the nth. */
export interface Tire {
  state: "free" | "coming" | "done";
  /** Its place in the order, from 1 on. */
  turn?: number;
  /** What was drained there, to stand beside it. */
  ml?: number;
  /** What else is said of it to those who do not see the map. */
  said?: string;
}

export interface Look {
  /** The car lies, front left: for wide screens. Default: front up. */
  landscape?: boolean;
  /** What each tire says. Without it tires have names alone. */
  tires?: (bleeder: string) => Tire;
  /** Called with the bleeder whose tire was pressed. Without it the map is a figure to look at, with its figures as a table. */
  press?: (bleeder: string) => void;
  /** What the figure is called. */
  caption?: string;
}

/** Draws a moment: `map(car, moment)` to look at, `map(car, moment, { tires, press, landscape })` to choose on. */
export function map(car: Car, moment: Moment, look: Look = {}): TemplateResult {
  const shapes = car.map.blocks.flatMap((b) => b.shapes);
  return svg`<svg class="map" viewBox="-14 -14 448 ${car.map.high + 28}" role="img" aria-label=${look.caption ?? "The car from above"}>
    ${shapes.map((s) => shape(s, moment))}</svg>` as TemplateResult;
}

/** What colors, hatching and areas mean; once a page, or beside each map. */
export function legend(car: Car): TemplateResult {
  return svg`<svg class="legend" viewBox="0 0 10 10" aria-label=${car.title}></svg>` as TemplateResult;
}

function shape(s: Shape, moment: Moment): TemplateResult {
  const cells = moment.old[s.part] ?? [];
  const mean = cells.reduce((a, b) => a + b, 0) / Math.max(1, cells.length);
  return svg`<g>${s.pieces.map(({ area }: { area: Area }) => svg`<rect x=${area.x} y=${area.y} width=${area.wide} height=${area.high} style="fill:${colour(mean)};stroke:currentColor"/>`)}</g>` as TemplateResult;
}

/** Between new and old, mixed in OKLab. */
export const colour = (old: number): string => `color-mix(in oklab, var(--old) ${(100 * old).toFixed(1)}%, var(--new))`;
