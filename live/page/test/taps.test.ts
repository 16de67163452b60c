import assert from "node:assert/strict";
import { test } from "node:test";
import { same, tap } from "../src/views/try/taps.ts";

test("a tap is next, a second one undoes", () => {
  assert.deepEqual(tap([], ["RR"], 4), ["RR"]);
  assert.deepEqual(tap(["RR"], ["LF"], 4), ["RR", "LF"]);
  assert.deepEqual(tap(["RR", "LF"], ["RR"], 4), ["LF"]);
});

test("after the last a tap starts over with its own wheel", () => {
  assert.deepEqual(tap(["RR", "LR", "RF", "LF"], ["RF"], 4), ["RF"]);
  assert.deepEqual(tap(["RR"], ["RR"], 1), ["RR"]);
});

test("what is opened together comes and goes together", () => {
  assert.deepEqual(tap(["a"], ["b", "c"], 4), ["a", "b", "c"]);
  assert.deepEqual(tap(["a", "b", "c"], ["b", "c"], 4), ["a"]);
});

test("the order given is left alone", () => {
  const order = Object.freeze(["RR", "LR"]);
  tap(order, ["RR"], 4);
  assert.deepEqual(order, ["RR", "LR"]);
});

test("orders are the same only name by name", () => {
  assert.ok(same(["a", "b"], ["a", "b"]));
  assert.ok(!same(["a", "b"], ["b", "a"]));
  assert.ok(!same(["a"], ["a", "b"]));
});
