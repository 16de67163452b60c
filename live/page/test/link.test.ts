import assert from "node:assert/strict";
import { test } from "node:test";
import type { Car, Change } from "../src/asked.ts";
import { read, written } from "../src/link.ts";

const control = (what: string, own: number, least: number, most: number) => ({ what, own, least, most });
const car = {
  opened_together: [["RR"], ["LR, outer"], ["a&b=c"], ["בלם"]],
  supplies: ["pressure bleeder", "pedal & foot"],
  supply: "pressure bleeder",
  modulator: false,
  split: "X",
  controls: [
    control("what the eye accepts", 0.2, 0.1, 0.3),
    control("level of the reservoir", 0.00018, 0.00012, 0.00019999999999999998),
    control("emptying the reservoir by syringe", 0.00018, 0.00007, 0.00018),
  ],
} as unknown as Car;
const views = ["try", "car"];

test("what is written is read again", () => {
  const change: Change = {
    order: ["בלם", "LR, outer"], supply: "pedal & foot", syringed: true, worked: true, split: "II",
    set: [["what the eye accepts", 0.13], ["level of the reservoir", 0.00015]],
  };
  const pin: Change = { order: ["RR", "a&b=c", "LR, outer", "בלם"] };
  assert.deepEqual(read(written({ view: "car", change, pin }), views, car), { view: "car", change, pin });
});

test("nothing changed is a short link", () => {
  assert.equal(written({ view: "try", change: {}, pin: undefined }), "#try");
  assert.deepEqual(read("#try", views, car), { view: "try", change: {}, pin: undefined });
});

test("a value rounded in the link stays within what the core takes", () => {
  const link = written({ view: "try", change: { set: [["level of the reservoir", 0.00019999999999999998]] }, pin: undefined });
  const [, level] = read(link, views, car).change!.set![0]!;
  assert.ok(level <= 0.00019999999999999998);
  assert.deepEqual(read("#try&eye=7", views, car).change, { set: [["what the eye accepts", 0.3]] });
});

for (const [what, link] of [
  ["a view that is none", "#<script>"],
  ["half an escape", "#try&order=%E0%A4%A&supply=%"],
  ["a bleeder that is none", "#try&order=RR,XX"],
  ["a bleeder twice", "#try&order=RR,RR"],
  ["an empty order", "#try&order="],
  ["figures that are none", "#try&eye=NaN&level=Infinity&eye=1e999"],
  ["a control that the car has not", "#try&gauge=100000&lines=1"],
  ["names of the language itself", "#__proto__&constructor=1&toString=2&order=__proto__"],
  ["a pin of half a job", "#try&pin.order=RR"],
  ["other words", "#try&worked=maybe&syringed=1&supply=gravity&split=HH"],
  ["far too long a link", "#try&order=" + "RR,".repeat(9000)],
] as const) {
  test(`${what} is left out`, () => {
    const shown = read(link, views, car);
    assert.deepEqual(shown.change ?? {}, {});
    assert.equal(shown.pin, undefined);
  });
}

test("the split that the car has is no change; a car of which none is known takes none", () => {
  assert.deepEqual(read("#try&split=X", views, car).change, {});
  assert.deepEqual(read("#try&split=II", views, { ...car, split: null }).change, {});
});

test("without a car only the view is read", () => {
  assert.deepEqual(read("#car&order=RR", views, undefined), { view: "car" });
});
