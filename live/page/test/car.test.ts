// The view Car: names of files, what a browser keeps, places in a text.
import assert from "node:assert/strict";
import { test } from "node:test";
import { Kept, type Shelf } from "../src/views/car/kept.ts";
import { count, place, unix } from "../src/views/car/lines.ts";
import { fileName, free, titled } from "../src/views/car/names.ts";

class Stored implements Shelf {
  all = new Map<string, string>();
  room = Infinity;
  get length() { return this.all.size; }
  key(at: number) { return [...this.all.keys()][at] ?? null; }
  getItem(name: string) { return this.all.get(name) ?? null; }
  setItem(name: string, value: string) {
    if (value.length > this.room) throw new Error("no room");
    this.all.set(name, value);
  }
  removeItem(name: string) { this.all.delete(name); }
}

test("names of files are harmless", () => {
  for (const [given, name] of [
    ["car.toml", "car.toml"],
    ["Aunt’s hatchback", "Aunt’s hatchback.toml"],
    ["../../cars/van", "van.toml"],
    ["C:\\cars\\old.TOML", "old.toml"],
    ["\u202Elmot.exe", "lmot.exe.toml"],
    ["a\u0000b\nc", "abc.toml"],
    ['<img src="x">', "img src=x.toml"],
    ["...", "car.toml"],
    ["", "car.toml"],
    ["x".repeat(500), `${"x".repeat(60)}.toml`],
    ["\u{1F697}".repeat(100), `${"\u{1F697}".repeat(60)}.toml`],
  ] as const) assert.equal(fileName(given), name);
  assert.equal(titled("City car, as described"), "city-car.toml");
});

test("a name that is taken gets a number", () => {
  assert.equal(free("a.toml", []), "a.toml");
  assert.equal(free("a.toml", ["a.toml", "a 2.toml"]), "a 3.toml");
});

test("nothing kept is written over", () => {
  const storage = new Stored();
  storage.setItem("of another page", "1");
  const kept = new Kept(() => storage);
  assert.ok(kept.works);
  assert.equal(kept.keep("a.toml", "one"), "a.toml");
  assert.equal(kept.keep("a.toml", "one"), "a.toml");
  assert.equal(kept.keep("a.toml", "two"), "a 2.toml");
  assert.equal(kept.text("a.toml"), "one");
  assert.deepEqual(kept.names(), ["a 2.toml", "a.toml"]);
  kept.remove("a.toml");
  assert.deepEqual(kept.names(), ["a 2.toml"]);
  storage.room = 10;
  assert.equal(kept.keep("b.toml", "much too long for it"), undefined);
  assert.equal(storage.getItem("of another page"), "1");
});

test("a browser that keeps nothing is found out before anything depends on it", () => {
  const refuses = () => { throw new Error("denied"); };
  const full = new Stored();
  full.room = 0;
  const forgets = new Stored();
  forgets.setItem = () => {};
  for (const of of [refuses, () => undefined, () => null, () => full, () => forgets]) {
    const kept = new Kept(of);
    assert.equal(kept.works, false);
    assert.equal(kept.keep("a.toml", "one"), undefined);
    assert.deepEqual(kept.names(), []);
  }
});

test("the caret finds line and column", () => {
  const text = "one\n\u{1F697}\u{1F697} two\n";
  assert.equal(text.slice(place(text, 2, 4)), "two\n");
  assert.equal(place(text, 1, 1), 0);
  assert.equal(place(text, 9, 9), text.length);
  assert.equal(count(text), 3);
  assert.equal(unix("a\r\nb\rc\n"), "a\nb\nc\n");
});
