// The map's arithmetic: where fluid lies in a shape, how it looks, what is said of it.
import assert from "node:assert/strict";
import test from "node:test";
import type { Area, CarMap, Edge, Shape } from "../src/asked.ts";
import { colour, percent, step } from "../src/map/fluid.ts";
import { cells, lie, pieces } from "../src/map/lie.ts";
import { spoken } from "../src/map/tires.ts";

const size = (a: Area) => a.wide * a.high;

/** Right, then down, then left: 10 + 20 + 10 long, 2 wide. */
const bent: { area: Area; from: Edge }[] = [
  { area: { x: 0, y: 0, wide: 10, high: 2 }, from: "left" },
  { area: { x: 8, y: 2, wide: 2, high: 20 }, from: "top" },
  { area: { x: -2, y: 20, wide: 10, high: 2 }, from: "right" },
];
const whole = bent.reduce((sum, p) => sum + size(p.area), 0);

test("cells of a pipe fill it from its beginning on, none over another", () => {
  const old = Array.from({ length: 24 }, (_, i) => i / 23);
  const found = cells(bent, old, whole);
  assert.ok(Math.abs(found.reduce((sum, c) => sum + size(c.area), 0) - whole) < 1e-9);
  assert.deepEqual(found[0]!.area.x, 0);
  assert.equal(found[0]!.old, 0);
  const last = found.at(-1)!;
  assert.equal(last.old, 1);
  assert.equal(last.area.x, -2);
  const sum = found.reduce((s, c) => s + c.old * size(c.area), 0);
  assert.ok(Math.abs(sum / whole - 0.5) < 1e-9, "the mean is kept");
});

test("what holds less than it can is filled in part", () => {
  const [only] = cells([{ area: { x: 0, y: 0, wide: 4, high: 10 }, from: "bottom" }], [0.3], 10);
  assert.deepEqual(only, { area: { x: 0, y: 7.5, wide: 4, high: 2.5 }, old: 0.3 });
});

test("alike neighbours are one rectangle", () => {
  assert.equal(cells([bent[0]!], Array(24).fill(1), 20).length, 1);
});

test("a car that lies has its front left and its left side below", () => {
  const map = { wide: 420, high: 500, tires: [] } as unknown as CarMap;
  const lies = lie(map, true);
  const front = lies.area({ x: 80, y: 20, wide: 30, high: 10 });
  assert.deepEqual([front.x, front.wide, front.high], [20, 10, 30]);
  assert.ok(front.y > lies.high / 2);
  const shape = { part: 0, pieces: [{ area: { x: 80, y: 20, wide: 30, high: 10 }, from: "top" }] } as Shape;
  assert.equal(pieces(shape, true, lies)[0]!.from, "left");
  assert.equal(pieces(shape, false, lies)[0]!.from, "bottom");
});

test("percent is never 0 of something and never 100 of less than all", () => {
  assert.deepEqual([0, 0.001, 0.005, 0.5, 0.994, 0.999, 1].map(percent), ["0", "<1", "1", "50", "99", ">99", "100"]);
});

test("hatching begins at 2.5 % and thickens in five steps", () => {
  assert.deepEqual([0, 0.0249, 0.025, 0.1, 0.25, 0.5, 0.8, 1].map(step), [0, 0, 1, 2, 3, 4, 5, 5]);
});

test("all old and all new have their colors, and what lies between lies between", () => {
  assert.equal(colour(1), "#e6a01a");
  assert.equal(colour(0), "#b5dbf5");
  assert.equal(colour(Number.NaN), "#b5dbf5");
  const red = (c: string) => Number.parseInt(c.slice(1, 3), 16);
  assert.ok(red(colour(0.5)) > red(colour(0)) && red(colour(0.5)) < red(colour(1)));
});

test("a tire says its turn and what was drained", () => {
  assert.equal(spoken({ state: "free" }), ", not chosen");
  assert.equal(spoken({ state: "coming", turn: 3 }), ", to be opened 3rd");
  assert.equal(spoken({ state: "done", turn: 1, ml: 286.4, said: "18 % old" }), ", opened 1st, 286 mL, 18 % old");
});
