// Unpacks LZMA, which makes a module a quarter smaller than gzip does and which no browser reads by itself.
//
// Written after I. Pavlov, "LZMA specification" (2015, public domain; title and year from memory), for streams without header and end mark whose
// chances depend on three bits of the byte before and on no place (lc = 3, lp = pb = 0). It runs in the page and in the
// service worker, which is a classic script and imports no modules, so its function goes by a global name.
{
  // Where each group of chances begins. A choice has 12 states; the lengths of a repetition take 274 chances.
  const IS_COPY = 0;
  const IS_AGAIN = IS_COPY + 12;
  const IS_LATEST = IS_AGAIN + 12;
  const IS_SECOND = IS_LATEST + 12;
  const IS_THIRD = IS_SECOND + 12;
  const IS_LONG = IS_THIRD + 12;
  const SLOT = IS_LONG + 12;
  const NEAR = SLOT + 4 * 64;
  const LOWEST = NEAR + 128;
  const LENGTH = LOWEST + 16;
  const LENGTH_AGAIN = LENGTH + 274;
  const BYTE = LENGTH_AGAIN + 274;
  const CHANCES = BYTE + 8 * 0x300;

  /** Reads a stream bit by bit: each bit has a chance that follows what came of it before. */
  function reader(packed) {
    const chances = new Uint16Array(CHANCES).fill(1024);
    let range = 0xffffffff;
    let code = 0;
    let from = 1;
    while (from < 5) code = ((code << 8) | packed[from++]) >>> 0;
    const refill = () => {
      if (range >= 0x1000000) return;
      range = (range << 8) >>> 0;
      code = ((code << 8) | packed[from++]) >>> 0;
    };

    const bit = (at) => {
      const chance = chances[at];
      const bound = (range >>> 11) * chance;
      const is = code < bound ? 0 : 1;
      if (is) {
        range -= bound;
        code -= bound;
        chances[at] = chance - (chance >> 5);
      } else {
        range = bound;
        chances[at] = chance + ((2048 - chance) >> 5);
      }
      refill();
      return is;
    };
    /** So many bits, each as likely as not, the highest first. */
    const even = (bits) => {
      let value = 0;
      for (; bits > 0; bits--) {
        range >>>= 1;
        const is = code < range ? 0 : 1;
        if (is) code -= range;
        value = (value << 1) | is;
        refill();
      }
      return value;
    };
    /** So many bits, each with a chance for all that came before it, the highest first. */
    const tree = (at, bits) => {
      let node = 1;
      for (let i = 0; i < bits; i++) node = (node << 1) | bit(at + node);
      return node - (1 << bits);
    };
    /** As `tree`, the lowest first. */
    const lowestFirst = (at, bits) => {
      let node = 1;
      let value = 0;
      for (let i = 0; i < bits; i++) {
        const is = bit(at + node);
        node = (node << 1) | is;
        value |= is << i;
      }
      return value;
    };
    return { bit, even, tree, lowestFirst };
  }

  /** How many bytes are repeated. */
  function length({ bit, tree }, at) {
    if (!bit(at)) return 2 + tree(at + 2, 3);
    if (!bit(at + 1)) return 10 + tree(at + 10, 3);
    return 18 + tree(at + 18, 8);
  }

  /** How far back a repetition of so many bytes begins, less one. */
  function distance({ even, tree, lowestFirst }, many) {
    const slot = tree(SLOT + Math.min(many - 2, 3) * 64, 6);
    if (slot < 4) return slot;
    const bits = (slot >> 1) - 1;
    const least = (2 | (slot & 1)) << bits;
    if (slot < 14) return least + lowestFirst(NEAR + least - slot, bits);
    return least + (even(bits - 4) << 4) + lowestFirst(LOWEST, 4);
  }

  /** A byte of its own; `expected` is the one that a repetition would have gone on with, where one has just ended. */
  function single({ bit }, previous, expected) {
    const at = BYTE + 0x300 * (previous >> 5);
    let node = 1;
    while (expected !== undefined && node < 256) {
      const hint = (expected >> 7) & 1;
      expected <<= 1;
      const is = bit(at + ((1 + hint) << 8) + node);
      node = (node << 1) | is;
      if (hint !== is) break;
    }
    while (node < 256) node = (node << 1) | bit(at + node);
    return node;
  }

  /** The `size` bytes that a stream holds; they may repeat what is `known`. */
  self.unlzma = (packed, size, known = new Uint8Array()) => {
    const out = new Uint8Array(known.length + size);
    out.set(known);
    const reads = reader(packed);
    const { bit } = reads;
    // Of the latest four repetitions, how far back they lay.
    let back = [0, 0, 0, 0];
    // What came last: below 7 bytes of their own, from there on repetitions.
    let state = 0;
    let to = known.length;
    while (to < out.length) {
      if (!bit(IS_COPY + state)) {
        const expected = state < 7 ? undefined : out[to - back[0] - 1];
        out[to] = single(reads, to > 0 ? out[to - 1] : 0, expected);
        to++;
        state = state < 4 ? 0 : state - (state < 10 ? 3 : 6);
        continue;
      }
      let many;
      if (!bit(IS_AGAIN + state)) {
        many = length(reads, LENGTH);
        back = [distance(reads, many), back[0], back[1], back[2]];
        state = state < 7 ? 7 : 10;
      } else {
        const which = !bit(IS_LATEST + state) ? 0 : !bit(IS_SECOND + state) ? 1 : !bit(IS_THIRD + state) ? 2 : 3;
        const isOne = which === 0 && !bit(IS_LONG + state);
        if (which > 0) back.unshift(...back.splice(which, 1));
        many = isOne ? 1 : length(reads, LENGTH_AGAIN);
        state = state < 7 ? (isOne ? 9 : 8) : 11;
      }
      if (back[0] >= to) throw new Error("a packed file is broken");
      for (const end = Math.min(to + many, out.length); to < end; to++) out[to] = out[to - back[0] - 1];
    }
    return out.subarray(known.length);
  };
}
