// The drawing itself: fluid in its shapes, figures where there is room.
import { nothing, svg, type TemplateResult } from "lit-html";
import type { Area, Car, Moment, Shape } from "../asked.ts";
import { colour, percent, step } from "./fluid.ts";
import { cells, pieces, type Lie } from "./lie.ts";
import { meanOf } from "./table.ts";

/** Half the width of an outline. */
const RIM = 1.3;
/** Width of a figure, in its height. */
const DIGIT = 0.57;

export interface Drawn {
  car: Car;
  moment: Moment;
  lies: Lie;
  /** Of the patterns. */
  id: string;
  /** Height of a figure. */
  type: number;
}

const isPipe = (car: Car, part: number) => ["line", "hose"].includes(car.parts[part]!.kind);
const rect = (a: Area, rest: { fill: string; class?: string }) =>
  svg`<rect class=${rest.class ?? nothing} x=${a.x.toFixed(2)} y=${a.y.toFixed(2)} width=${a.wide.toFixed(2)} height=${a.high.toFixed(2)} fill=${rest.fill}/>`;

/** Beneath all: what joins and holds nothing, and the outlines, so that each pipe has one around all its pieces. */
export function beneath({ car, lies }: Drawn): TemplateResult {
  const line = (points: [number, number][]) => svg`<polyline class="joins" points=${points.map((p) => lies.spot(p).map((x) => x.toFixed(2)).join()).join(" ")}/>`;
  const grown = (a: Area) => ({ x: a.x - RIM, y: a.y - RIM, wide: a.wide + 2 * RIM, high: a.high + 2 * RIM });
  const rims = car.map.shapes.flatMap((s) => s.pieces.map((p) => rect(grown(lies.area(p.area)), { fill: "currentColor" })));
  const joint = (a: Area) => [rect(grown(lies.area(a)), { fill: "currentColor" }), rect(lies.area(a), { class: "empty", fill: "none" })];
  return svg`<g>${car.map.connectors.map(line)}${car.map.joints.map(joint)}${rims}</g>` as TemplateResult;
}

/** A part and what it holds. */
export function part(shape: Shape, drawn: Drawn): TemplateResult {
  const { car, moment, lies, id } = drawn;
  const pipe = isPipe(car, shape.part);
  const lying = pieces(shape, pipe, lies);
  const full = (moment.volume_ml[shape.part] ?? 0) * car.map.area_per_ml;
  const room = lying.reduce((sum, p) => sum + p.area.wide * p.area.high, 0);
  const empty = full < room - 1 ? lying.map((p) => rect(p.area, { class: "empty", fill: "none" })) : [];
  const held = cells(lying, moment.old[shape.part] ?? [], Math.min(full, room));
  const hatched = held.filter((c) => step(c.old) > 0);
  return svg`<g>${empty}${held.map((c) => rect(c.area, { class: "fluid", fill: colour(c.old) }))}
    ${hatched.map((c) => rect(c.area, { fill: `url(#${id}-${step(c.old)})` }))}${pipe ? seam(lying[0]) : lying.map((p) => rect(p.area, { class: "edge", fill: "none" }))}</g>` as TemplateResult;
}

/** A tick where a line or hose begins. */
function seam(first: { area: Area; from: string } | undefined): TemplateResult | typeof nothing {
  if (!first) return nothing;
  const { area: a, from } = first;
  const [right, bottom] = [a.x + a.wide, a.y + a.high];
  const ends = from === "left" ? [a.x, a.y, a.x, bottom] : from === "right" ? [right, a.y, right, bottom]
    : from === "top" ? [a.x, a.y, right, a.y] : [a.x, bottom, right, bottom];
  return svg`<line class="seam" x1=${ends[0]} y1=${ends[1]} x2=${ends[2]} y2=${ends[3]}/>` as TemplateResult;
}

/** How much of a chamber is old: in it where there is room, else beside it. */
export function figure(shape: Shape, drawn: Drawn): TemplateResult | typeof nothing {
  const { car, moment, lies, type } = drawn;
  if (isPipe(car, shape.part) || !shape.pieces[0]) return nothing;
  const a = lies.area(shape.pieces[0].area);
  const old = meanOf(moment.old[shape.part]);
  const text = percent(old);
  // A rim of the fluid's own color, so that no hatching runs through the figure.
  const rim = colour(old);
  const wide = DIGIT * type * text.length;
  const { sort } = car.parts[shape.part]!;
  const middle = { x: a.x + a.wide / 2, y: a.y + a.high / 2 };
  if (sort === "reservoir" && a.wide > 5.2 * type && a.high > 2.6 * type) {
    return svg`<text class="on" stroke=${rim} x=${middle.x} y=${middle.y - 0.75 * type} font-size=${type}>reservoir</text>
      <text class="on strong" stroke=${rim} x=${middle.x} y=${middle.y + 0.6 * type} font-size=${1.2 * type}>${text} % old</text>` as TemplateResult;
  }
  if (wide <= a.wide - 1 && type <= a.high) {
    return svg`<text class="on strong" stroke=${rim} x=${middle.x} y=${middle.y} font-size=${type}>${text}</text>` as TemplateResult;
  }
  return ["caliper", "wheel_cylinder", "master_cylinder", "clutch"].includes(sort) ? beside(a, drawn, text) : nothing;
}

/** Beside what is too small: outward, above, below, inward, where nothing else lies. */
function beside(a: Area, { car, lies, type }: Drawn, text: string): TemplateResult | typeof nothing {
  const wide = DIGIT * type * text.length;
  const [x, y] = [a.x + a.wide / 2, a.y + a.high / 2];
  const [aside, off] = [(a.wide + wide) / 2 + 4, (a.high + type) / 2 + 2];
  const outward = x < lies.wide / 2 ? -aside : aside;
  const upward = lies.lying && y < lies.high / 2 ? -off : off;
  const taken = [
    ...car.map.shapes.flatMap((s) => s.pieces.map((p) => lies.area(p.area))),
    ...car.map.tires.map((t) => lies.tire(t.area)),
  ];
  const free = ([dx, dy]: [number, number]) =>
    taken.every((t) => t.x > x + dx + wide / 2 + 1 || t.x + t.wide < x + dx - wide / 2 - 1 || t.y > y + dy + type / 2 || t.y + t.high < y + dy - type / 2);
  const spots: [number, number][] = [[outward, 0], [0, upward], [0, -upward], [-outward, 0]];
  const fits = spots.find(free);
  return fits ? (svg`<text class="off strong" x=${x + fits[0]} y=${y + fits[1]} font-size=${type}>${text}</text>` as TemplateResult) : nothing;
}
