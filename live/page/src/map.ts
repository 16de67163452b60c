// The car from above: every area is volume, filled old to new. Tires are buttons where something is to be chosen.
import { html, nothing, svg, type TemplateResult } from "lit-html";
import type { Car, Moment } from "./asked.ts";
import { colour, hatching, step } from "./map/fluid.ts";
import { lie, type Lie } from "./map/lie.ts";
import { beneath, figure, part, type Drawn } from "./map/parts.ts";
import { table } from "./map/table.ts";
import { FEW, list, over, roomOf } from "./map/tires.ts";

export { colour, percent } from "./map/fluid.ts";

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
  /** Pixels of a unit, if the map is narrower or wider than usual: for the size of figures. */
  scale?: number;
  /** Tells maps on one page apart; needed for the second. */
  id?: string;
}

/** Pixels of a unit where the map is as wide as it usually is: lying, and front up on a phone. */
const SCALE = { lying: 1.2, upright: 0.77 };
/** A unit is never more pixels where the car lies: a small vehicle stays small. */
const LARGEST = 1.5;
/** Least height of a figure, px. */
const FIGURE = { lying: 15, upright: 12.2 };

/** Draws a moment: `map(car, moment)` to look at, `map(car, moment, { tires, press, landscape })` to choose on. */
export function map(car: Car, moment: Moment, look: Look = {}): TemplateResult {
  const lies = lie(car.map, look.landscape === true);
  const way = look.landscape ? "lying" : "upright";
  const id = look.id ?? "map";
  const drawn: Drawn = { car, moment, lies, id, type: FIGURE[way] / (look.scale ?? SCALE[way]) };
  const caption = look.caption ?? "The car from above";
  const many = car.map.tires.length > FEW ? "many" : "few";
  const drawing = svg`<svg viewBox="0 0 ${lies.wide.toFixed(1)} ${lies.high.toFixed(1)}" aria-hidden="true" focusable="false">
    ${hatching(id, SCALE[way])}${body(car, lies, drawn.type)}${beneath(drawn)}
    ${car.map.shapes.map((s) => part(s, drawn))}${car.map.shapes.map((s) => figure(s, drawn))}</svg>`;
  const most = look.landscape ? `max-width:${Math.round(LARGEST * lies.wide)}px;` : "";
  return html`<figure class="map ${way} ${many}" aria-label=${caption}>
    <div class="car" style="${most}--room:${roomOf(car, lies).toFixed(2)}cqw">${drawing}${over(car, look, lies)}</div>
    ${list(car, look)}
    ${car.map.left_out > 0 ? html`<p class="left-out">${car.map.left_out === 1 ? "One part has" : `${car.map.left_out} parts have`} no room here.</p>` : nothing}
    ${table(car, moment)}</figure>`;
}

/** The outline, narrower in front, and which end that is. */
function body(car: Car, lies: Lie, type: number): TemplateResult {
  const { x, y, wide, high } = car.map.body;
  const [nose, tail] = [0.42 * wide, 0.2 * wide];
  const at = (px: number, py: number) => lies.spot([px, py]).map((n) => n.toFixed(1)).join(" ");
  const [right, bottom] = [x + wide, y + high];
  const d = `M${at(x, y + nose)} C${at(x, y + 0.3 * nose)} ${at(x + 0.35 * nose, y)} ${at(x + wide / 2, y)} C${at(right - 0.35 * nose, y)} ${at(right, y + 0.3 * nose)} ${at(right, y + nose)}
    L${at(right, bottom - tail)} C${at(right, bottom - 0.2 * tail)} ${at(right - 0.5 * tail, bottom)} ${at(x + wide / 2, bottom)} C${at(x + 0.5 * tail, bottom)} ${at(x, bottom - 0.2 * tail)} ${at(x, bottom - tail)} Z`;
  const [fx, fy] = lies.spot([x + wide / 2, y + 0.95 * type]);
  const turn = lies.lying ? `rotate(-90 ${fx} ${fy})` : nothing;
  return svg`<path class="body" d=${d}/><text class="off soft" x=${fx} y=${fy} font-size=${type} transform=${turn}>front</text>` as TemplateResult;
}

/** What colors, hatching and areas mean; beside each map, or once a page. */
export function legend(car: Car): TemplateResult {
  const steps = [1, 0.65, 0.35, 0.17, 0.06, 0];
  const side = Math.sqrt(car.map.square_ml * car.map.area_per_ml);
  const swatch = (old: number, i: number) => svg`<rect x=${22 * i} y="0" width="22" height="24" fill=${colour(old)}/>
    ${step(old) ? svg`<rect x=${22 * i} y="0" width="22" height="24" fill="url(#legend-${step(old)})"/>` : nothing}`;
  return html`<div class="legend">
    <span>all old</span>
    <svg viewBox="-1 -1 ${22 * steps.length + 2} 26" role="img" aria-label="Amber and thickly hatched is old, blue is new; hatching begins at 2.5 % and thickens at 10, 25, 50 and 80 %">
      ${hatching("legend", 1)}${steps.map(swatch)}<rect x="0" y="0" width=${22 * steps.length} height="24" fill="none" stroke="currentColor" stroke-width="1.5"/></svg>
    <span>all new</span>
    <span class="scale"><svg class="square" viewBox="-1 -1 ${side + 2} ${side + 2}" aria-hidden="true"><rect x="0" y="0" width=${side} height=${side} fill="none" stroke="currentColor" stroke-width="1.5"/></svg>
    <span>${car.map.square_ml} mL; figures: % old</span></span></div>`;
}
