// Puts a module together from what the build has packed: a file says how, and holds the module as it is or in six streams.
//
// The streams part what instructions say, as "WebAssembly Core Specification" 2.0 (W3C), chapter 5.4, writes them;
// app/xtask/src/streams.rs parts them and app/xtask/src/pack.rs packs them. It runs where unlzma.js runs, and like it.
{
  const AS_IT_IS = 0;
  const IN_STREAMS = 1;
  const STREAMS = 6;
  const HEAD = 12 + STREAMS * 8;

  /**
   * The module that a file holds. `before` is what this gave for the file that it leans on: the streams that it may repeat, and
   * the build that both must be of.
   */
  self.unpack = (packed, before) => {
    if (packed[0] === AS_IT_IS) return { module: packed.subarray(1) };
    if (packed[0] !== IN_STREAMS) throw new Error("a packed file is broken");
    const head = new DataView(packed.buffer, packed.byteOffset + 1, HEAD);
    const build = head.getBigUint64(0, true);
    if (before && before.build !== build) throw new Error("the server has a newer version of the page: reload it");
    const streams = [];
    let from = 1 + HEAD;
    for (let i = 0; i < STREAMS; i++) {
      const size = head.getUint32(12 + i * 8, true);
      const end = from + head.getUint32(16 + i * 8, true);
      streams.push(self.unlzma(packed.subarray(from, end), size, before?.streams[i]));
      from = end;
    }
    return { module: together(streams, new Uint8Array(head.getUint32(8, true))), streams, build };
  };

  function together(streams, out) {
    // Where each stream is read next, and where the module is written next.
    const at = streams.map(() => 0);
    let to = 0;
    const byte = (stream) => {
      const from = at[stream]++;
      if (from >= streams[stream].length) throw new Error("a packed file is broken");
      return (out[to++] = streams[stream][from]);
    };
    const bytes = (stream, many) => {
      for (; many > 0; many--) byte(stream);
    };
    /** A number of the format (LEB128), for what it counts. */
    const number = (stream) => {
      let value = 0;
      for (let shift = 0; ; shift += 7) {
        const part = byte(stream);
        value |= (part & 127) << shift;
        if (part < 128) return value >>> 0;
      }
    };
    const numbers = (stream, many) => {
      for (; many > 0; many--) number(stream);
    };
    const [FRAME, CODE, LOCALS, CALLS, NUMBERS, OFFSETS] = streams.keys();

    const place = () => {
      number(CODE);
      number(OFFSETS);
    };
    const bulk = () => {
      const kind = number(CODE);
      if (kind < 8) return;
      numbers(CODE, kind < 15 && kind % 2 === 0 ? 2 : 1);
    };
    const wide = () => {
      const kind = number(CODE);
      if (kind < 12 || kind === 92 || kind === 93) place();
      else if (kind < 14) bytes(FRAME, 16);
      else if (kind > 20 && kind < 35) byte(CODE);
      else if (kind > 83 && kind < 92) {
        place();
        byte(CODE);
      }
    };
    /** Copies an instruction; gives by how much blocks are nested deeper after it. */
    const instruction = () => {
      const code = byte(CODE);
      if (code === 0x0b) return -1;
      if (code >= 0x45 && code < 0xc5) return 0;
      if (code >= 0x20 && code < 0x23) number(LOCALS);
      else if (code === 0x41 || code === 0x42) number(NUMBERS);
      else if (code >= 0x28 && code < 0x3f) place();
      else if (code === 0x10 || code === 0xd2) number(CALLS);
      else if (code >= 0x02 && code < 0x05) {
        number(CODE);
        return 1;
      } else if (code === 0x0c || code === 0x0d || (code >= 0x23 && code < 0x27) || code === 0x3f || code === 0x40 || code === 0xd0) {
        number(CODE);
      } else if (code === 0x0e) numbers(FRAME, number(FRAME) + 1);
      else if (code === 0x11) numbers(FRAME, 2);
      else if (code === 0x1c) numbers(FRAME, number(FRAME));
      else if (code === 0x43) bytes(FRAME, 4);
      else if (code === 0x44) bytes(FRAME, 8);
      else if (code === 0xfc) bulk();
      else if (code === 0xfd) wide();
      return 0;
    };
    /** Copies a function and writes its size, which no stream has, before it. */
    const body = () => {
      const start = to;
      for (let groups = number(FRAME); groups > 0; groups--) {
        number(FRAME);
        byte(FRAME);
      }
      for (let depth = 1; depth > 0; ) depth += instruction();
      const size = [];
      let rest = to - start;
      for (; rest > 127; rest >>>= 7) size.push((rest & 127) | 128);
      size.push(rest);
      out.copyWithin(start + size.length, start, to);
      out.set(size, start);
      to += size.length;
    };

    bytes(FRAME, 8);
    while (to < out.length) {
      const isCode = byte(FRAME) === 10;
      const size = number(FRAME);
      if (!isCode) bytes(FRAME, size);
      else for (let functions = number(FRAME); functions > 0; functions--) body();
    }
    return out;
  }
}
