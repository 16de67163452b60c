import assert from "node:assert/strict";
import { test } from "node:test";
import type { Amount, Choice, Class, InOrder } from "../src/views/class/asked.ts";
import { bins, clock, compared, figure, headline, ml, points, right, round, said, step, ticks } from "../src/views/class/words.ts";

const amount = (value: number, unit = "mL"): Amount => ({ sort: "amount", value, unit, least: 0, most: 300, whole: [0, 1], half: [0, 1], too_close: false });
const choice: Choice = { sort: "choice", options: ["RR", "LF"], right: 1, too_close: false };
const order = (drained_ml: number, old_left_ml: number): InOrder => ({ named: [], order: [], openings: [], drained_ml, old_left_ml, flow_seconds: 0, bay_seconds: 0, time_line: [], stops: [] });
const both = (apart: number, told_apart: boolean, compared_by: Class["compared_by"] = "drained"): Class => ({ compared_by, orders: [order(584, 33), order(580, 31)], apart: { ml: apart, unsure_ml: 0.5 }, told_apart, moments: [] });

test("points are written with halves", () => {
  assert.deepEqual([0, 0.5, 1, 2.5, 10].map(points), ["0", "½", "1", "2½", "10"]);
});

test("figures are whole from ten on and never nothing where there is something", () => {
  assert.deepEqual([0, 0.3, 3.64, 4, 12.4, 584.2].map(ml), ["0 mL", "0.3 mL", "3.6 mL", "4 mL", "12 mL", "584 mL"]);
  assert.equal(ml(0.04), "<1 mL");
  assert.equal(figure(8.2, "s"), "8");
  assert.equal(clock(1306.4), "21:46");
  assert.equal(clock(59.7), "1:00");
});

test("the headline says by what it compares, and what is not told apart", () => {
  assert.equal(headline(both(-3.64, true)), "Far first or near first: 3.6 mL apart.");
  assert.equal(headline(both(0.2, false)), "Far first or near first: too close to tell.");
  assert.equal(headline(both(-12, true, "old_left")), "Far first or near first: 12 mL of old fluid apart.");
  assert.equal(headline({ ...both(0, false), apart: null }), "There is but one order here.");
  assert.equal(compared(both(1, true), 1), 580);
  assert.equal(compared(both(1, true, "old_left"), 0), 33);
});

test("bins touch and hold everything", () => {
  for (const total of [3, 40, 82, 584, 5000]) {
    const [a, b, c] = bins(total);
    assert.equal(a!.from, 0);
    assert.equal(a!.to, b!.from);
    assert.equal(b!.to, c!.from);
    assert.equal(c!.to, Infinity);
    assert.ok(a!.to < b!.to && b!.to < total);
  }
  assert.deepEqual(bins(584).map((b) => b.words), ["under 20 mL", "20 to 100 mL", "over 100 mL"]);
  assert.equal(round(0.11), 0.1);
});

test("axes have four to eight ticks from end to end", () => {
  for (const most of [1, 5, 10, 15, 20, 30, 40, 50, 60, 80, 100, 150, 200, 300, 400, 500, 600, 800, 1000, 1500, 2000, 8000]) {
    const all = ticks(0, most);
    assert.ok(all.length >= 3 && all.length <= 8, `${most}: ${all}`);
    assert.ok(all.at(-1)! <= most && most - all.at(-1)! < all[1]!, `${most}: ${all}`);
  }
  assert.equal(step(20), 0.1);
  assert.equal(step(300), 1);
});

test("what was said and what is right", () => {
  assert.equal(said(amount(95), { amount: 245 }), "245 mL");
  assert.equal(said(choice, { option: 0 }), "RR");
  assert.equal(said(choice, "too_close"), "too close to tell");
  assert.equal(right(amount(94.8)), "95 mL");
  assert.equal(right(choice), "LF");
  assert.equal(right({ ...choice, too_close: true }), "too close to tell");
});
