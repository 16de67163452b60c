// The map as it lies on the screen: front up as the core has it, or front left.
import type { Area, CarMap, Edge, Shape } from "../asked.ts";

export interface Lie {
  lying: boolean;
  wide: number;
  high: number;
  area(a: Area): Area;
  /** A tire: its button is flatter where the car lies, and stands nearer. */
  tire(a: Area): Area;
  spot(s: [number, number]): [number, number];
  /** From which edge a pipe's piece fills. */
  edge(e: Edge): Edge;
}

const LEFT: Record<Edge, Edge> = { left: "bottom", right: "top", top: "left", bottom: "right" };

/** What is cut off above and below a car that lies, and how much nearer its tires stand. */
const CUT = 26;
const NEARER = 18;

export function lie(map: CarMap, landscape: boolean): Lie {
  if (!landscape) return { lying: false, wide: map.wide, high: map.high, area: (a) => a, tire: (a) => a, spot: (s) => s, edge: (e) => e };
  const high = map.wide - 2 * CUT;
  const area = (a: Area) => ({ x: a.y, y: high + CUT - a.x - a.wide, wide: a.high, high: a.wide });
  return {
    lying: true,
    wide: map.high,
    high,
    area,
    tire: (a) => {
      const b = area(a);
      return { ...b, y: b.y + (b.y < high / 2 ? NEARER : -NEARER) };
    },
    spot: ([x, y]) => [y, high + CUT - x],
    edge: (e) => LEFT[e],
  };
}

/** A rectangle that holds one mix. */
export interface Cell {
  area: Area;
  old: number;
}

/** What of these pieces lies between two sizes, counted from where they fill. */
function between(pieces: { area: Area; from: Edge }[], from: number, to: number): Area[] {
  const found: Area[] = [];
  let gone = 0;
  for (const { area: a, from: edge } of pieces) {
    const size = a.wide * a.high;
    const [begin, end] = [Math.max(from - gone, 0) / size, Math.min(to - gone, size) / size];
    gone += size;
    if (!(end > begin)) continue;
    const share = end - begin;
    if (edge === "left") found.push({ ...a, x: a.x + begin * a.wide, wide: share * a.wide });
    else if (edge === "right") found.push({ ...a, x: a.x + (1 - end) * a.wide, wide: share * a.wide });
    else if (edge === "top") found.push({ ...a, y: a.y + begin * a.high, high: share * a.high });
    else found.push({ ...a, y: a.y + (1 - end) * a.high, high: share * a.high });
  }
  return found;
}

/** How finely mixes are told apart: neighbours that look alike are one rectangle. */
const ALIKE = 0.02;

/** A part's fluid: where along it what lies, `full` being the size that its volume takes. */
export function cells(pieces: { area: Area; from: Edge }[], old: readonly number[], full: number): Cell[] {
  const found: Cell[] = [];
  for (let i = 0; i < old.length; ) {
    let j = i + 1;
    while (j < old.length && Math.abs(old[j]! - old[i]!) < ALIKE) j++;
    const mean = old.slice(i, j).reduce((sum, x) => sum + x, 0) / (j - i);
    for (const area of between(pieces, (full * i) / old.length, (full * j) / old.length)) found.push({ area, old: mean });
    i = j;
  }
  return found;
}

/** The pieces as they lie. Chambers fill from below, however the car lies. */
export function pieces(shape: Shape, pipe: boolean, lies: Lie): { area: Area; from: Edge }[] {
  return shape.pieces.map(({ area, from }) => ({ area: lies.area(area), from: pipe ? lies.edge(from) : "bottom" }));
}
