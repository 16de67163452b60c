// Open it yourself: the hand on the bleeder, and what is said of it.
import assert from "node:assert/strict";
import { test } from "node:test";
import type { Car } from "../src/asked.ts";
import type { Closed, Now } from "../src/views/open/asked.ts";
import { bottle, scale } from "../src/views/open/bench.ts";
import { step } from "../src/map/fluid.ts";
import { Hand, type Asks } from "../src/views/open/hand.ts";
import { handle } from "../src/views/open/handle.ts";
import { each } from "../src/words.ts";
import { headline, minutes, remedy, rows, share, startsWith } from "../src/views/open/words.ts";

const opening = { bleeder: "RR", drained_ml: 310, opened_s: 600, closed_s: 720, seen_old_fraction: 0.2, path_old_fraction: 0.19, clean_at_ml: 308, threshold: 0.2, closed_by: "hand" };
const closed = (over: Partial<Closed["opening"]> = {}): Closed => ({
  opening: { ...opening, ...over }, bottle_old_fraction: 0.7, watched_ml: 2, path: [], curve: [], on: [], falls: [], left: { old_ml: 90, old_fraction: 0.2 },
});

test("the headline says what the eye took for clean, beside what is", () => {
  assert.equal(headline(closed()), "It looked clean. One mL in five is still old.");
  assert.equal(headline(closed({ seen_old_fraction: 0.38, clean_at_ml: null })), "You stopped early: the hose was 38 % old.");
  assert.equal(headline(closed({ drained_ml: 368, seen_old_fraction: 0.1 })), "Clean from 308 mL. You let 60 more go.");
  assert.equal(headline(closed({ drained_ml: 1, seen_old_fraction: 0.1, clean_at_ml: null })), "You closed before anything came through the hose.");
  assert.equal(headline(closed({ drained_ml: 0, closed_by: "no flow", clean_at_ml: null })), "Nothing flowed.");
  // Clean to be seen, though not for long enough to count.
  assert.equal(headline(closed({ seen_old_fraction: 0.19, path_old_fraction: 0.5, clean_at_ml: null })), "It looked clean. Half of it is still old.");
});

test("a share of old fluid in words", () => {
  assert.deepEqual([0.97, 0.7, 0.33, 0.1, 0.05, 0.001].map(share), [
    "Nearly all of it is still old.", "Most of it is still old.", "One mL in three is still old.", "One mL in ten is still old.",
    "One mL in 20 is still old.", "Hardly any old fluid is left on the way."]);
  assert.equal(startsWith(0.26), "a reservoir a quarter old");
  assert.equal(startsWith(0.15), "a reservoir that is 15 % old");
  assert.equal(startsWith(0), "a reservoir of new fluid");
  assert.equal(minutes(119.9), "1:59");
});

test("lines and hoses that follow one another are one row; nothing is lost in adding up", () => {
  const part = (part: string, sort: string, volume_ml: number, old: number) => ({ part, sort, volume_ml, old_ml: old * volume_ml, old_fraction: old });
  const told = rows([part("reservoir", "reservoir", 180, 0.2), part("p", "master_cylinder", 12, 0.1), part("rear", "line", 31, 0.5), part("l", "line", 12, 0.5), part("h", "hose", 3, 1), part("<b>RR</b>", "caliper", 10, 0.1)]);
  assert.deepEqual(told.map((r) => [r.word, r.name]), [["reservoir", ""], ["master cylinder", ""], ["2 lines + hose", ""], ["caliper", "<b>RR</b>"]]);
  assert.deepEqual(told[2], { word: "2 lines + hose", name: "", volume_ml: 46, old_ml: 24.5 });
});

test("what to do when it runs dry rests on the program's own job", () => {
  const now = { supply: { supply_ml: 50 } } as Now;
  assert.match(remedy(now, 691.2, 600), /^Load 692 mL or more\. /);
  assert.match(remedy(now, undefined, 584.4), /^Load more, or let less go: the program’s own job uses 584 mL\./);
  assert.match(remedy({ supply: { supply_ml: null } } as Now, undefined, 5), /^Top up the reservoir sooner/);
});

test("scales hold what they show", () => {
  assert.equal(bottle(0, 340), 400);
  assert.equal(bottle(399, 340), 800);
  assert.deepEqual(scale(15, 20), { from: 0, to: 30, each: 10 });
  assert.deepEqual(scale(-9.8, 20), { from: -15, to: 0, each: 5 });
  assert.ok(scale(59, 20).to > 59);
  assert.deepEqual([310, 40, 1000].map(each), [100, 10, 500]);
  assert.deepEqual([0, 0.024, 0.025, 0.1, 0.3, 0.79, 0.8, 1].map(step), [0, 0, 1, 2, 3, 4, 5, 5]);
});

/** A core that keeps what it was asked. */
function core(answers: Record<string, object> = {}) {
  const asked: Record<string, unknown>[] = [];
  const now = { job: 7, hose: null, supply: {}, ran_dry: false, openings: 0 };
  const own: Asks = {
    ask: ((q: Record<string, unknown>) => {
      asked.push(q);
      const what = String(q.do ?? q.ask);
      return answers[what] ?? { ok: what === "close" ? { ...now, closed: closed({ bleeder: "B" }) } : { ...now, record: {} } };
    }) as Asks["ask"],
  };
  return { own, done: () => asked.map((q) => q.do ?? q.ask) };
}

const subject = (order?: string[]) => ({ text: "t", file: "f", change: order ? { order } : {}, car: { opened_together: [["A"], ["B", "C"]] } as Car });

test("held, it closes when let go of; after a tap it stays open until the next", () => {
  const { own, done } = core();
  const hand = new Hand(own, subject(["B"]));
  assert.deepEqual([hand.bleeders, hand.wheel], [["B", "A", "C"], "B"]);
  hand.press(0);
  assert.equal(hand.state, "held");
  hand.advance(2);
  hand.release(5000);
  assert.equal(hand.state, "shut");
  assert.equal(hand.wheel, "A", "the next in order");
  hand.press(6000);
  hand.release(6100);
  assert.equal(hand.state, "locked");
  hand.choose("C");
  assert.equal(hand.wheel, "A", "nothing else while it is open");
  hand.press(9000);
  assert.equal(hand.state, "shut");
  hand.release(9050);
  assert.equal(hand.state, "shut", "the tap that closed does not open");
  assert.deepEqual(done(), ["begin", "run", "open", "advance_s", "close", "record", "open", "close", "record"]);
});

test("what cannot be done is said and leaves it shut", () => {
  const { own } = core({ open: { error: "no" } });
  const hand = new Hand(own, subject());
  hand.press(0);
  assert.deepEqual([hand.state, hand.trouble], ["shut", "no"]);
});

test("an order that is only begun does not end the job early", () => {
  const changes: unknown[] = [];
  const own: Asks = { ask: ((q: { change?: unknown }) => { changes.push(q.change); return { error: "x" }; }) as Asks["ask"] };
  new Hand(own, subject(["B"]));
  new Hand(own, subject(["C", "B", "A"]));
  assert.deepEqual(changes, [{}, { order: ["C", "B", "A"] }]);
});

test("keys do not repeat, and a click without a pointer is a tap", () => {
  const calls: string[] = [];
  const on = handle({ press: () => calls.push("press"), release: () => calls.push("release"), letGo: () => calls.push("letGo") });
  const key = (key: string, repeat = false) => ({ key, repeat, preventDefault() {} }) as KeyboardEvent;
  on.keydown(key(" "));
  on.keydown(key(" ", true));
  on.keyup(key(" "));
  on.keydown(key("x"));
  on.click();
  const target = { setPointerCapture() {} } as unknown as Element;
  on.pointerdown({ button: 0, pointerId: 1, currentTarget: target } as unknown as PointerEvent);
  on.pointerup();
  on.click();
  on.pointerdown({ button: 2, pointerId: 1, currentTarget: target } as unknown as PointerEvent);
  on.keydown(key("Enter"));
  on.blur();
  on.keyup(key("Enter"));
  assert.deepEqual(calls, ["press", "release", "press", "release", "press", "release", "press", "letGo"]);
});
