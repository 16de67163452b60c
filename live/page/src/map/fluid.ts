// How fluid looks and what is said of it: colour, hatching and figure from its old fraction.
import { svg, type TemplateResult } from "lit-html";

type Triple = [number, number, number];

/** All old, and all new: in light and dark alike. */
const OLD: Triple = [0xe6, 0xa0, 0x1a];
const NEW: Triple = [0xb5, 0xdb, 0xf5];

// OKLab after Ottosson (2020), from memory.
function toLab(rgb: Triple): Triple {
  const [r, g, b] = rgb.map((c) => (c / 255 <= 0.04045 ? c / 255 / 12.92 : ((c / 255 + 0.055) / 1.055) ** 2.4)) as Triple;
  const l = Math.cbrt(0.4122214708 * r + 0.5363325363 * g + 0.0514459929 * b);
  const m = Math.cbrt(0.2119034982 * r + 0.6806995451 * g + 0.1073969566 * b);
  const s = Math.cbrt(0.0883024619 * r + 0.2817188376 * g + 0.6299787005 * b);
  return [
    0.2104542553 * l + 0.793617785 * m - 0.0040720468 * s,
    1.9779984951 * l - 2.428592205 * m + 0.4505937099 * s,
    0.0259040371 * l + 0.7827717662 * m - 0.808675766 * s,
  ];
}

function toRgb([L, a, b]: Triple): Triple {
  const l = (L + 0.3963377774 * a + 0.2158037573 * b) ** 3;
  const m = (L - 0.1055613458 * a - 0.0638541728 * b) ** 3;
  const s = (L - 0.0894841775 * a - 1.291485548 * b) ** 3;
  const linear = [
    4.0767416621 * l - 3.3077115913 * m + 0.2309699292 * s,
    -1.2684380046 * l + 2.6097574011 * m - 0.3413193965 * s,
    -0.0041960863 * l - 0.7034186147 * m + 1.707614701 * s,
  ];
  const coded = (c: number) => (c <= 0.0031308 ? 12.92 * c : 1.055 * c ** (1 / 2.4) - 0.055);
  return linear.map((c) => Math.round(255 * Math.min(1, Math.max(0, coded(Math.min(1, Math.max(0, c))))))) as Triple;
}

const [old, fresh] = [toLab(OLD), toLab(NEW)];
const bounded = (x: number) => (x >= 0 ? Math.min(1, x) : 0);

/** Between new and old, mixed in OKLab. */
export function colour(fraction: number): string {
  const x = bounded(fraction);
  const lab = fresh.map((f, i) => f + x * (old[i]! - f)) as Triple;
  return `#${toRgb(lab).map((c) => c.toString(16).padStart(2, "0")).join("")}`;
}

/** From which old fraction on fluid is hatched, step by step, and how thick the strokes are. */
const STEPS = [0.025, 0.1, 0.25, 0.5, 0.8];
export const STROKES = [1.1, 1.6, 2.1, 2.6, 3.2];
export const SPACE = 7.5;

/** The step of hatching: 0, none, to 5. */
export const step = (fraction: number): number => STEPS.filter((from) => fraction >= from).length;

/** Patterns of the steps, for an SVG drawn so many times as large as its units. */
export function hatching(id: string, scale: number): TemplateResult {
  const pattern = (wide: number, i: number) => svg`
    <pattern id="${id}-${i + 1}" patternUnits="userSpaceOnUse" width=${SPACE / scale} height=${SPACE / scale} patternTransform="rotate(45)">
      <rect x="0" y="0" width=${wide / scale} height=${SPACE / scale} fill="#14181d" fill-opacity="0.62"/></pattern>`;
  return svg`<defs>${STROKES.map(pattern)}</defs>` as TemplateResult;
}

/** In whole percent; never 0 unless there is none, never 100 unless it is all. */
export function percent(fraction: number): string {
  const x = bounded(fraction);
  if (x > 1e-9 && x < 0.005) return "<1";
  if (x < 1 - 1e-9 && x >= 0.995) return ">99";
  return String(Math.round(100 * x));
}
