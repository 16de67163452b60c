// What `xz` has packed, unpacked by the page's own lines.
import assert from "node:assert/strict";
import { readFileSync } from "node:fs";
import { test } from "node:test";
import { lzma, text } from "../pack.mjs";
import { bytes, unlzma } from "../src/unpack.ts";

/** Numbers without a pattern, the same on every run. */
function* noise(seed: number) {
  for (let x = seed; ; ) {
    x = (Math.imul(x, 1664525) + 1013904223) >>> 0;
    yield x >>> 24;
  }
}
const some = (count: number, seed: number) => Uint8Array.from({ length: count }, ((n) => () => n.next().value as number)(noise(seed)));

test("bytes come out of the text as they went in, and nothing in it is markup or white space", () => {
  for (let count = 0; count < 40; count++) {
    for (const whole of [some(count, count), new Uint8Array(count), new Uint8Array(count).fill(255)]) {
      const packed = text(whole);
      assert.match(packed, /^[\x01-\x7e]*$/);
      assert.doesNotMatch(packed, /[&<\s\x1a\x1b]/);
      assert.deepEqual(bytes(packed).subarray(0, count), whole);
      assert.equal(packed.length, 7 * Math.ceil(count / 6));
    }
  }
});

test("what xz packs is unpacked", () => {
  const source = readFileSync(new URL("../src/unpack.ts", import.meta.url));
  const far = some(300_000, 3);
  const cases: Record<string, Uint8Array> = {
    "one byte": Uint8Array.of(7),
    "one byte again and again": new Uint8Array(100_000).fill(65),
    "text": source,
    "noise": some(50_000, 1),
    // Repeats from every distance, some of them with a byte changed.
    "repeats": Buffer.concat([source, far, source, far.subarray(100_000), Uint8Array.of(1), source, far.subarray(7, 299_000).map((b, i) => (i % 97 ? b : b ^ 1)), far]),
    "few different bytes": some(200_000, 5).map((b) => b & 3),
    "a font": readFileSync(new URL("../../../assets/fonts/Page-Bold.woff2", import.meta.url)),
    "a program": readFileSync(process.execPath).subarray(1_000_000, 1_600_000),
  };
  for (const [what, whole] of Object.entries(cases)) {
    const packed = bytes(text(lzma(whole)));
    assert.ok(Buffer.from(unlzma(packed, whole.length)).equals(whole), what);
  }
});
