// Fluid between new and old: a color and a hatching, for boxes and for shapes.
import type { TemplateResult } from "lit-html";
import { colour, SPACE, step, STROKES } from "../../map/fluid.ts";

/** Fill of a box. */
export function box(old: number): string {
  const at = step(old);
  if (at === 0) return `background:${colour(old)}`;
  const stroke = (STROKES[at - 1]! * 0.7).toFixed(2);
  return `background:repeating-linear-gradient(135deg,var(--on-fluid) 0 ${stroke}px,transparent ${stroke}px ${SPACE}px) ${colour(old)}`;
}

/** A shape twice: in its color, and hatched over it. */
export function filled(name: string, old: number, shape: (fill: string) => TemplateResult): TemplateResult[] {
  const at = step(old);
  return [shape(colour(old)), ...(at === 0 ? [] : [shape(`url(#${name}-${at})`)])];
}
