import assert from "node:assert/strict";
import { test } from "node:test";
import type { Run } from "../src/asked.ts";
import type { Beside, ByOrder, Decides } from "../src/views/try/asked.ts";
import { clock, headline, percent, prompt, range, signed, verdict, whole } from "../src/views/try/words.ts";

const run = (drained_ml: number, removed_ml = 0, old_ml = 30): Run =>
  ({ record: { openings: [], totals: { drained_ml, removed_ml, new_fluid_ml: 0, flow_seconds: 0, bay_seconds: 0 }, left: { old_ml, old_fraction: 0.1 }, warnings: [] }, moments: [] });
const beside = (ml: number, told_apart = true, old = { ml: 0, told_apart: false }): Beside =>
  ({ gone: { ml, told_apart }, old_left: old, stopped: false });
const order: ByOrder = { best: [], best_saves_ml: 7.1, best_told_apart: true, worst: [], worst_costs_ml: 9.4, worst_told_apart: true, every_order: true, tried: 24 };
const decides = (by: Partial<ByOrder> | null): Decides =>
  ({ own: { at: "as it is", gone_ml: 583.7, removed_ml: 0, old_left_ml: 33 }, counted: false, levers: [], stopped: [], order: by && { ...order, ...by } });

test("the headline says what the best order saves, on which basis", () => {
  assert.deepEqual(headline(decides({})), { text: "Does the order matter? Here: 7 mL of 584.", basis: "Best of 24 orders against far wheel first, same old fluid left." });
});

test("where far first is the best, the headline says what another may cost", () => {
  const said = headline(decides({ best_told_apart: false, best_saves_ml: 0, worst_costs_ml: 58.2 }));
  assert.equal(said.text, "Does the order matter? Here: up to 58 mL of 584.");
  assert.match(said.basis, /none beats/);
});

test("where nothing is told apart, the order does not matter", () => {
  assert.equal(headline(decides({ best_told_apart: false, worst_told_apart: false })).text, "Does the order matter? Not here.");
  assert.equal(headline(decides(null)).text, "Does the order matter? There is but one.");
  assert.match(headline(decides({ best_told_apart: false, worst_told_apart: false, every_order: false, tried: 19 })).basis, /^19 orders that were tried/);
});

test("a small difference is called small, a large one not", () => {
  assert.equal(verdict(run(580.7), beside(-3), false, 24), "Uses 3 mL less than far wheel first: under 1 %. A bottle’s mark is coarser than that.");
  assert.equal(verdict(run(580.51), beside(-3.64), false, 24).slice(0, 14), "Uses 3 mL less", "as 581 and 584 differ");
  assert.equal(verdict(run(400), beside(9.4), false, 24), "Uses 9 mL more than far wheel first: under 3 %. A bottle’s mark is coarser than that.");
  assert.equal(verdict(run(400), beside(9.6), false, 24), "Uses 10 mL more than far wheel first.");
  assert.equal(verdict(run(400), beside(-62.3), false, 24), "Uses 62 mL less than far wheel first.");
});

test("what is not told apart is not told apart", () => {
  assert.equal(verdict(run(82.2), beside(0.2, false), false, 2), "Any order. Both use 82 mL.");
  assert.equal(verdict(run(339, 150), beside(0.2, false), false, 24), "Not told apart from far wheel first: both use 489 mL.");
});

test("where millilitres are counted, the verdict is about what stays", () => {
  assert.equal(verdict(run(620, 0, 40), beside(0, false, { ml: -4.2, told_apart: true }), true, 24), "Leaves 4 mL less old fluid than far wheel first.");
  assert.equal(verdict(run(620, 0, 40), beside(0, false), true, 24), "Not told apart from far wheel first: both leave 40 mL of old fluid.");
});

test("a job that has to be stopped says why", () => {
  const stopped = run(300);
  stopped.record.warnings.push({ kind: "density", text: "the fluids differ", stops_the_job: false });
  assert.match(verdict(stopped, { ...beside(0, false), stopped: true }, false, 24), /^Far wheel first cannot be done/);
  stopped.record.warnings.push({ kind: "supply ran dry", text: "the supply ran dry", stops_the_job: true });
  assert.equal(verdict(stopped, { ...beside(0, false), stopped: true }, false, 24), "The supply ran dry.");
});

test("what to tap", () => {
  assert.equal(prompt(0), "Tap the wheel you would open first.");
  assert.equal(prompt(1), "Now the second.");
  assert.equal(prompt(7), "Now the eighth.");
  assert.equal(prompt(15), "Now number 16.");
});

test("figures: never nothing where there is something", () => {
  assert.equal(whole(0.2), "1");
  assert.equal(whole(0), "0");
  assert.equal(percent(0.0004), "<1");
  assert.equal(percent(0.0815), "8.2");
  assert.equal(percent(0.256), "26");
  assert.equal(signed(-9.4), "−9");
  assert.equal(signed(0.4), "0");
  assert.equal(range(-7.1, 9.4), "−7 to +9");
  assert.equal(range(-83.9, 0), "−84");
  assert.equal(range(0, 17), "+17");
  assert.equal(range(-0.2, 0.3), "under 1");
  assert.deepEqual(clock(148.4), { figure: "2:28", unit: "min" });
  assert.deepEqual(clock(59.7), { figure: "1:00", unit: "min" });
  assert.deepEqual(clock(3721), { figure: "1:02", unit: "h" });
});
