// What `pack.mjs` packed, unpacked: LZMA (lc = 4, lp = 0, pb = 0, no header) as text. A browser's own
// decompressor knows nothing that packs a core as small: gzip leaves a third more.

/** Bytes out of text: seven characters hold six bytes, as digits to base 116; what fills the last six up comes out too. */
export function bytes(text: string): Uint8Array<ArrayBuffer> {
  const digits = new Uint8Array(128);
  // ASCII without white space, end-of-file, escape and delete, and without `&` and `<`.
  for (let c = 1, digit = 0; c < 127; c++) {
    if (!"\t\n\v\f\r\x1a\x1b &<".includes(String.fromCharCode(c))) digits[c] = digit++;
  }
  const out = new Uint8Array((text.length / 7) * 6);
  for (let at = 0, to = 0; at < text.length; to += 6) {
    let number = 0;
    for (let i = 0; i < 7; i++) number = number * 116 + (digits[text.charCodeAt(at++)] as number);
    for (let i = 5; i >= 0; i--, number = Math.floor(number / 256)) out[to + i] = number % 256;
  }
  return out;
}

// Where the chances of each kind of bit begin. States: what the last few steps were, 0 to 6 when a literal was the last.
const STATES = 12;
const MATCH = 0;
const AGAIN = MATCH + STATES;
const AGAIN_0 = AGAIN + STATES;
const AGAIN_1 = AGAIN_0 + STATES;
const AGAIN_2 = AGAIN_1 + STATES;
const AGAIN_LONG = AGAIN_2 + STATES;
const SLOT = AGAIN_LONG + STATES;
const FAR = SLOT + 4 * 64;
const ALIGN = FAR + 128;
const LENGTH = ALIGN + 16;
const AGAIN_LENGTH = LENGTH + 2 + 8 + 8 + 256;
const LITERAL = AGAIN_LENGTH + 2 + 8 + 8 + 256;

/** The first `size` bytes of what was packed. */
export function unlzma(packed: Uint8Array, size: number): Uint8Array<ArrayBuffer> {
  const out = new Uint8Array(size);
  const chances = new Uint16Array(LITERAL + 16 * 0x300).fill(1 << 10);
  // The first byte is always 0.
  let from = 5;
  // Range and code, in an array because numbers of 32 bits are kept there without making objects of them.
  const coder = Uint32Array.of(0xffffffff, new DataView(packed.buffer, packed.byteOffset).getUint32(1));

  const narrow = (range: number, code: number) => {
    const few = range < 0x1000000;
    coder[0] = few ? range << 8 : range;
    coder[1] = few ? (code << 8) | (packed[from++] ?? 0) : code;
  };
  const bit = (of: number): 0 | 1 => {
    const chance = chances[of] as number;
    const range = coder[0] as number;
    const code = coder[1] as number;
    const bound = (range >>> 11) * chance;
    if (code < bound) {
      chances[of] = chance + ((2048 - chance) >> 5);
      narrow(bound, code);
      return 0;
    }
    chances[of] = chance - (chance >> 5);
    narrow(range - bound, code - bound);
    return 1;
  };
  /** Bits as even as a coin. */
  const even = (count: number) => {
    let value = 0;
    for (; count > 0; count--) {
      const half = (coder[0] as number) >>> 1;
      const code = coder[1] as number;
      const one = code >= half;
      value = value * 2 + Number(one);
      narrow(half, one ? code - half : code);
    }
    return value;
  };
  /** A number, its highest bit first. */
  const number = (of: number, count: number) => {
    let path = 1;
    for (let i = 0; i < count; i++) path = path * 2 + bit(of + path);
    return path - (1 << count);
  };
  /** A number, its lowest bit first. */
  const backwards = (of: number, count: number) => {
    let path = 1;
    let value = 0;
    for (let i = 0; i < count; i++) {
      const b = bit(of + path);
      path = path * 2 + b;
      value |= b << i;
    }
    return value;
  };
  /** A length, without the two that each has. */
  const length = (of: number) => {
    if (!bit(of)) return number(of + 2, 3);
    return bit(of + 1) ? 16 + number(of + 18, 8) : 8 + number(of + 10, 3);
  };
  const distance = (short: number) => {
    const slot = number(SLOT + short * 64, 6);
    if (slot < 4) return slot;
    const count = (slot >> 1) - 1;
    const base = (2 | (slot & 1)) * 2 ** count;
    if (slot < 14) return base + backwards(FAR + base - slot, count);
    return base + even(count - 4) * 16 + backwards(ALIGN, 4);
  };

  let state = 0;
  // How far back the last four matches lie, less one.
  let [back0, back1, back2, back3] = [0, 0, 0, 0];
  let at = 0;
  while (at < size) {
    if (!bit(MATCH + state)) {
      const of = LITERAL + 0x300 * ((out[at - 1] ?? 0) >> 4);
      let path = 1;
      // After a match the byte that would have gone on with it says which chances hold, as long as it is right.
      for (let like = state < 7 ? -1 : (out[at - back0 - 1] as number); like >= 0 && path < 0x100; ) {
        const b = (like >> 7) & 1;
        path = path * 2 + bit(of + 0x100 * (1 + b) + path);
        like = (path & 1) === b ? (like << 1) & 0xff : -1;
      }
      while (path < 0x100) path = path * 2 + bit(of + path);
      out[at++] = path;
      state = state < 4 ? 0 : state < 10 ? state - 3 : state - 6;
      continue;
    }
    let count = 1;
    if (!bit(AGAIN + state)) {
      [back3, back2, back1] = [back2, back1, back0];
      count = 2 + length(LENGTH);
      back0 = distance(Math.min(count - 2, 3));
      state = state < 7 ? 7 : 10;
    } else {
      let short = false;
      if (!bit(AGAIN_0 + state)) short = !bit(AGAIN_LONG + state);
      else if (!bit(AGAIN_1 + state)) [back0, back1] = [back1, back0];
      else if (!bit(AGAIN_2 + state)) [back0, back1, back2] = [back2, back0, back1];
      else [back0, back1, back2, back3] = [back3, back0, back1, back2];
      if (!short) count = 2 + length(AGAIN_LENGTH);
      state = state < 7 ? (short ? 9 : 8) : 11;
    }
    for (; count > 0 && at < size; count--, at++) out[at] = out[at - back0 - 1] as number;
  }
  return out;
}
