// The core out of a live page, asked from Node.
import { readFileSync } from "node:fs";
import { gunzipSync } from "node:zlib";

/** The WebAssembly that a page carries. */
export function unpacked(page) {
  const [, packed] = readFileSync(page, "utf8").match(/<script type="text\/plain" id="core">([^<]+)</) ?? [];
  return gunzipSync(Buffer.from(packed, "base64"));
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
