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
    if (at >= bytes.length) throw new Error("an instruction of the library is not known to split_code.mjs");
    const byte = bytes[at++];
    value += scale * (byte & 127);
    if (byte < 128) return [value, at];
  }
}

/** @returns before and after the functions, how many they are, and streams of what is in them, in the order of unpack.cpp */
export function split_code(bytes) {
  const code = sections(bytes).find(({ id }) => id === 10);
  const [functions, begin] = number(bytes, code.begin);
  const streams = Array.from({ length: 9 }, () => []);
  const [wide, longer, integer, added, offset, call, local, shape, operation] = streams;
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
    const latest = []; // locals: what was used last is likely, and its place here a small number
    const take_local = () => {
      const [which, end] = number(bytes, at);
      at = end;
      while (latest.length <= which) latest.push(latest.length);
      let place = latest.indexOf(which);
      latest.splice(place, 1);
      latest.unshift(which);
      for (; place > 127; place >>= 7) local.push((place & 127) | 128);
      local.push(place);
    };
    for (let groups = take_number(shape); groups > 0; --groups) {
      take_number(shape);
      take(shape, 1);
    }
    while (at < body + size) {
      const what = bytes[at];
      take(operation, 1);
      if (what >= 0x28 && what <= 0x3e) take_memory_place();
      else if ([0x02, 0x03, 0x04, 0x06, 0x07, 0x08, 0x09, 0x0c, 0x0d, 0x18, 0x23, 0x24, 0x3f, 0x40].includes(what))
        take_number(operation);
      else if (what === 0x0e) for (let places = take_number(shape) + 1; places > 0; --places) take_number(shape);
      else if (what === 0x10) take_number(call);
      else if (what === 0x11) {
        take_number(shape);
        take_number(shape);
      } else if (what >= 0x20 && what <= 0x22) take_local();
      else if (what === 0x41) take_number(bytes[number(bytes, at)[1]] === 0x6a ? added : integer); // mostly members of an object
      else if (what === 0x42) take_number(longer);
      else if (what === 0x43) take(wide, 4);
      else if (what === 0x44) take(wide, 8);
      else if (what === 0xfc) {
        const which = take_number(operation);
        if (which >= 8) take(operation, which === 9 || which === 11 ? 1 : 2);
      } else if (what === 0xfd) {
        const which = take_number(operation);
        const of_lane = which >= 84 && which <= 91;
        if (which <= 11 || of_lane || which === 92 || which === 93) take_memory_place();
        if (which === 12 || which === 13) take(wide, 16);
        if (of_lane || (which >= 21 && which <= 34)) take(operation, 1);
      }
    }
  }
  return {
    before: bytes.subarray(0, begin), after: bytes.subarray(code.end), functions,
    streams: streams.map((stream) => Buffer.from(stream)),
  };
}
