// Fluid between new and old: a color and a hatching, for drawings and for boxes.
import { svg, type TemplateResult } from "lit-html";
import { colour } from "../../map.ts";

/** Where each step of the hatching begins, and how wide its strokes are, px. */
const STEPS: [from: number, stroke: number][] = [[0.025, 1.1], [0.1, 1.6], [0.25, 2.1], [0.5, 2.6], [0.8, 3.2]];
const GAP = 8;

/** The step of the hatching: 0 is none. */
export const step = (old: number): number => STEPS.filter(([from]) => old >= from).length;

/** Fill of a box. */
export function box(old: number): string {
  const at = step(old);
  if (at === 0) return `background:${colour(old)}`;
  const stroke = STEPS[at - 1]![1] * 0.7;
  return `background:repeating-linear-gradient(135deg,var(--on-fluid) 0 ${stroke.toFixed(2)}px,transparent ${stroke.toFixed(2)}px ${GAP}px) ${colour(old)}`;
}

/** Hatchings for drawings: once in each drawing, with a name of its own. */
export const hatchings = (name: string): TemplateResult[] =>
  STEPS.map(([, stroke], i) => svg`<pattern id=${`${name}-${i + 1}`} width=${GAP} height=${GAP} patternUnits="userSpaceOnUse" patternTransform="rotate(45)"><line x1="0" x2="0" y1="0" y2=${GAP} stroke="#14181d" stroke-width=${stroke}/></pattern>` as TemplateResult);

/** A shape twice: in its color, and hatched over it. */
export function filled(name: string, old: number, shape: (fill: string) => TemplateResult): TemplateResult[] {
  const at = step(old);
  return [shape(colour(old)), ...(at === 0 ? [] : [shape(`url(#${name}-${at})`)])];
}
