import assert from "node:assert/strict";
import { test } from "node:test";
import type { Car } from "../src/asked.ts";
import type { Decides, End } from "../src/views/try/asked.ts";
import { axis, bars, trying } from "../src/views/try/bars.ts";

const end = (at: string, gone_ml: number, old_left_ml = 30, removed_ml = 0): End => ({ at, gone_ml, removed_ml, old_left_ml });
const own = end("as it is", 584);
const lever = (what: string, least: End, most: End) => ({ what, least, most, cleanest: most, dirtiest: least });
const decides: Decides = {
  own, counted: false, stopped: [],
  order: { best: [], best_saves_ml: 7, best_told_apart: true, worst: [], worst_costs_ml: 9, worst_told_apart: true, every_order: true, tried: 24 },
  levers: [
    lever("what the eye accepts", end("30 % old", 494, 50), end("10 % old", 749, 16)),
    lever("emptying the reservoir by syringe", end("down to 30 mL", 489, 25, 150), own),
    lever("order of the bleeders", end("LF, RF, RR, LR", 577), end("LR, RF, RR, LF", 593)),
  ],
};

test("what moves most comes last, each from the job on", () => {
  assert.deepEqual(bars(decides).map((b) => [b.name, b.about, b.least, b.most]), [
    ["Order", "all 24, equally clean", -7, 9],
    ["Syringe first", "its 150 mL counted in", -95, 0],
    ["Your eye", "30 % old to 10 % old", -90, 165],
  ]);
});

test("a syringe saves more at the bleeders than in all", () => {
  assert.deepEqual(bars(decides).map((b) => b.gross), [undefined, -245, undefined]);
});

test("where the job is syringed, the bar is what it would be without", () => {
  const syringed = end("as it is", 489, 25, 150);
  const [bar] = bars({ ...decides, own: syringed, levers: [lever("emptying the reservoir by syringe", syringed, end("not at all", 584))] });
  assert.deepEqual([bar!.name, bar!.least, bar!.most, bar!.gross, bar!.taken], ["Not syringed", 0, 95, 245, 150]);
});

test("what is being tried, and how far it is", () => {
  const car = (wheels: number) => ({ opened_together: Array.from({ length: wheels }, (_, i) => [String(i)]) }) as unknown as Car;
  assert.equal(trying(car(4), ""), "Trying 24 orders and what else decides");
  assert.equal(trying(car(6), ", 41 of 62 done"), "Trying 720 orders and what else decides, 41 of 62 done");
  assert.equal(trying(car(8), ""), "Trying some orders and what else decides");
  assert.equal(trying(car(1), ""), "Trying what decides");
});

test("where millilitres are counted, bars are about the old fluid left", () => {
  const [, , eye] = bars({ ...decides, counted: true });
  assert.deepEqual([eye!.name, eye!.least, eye!.most, eye!.gross], ["Your eye", -14, 20, undefined]);
});

test("the axis holds every bar and has round marks, none at zero", () => {
  const { from, to, marks } = axis(bars(decides));
  assert.ok(from < -245 && to > 165);
  assert.deepEqual(marks, [-200, 200].filter((m) => m < 165));
  const small = axis([]);
  assert.ok(small.from < 0 && small.to > 0 && !small.marks.includes(0));
});
