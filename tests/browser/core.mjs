// The core out of a live page, asked from Node.
import assert from "node:assert/strict";
import { spawnSync } from "node:child_process";
import { readFileSync } from "node:fs";
import { FORMAT } from "../../live/page/pack.mjs";

/** The WebAssembly that a page carries, unpacked by `xz` and not by the page's own lines. */
export function unpacked(page) {
  const [, sizes, packed] = readFileSync(page, "utf8").match(/id="packed" data-sizes="([0-9 ]+)">([^<]+)</) ?? [];
  const digits = [...Array(94).keys()].map((i) => String.fromCharCode(33 + i)).filter((c) => !"&(<".includes(c)).join("");
  const bits = packed.match(/../g).map((two) => (digits.indexOf(two[0]) * 91 + digits.indexOf(two[1])).toString(2).padStart(13, "0")).join("");
  const bytes = Buffer.from(bits.match(/.{8}/g).map((byte) => parseInt(byte, 2)));
  const [core, ...others] = sizes.split(" ").map(Number);
  // With a status of its own where what fills the last two characters up makes another byte.
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
