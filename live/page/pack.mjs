// Packs bytes as text that `src/unpack.ts` unpacks: LZMA by `xz`, then seven characters of ASCII for six
// bytes.
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

/** Six bytes are seven digits to base 116: the characters of ASCII without white space, end-of-file, escape and delete, and
 * without `&` and `<`. A page may hold control characters; without them, of printable ones alone, it would be a twentieth
 * larger. */
export const DIGITS = Array.from({ length: 126 }, (_, i) => i + 1).filter((c) => ![9, 10, 11, 12, 13, 26, 27, 32, 38, 60].includes(c));

/** Bytes as text; to fill the last six up, zeros. */
export function text(bytes) {
  const out = [];
  for (let from = 0; from < bytes.length; from += 6) {
    let number = 0;
    for (let i = 0; i < 6; i++) number = number * 256 + (bytes[from + i] ?? 0);
    const seven = [];
    for (let i = 0; i < 7; i++, number = Math.floor(number / 116)) seven.unshift(DIGITS[number % 116]);
    out.push(String.fromCharCode(...seven));
  }
  return out.join("");
}
