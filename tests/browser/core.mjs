// The core out of a live page, asked from Node.
import assert from "node:assert/strict";
import { spawnSync } from "node:child_process";
import { readFileSync } from "node:fs";
import { FORMAT } from "../../live/page/pack.mjs";

/** The WebAssembly that a page carries, unpacked by `xz` and not by the page's own lines. */
export function unpacked(page) {
  const [, sizes, packed] = readFileSync(page, "utf8").match(/id="packed" data-sizes="([0-9 ]+)">([^<]+)</) ?? [];
  const left = [9, 10, 11, 12, 13, 26, 27, 32, 38, 60];
  const digits = [...Array(126).keys()].map((i) => i + 1).filter((c) => !left.includes(c)).map((c) => String.fromCharCode(c));
  const value = new Map(digits.map((c, i) => [c, BigInt(i)]));
  const six = (seven) => [...seven].reduce((number, c) => number * 116n + value.get(c), 0n).toString(16).padStart(12, "0");
  const bytes = Buffer.from(packed.match(/.{7}/gs).map(six).join(""), "hex");
  const [core, ...others] = sizes.split(" ").map(Number);
  // With a status of its own where what fills the last seven characters up makes other bytes.
  const { stdout } = spawnSync("xz", [...FORMAT, "--decompress", "--stdout"], { input: bytes, maxBuffer: 1 << 28 });
  assert.equal(stdout.length, others.reduce((a, b) => a + b, core));
  return stdout.subarray(0, core);
}

/**
 * What asks a core, question and answer as objects. It stands in a page as well: it needs nothing from outside.
 * @param {BufferSource} wasm
 */
export async function begin(wasm) {
  const { instance } = await WebAssembly.instantiate(wasm, { page: { progress() {} } });
  const core = instance.exports;
  return (question) => {
    const bytes = new TextEncoder().encode(JSON.stringify(question));
    const room = core.reserve(bytes.length);
    new Uint8Array(core.memory.buffer, room, bytes.length).set(bytes);
    const length = core.answer();
    return JSON.parse(new TextDecoder().decode(new Uint8Array(core.memory.buffer, core.answered(), length)));
  };
}
