/**
 * A module of WebAssembly as pieces that pack well together: operations and what they are given go apart, for a local is like
 * other locals and a place in memory like other places. src/unpack.cpp joins them again.
 */
const sections = (bytes) => {
  const out = [];
  for (let at = 8; at < bytes.length; ) {
    const id = bytes[at];
    const [length, begin] = number(bytes, at + 1);
    out.push({ id, begin, end: begin + length });
    at = begin + length;
  }
  return out;
};
/** A number of any length, without its sign, and where it ends. */
function number(bytes, at) {
  let value = 0;
  for (let scale = 1; ; scale *= 128) {
    const byte = bytes[at++];
    value += scale * (byte & 127);
    if (byte < 128) return [value, at];
  }
}

/** @returns before and after the functions, how many they are, and seven streams of what is in them */
export function split_code(bytes) {
  const code = sections(bytes).find(({ id }) => id === 10);
  const [functions, begin] = number(bytes, code.begin);
  const streams = Array.from({ length: 7 }, () => []);
  const [operation, place, local, call, offset, integer, wide] = streams;
  let at = begin;
  const take = (stream, count) => {
    for (const end = at + count; at < end; ++at) stream.push(bytes[at]);
  };
  const take_number = (stream) => {
    const [value, end] = number(bytes, at);
    take(stream, end - at);
    return value;
  };
  const take_memory_place = () => {
    take_number(operation);
    take_number(offset);
  };
  for (let i = 0; i < functions; ++i) {
    const [size, body] = number(bytes, at); // not kept: it is known when they are joined
    at = body;
    for (let kinds = take_number(place); kinds > 0; --kinds) {
      take_number(place);
      take(place, 1);
    }
    while (at < body + size) {
      const which = bytes[at];
      take(operation, 1);
      if (which >= 0x28 && which <= 0x3e) take_memory_place();
      else if ([0x02, 0x03, 0x04, 0x06, 0x07, 0x08, 0x23, 0x24, 0x3f, 0x40].includes(which)) take_number(operation);
      else if ([0x09, 0x0c, 0x0d, 0x18].includes(which)) take_number(place);
      else if (which === 0x0e) for (let places = take_number(place) + 1; places > 0; --places) take_number(place);
      else if (which === 0x10) take_number(call);
      else if (which === 0x11) {
        take_number(place);
        take_number(place);
      } else if (which >= 0x20 && which <= 0x22) take_number(local);
      else if (which === 0x41 || which === 0x42) take_number(integer);
      else if (which === 0x43) take(wide, 4);
      else if (which === 0x44) take(wide, 8);
      else if (which === 0xfc) {
        const more = take_number(operation);
        if (more >= 8) take(operation, more === 9 || more === 11 ? 1 : 2);
      } else if (which === 0xfd) {
        const more = take_number(operation);
        const of_lane = more >= 84 && more <= 91;
        if (more <= 11 || of_lane || more === 92 || more === 93) take_memory_place();
        if (more === 12 || more === 13) take(wide, 16);
        if (of_lane || (more >= 21 && more <= 34)) take(operation, 1);
      }
    }
  }
  return {
    before: bytes.subarray(0, begin), after: bytes.subarray(code.end), functions,
    streams: streams.map((stream) => Buffer.from(stream)),
  };
}
