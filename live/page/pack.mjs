// Packs bytes as text that `src/unpack.ts` unpacks: LZMA by `xz`, then two printable characters for 13 bits.
import { execFileSync } from "node:child_process";

/** LZMA as `xz` is asked for it, packing and unpacking; without a header, since it is always this. */
export const FORMAT = ["--format=raw", "--lzma1=preset=9e,dict=4MiB,lc=4,lp=0,pb=0,nice=273"];

/** LZMA of some bytes. */
export function lzma(bytes) {
  try {
    return execFileSync("xz", [...FORMAT, "--compress", "--stdout"], { input: bytes, maxBuffer: 1 << 28 });
  } catch (why) {
    throw new Error("xz is needed to pack the page: install xz-utils", { cause: why });
  }
}

/** Bytes as text: digits to base 91, printable and no space; without `&`, `(` and `<`. */
export function text(bytes) {
  const digits = Array.from({ length: 94 }, (_, i) => String.fromCharCode(33 + i)).filter((c) => !"&(<".includes(c));
  const out = [];
  let held = 0;
  let bits = 0;
  const put = (pair) => out.push(digits[Math.floor(pair / 91)], digits[pair % 91]);
  for (const byte of bytes) {
    held = (held << 8) | byte;
    bits += 8;
    if (bits < 13) continue;
    bits -= 13;
    put(held >> bits);
    held &= (1 << bits) - 1;
  }
  if (bits > 0) put(held << (13 - bits));
  return out.join("");
}
