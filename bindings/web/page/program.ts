/** Everything of the page but the first script, which brings it here: one text, packed by xz. */

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

/** What xz-decompress has compiled of XZ Embedded: streams in its memory, one at a time. */
interface Unpacker {
  memory: WebAssembly.Memory;
  create_context(): number;
  supply_input(context: number, bytes: number): void;
  get_next_output(context: number): number;
}

/** The pieces of what was packed. */
function* unpacked({ memory, create_context, supply_input, get_next_output }: Unpacker, packed: Uint8Array): Generator<Uint8Array<ArrayBuffer>> {
  const context = create_context();
  const finished = 1;
  for (let [given, state] = [0, 0]; state !== finished; ) {
    // Memory that has grown is another buffer.
    const numbers = new Uint32Array(memory.buffer, context, 6);
    const [room, input, taken, had, output] = numbers as unknown as [number, number, number, number, number];
    if (taken === had) {
      const piece = packed.subarray(given, given + room);
      new Uint8Array(memory.buffer).set(piece, input);
      supply_input(context, piece.length);
      given += piece.length;
    }
    state = get_next_output(context);
    if (state > finished) throw new Error("the page is damaged");
    const after = new Uint32Array(memory.buffer, context, 6);
    yield new Uint8Array(memory.buffer).slice(output, output + (after[5] ?? 0));
    after[5] = 0;
  }
}

/**
 * What a text begins with: the lengths of the page's script, its style and the worker's script, a line end, then these. The
 * library follows, compiled while the rest is being unpacked.
 */
export async function begun(unpacker: Uint8Array<ArrayBuffer>, packed: Uint8Array): Promise<{ script: string; style: string; program: Program }> {
  const { instance } = await WebAssembly.instantiate(unpacker);
  const pieces = unpacked(instance.exports as unknown as Unpacker, packed);
  let begin = new Uint8Array(0);
  const more = (): void => {
    const { value } = pieces.next();
    if (value === undefined) throw new Error("the page is cut off");
    const longer = new Uint8Array(begin.length + value.length);
    longer.set(begin);
    longer.set(value, begin.length);
    begin = longer;
  };
  while (!begin.includes(10)) more();
  let end = begin.indexOf(10) + 1;
  const lengths = JSON.parse(new TextDecoder().decode(begin.subarray(0, end))) as number[];
  const [script, style, worker] = lengths.map((length) => {
    while (begin.length < end + length) more();
    return begin.subarray(end, (end += length));
  });
  const rest = new ReadableStream<Uint8Array>({
    start: (out) => { out.enqueue(begin.subarray(end)); },
    pull: (out) => {
      const { value } = pieces.next();
      if (value === undefined) out.close();
      else out.enqueue(value);
    },
  });
  const text = (bytes: Uint8Array | undefined): string => new TextDecoder().decode(bytes);
  return {
    script: text(script),
    style: text(style),
    program: {
      worker: URL.createObjectURL(new Blob([text(worker)], { type: "text/javascript" })),
      library: WebAssembly.compileStreaming(new Response(rest, { headers: { "content-type": "application/wasm" } })),
    },
  };
}
