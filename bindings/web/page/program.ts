/** Everything of the page but the first script, which brings it here, and which src/unpack.cpp unpacks. */

export interface Program {
  /** Address of the worker's script. */
  worker: string;
  library: Promise<WebAssembly.Module>;
}
declare global {
  interface Window {
    program: Program;
  }
}

interface Unpacker {
  memory: WebAssembly.Memory;
  begin_unpacking(packed: number, to: number): void;
  unpack_to(end: number): void;
  join(streams: number, sizes: number, functions: number, to: number): number;
}

/** The texts of the page's script, its style and the worker's script; the library, of which most is yet packed. */
export interface Unpacked {
  script: string;
  style: string;
  worker: string;
  library: () => Uint8Array<ArrayBuffer>;
}

/**
 * What was packed are 15 numbers: the lengths of the three texts and of the library before and after its functions, how many
 * these are, and the lengths of the nine streams that they are in. Then all these.
 * @param size of it
 */
export async function unpacked(unpacker: Uint8Array<ArrayBuffer>, packed: Uint8Array, size: number): Promise<Unpacked> {
  const { memory, begin_unpacking, unpack_to, join } = (await WebAssembly.instantiate(unpacker)).instance.exports as unknown as Unpacker;
  const count = 15;
  const from = memory.buffer.byteLength;
  const to = from + 4 * Math.ceil(packed.length / 4);
  memory.grow(Math.ceil((to - from + 2 * size) / 65536) + 1);
  const bytes = new Uint8Array(memory.buffer);
  bytes.set(packed, from);
  begin_unpacking(from, to);
  unpack_to(to + 4 * count);
  const numbers = [...new Uint32Array(memory.buffer, to, count)] as [number, number, number, number, number, number];
  const [ofScript, ofStyle, ofWorker, before, after, functions] = numbers;
  let at = to + 4 * count;
  const text = (length: number): string => {
    unpack_to(at + length);
    return new TextDecoder().decode(bytes.subarray(at, (at += length)));
  };
  const [script, style, worker] = [text(ofScript), text(ofStyle), text(ofWorker)];
  const library = (): Uint8Array<ArrayBuffer> => {
    unpack_to(to + size);
    const code = to + size + before;
    const end = join(at + before + after, to + 4 * 6, functions, code);
    bytes.copyWithin(code - before, at, at + before);
    bytes.copyWithin(end, at + before, at + before + after);
    return bytes.subarray(code - before, end + after);
  };
  return { script, style, worker, library };
}

/** The library is unpacked when the page is there and the worker starts. */
export function programOf({ worker, library }: Unpacked): Program {
  return {
    worker: URL.createObjectURL(new Blob([worker], { type: "text/javascript" })),
    library: new Promise((there) => { setTimeout(there); }).then(() => WebAssembly.compile(library())),
  };
}
