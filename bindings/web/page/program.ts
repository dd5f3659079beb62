/** The worker's script and the library, out of the page itself. */

/** What a page's text cannot hold as it is: the end of a string, the end of a line as Windows has it, the begin of a tag. */
const missing = [0, 13, 60];

/**
 * Bytes of a text of seven bits a character. One of `missing` stands, with the seven bits after it, in a letter above 255
 * (make_page.mjs writes it).
 */
export function unpacked(text: string, length: number): Uint8Array<ArrayBuffer> {
  const bytes = new Uint8Array(length);
  let size = 0;
  let bits = 0;
  let held = 0;
  const take = (seven: number): void => {
    held = (held << 7) | seven;
    bits += 7;
    if (bits < 8) return;
    bits -= 8;
    bytes[size++] = held >> bits;
    held &= (1 << bits) - 1;
  };
  for (let i = 0; i < text.length; ++i) {
    const code = text.charCodeAt(i);
    if (code < 128) take(code);
    else {
      take(missing[(code >> 7) - 2] ?? 0);
      take(code & 127);
    }
  }
  return bytes;
}

export interface Program {
  /** Address of the worker's script. */
  script: string;
  library: Promise<WebAssembly.Module>;
}

/** The script is there first, so that the worker starts while the library is still being compiled. */
export async function program(text: string, length: number): Promise<Program> {
  const reader = new Blob([unpacked(text, length)]).stream().pipeThrough(new DecompressionStream("gzip")).getReader();
  let begin = new Uint8Array(0);
  const more = async (): Promise<void> => {
    const { value } = await reader.read();
    if (value === undefined) throw new Error("the page is cut off");
    const longer = new Uint8Array(begin.length + value.length);
    longer.set(begin);
    longer.set(value, begin.length);
    begin = longer;
  };
  while (!begin.includes(10)) await more();
  const start = begin.indexOf(10) + 1;
  const end = start + Number(new TextDecoder().decode(begin.subarray(0, start)));
  while (begin.length < end) await more();
  const rest = new ReadableStream<Uint8Array>({
    start: (out) => { out.enqueue(begin.subarray(end)); },
    pull: async (out) => {
      const { value } = await reader.read();
      if (value === undefined) out.close();
      else out.enqueue(value);
    },
  });
  return {
    script: URL.createObjectURL(new Blob([begin.subarray(start, end)], { type: "text/javascript" })),
    library: WebAssembly.compileStreaming(new Response(rest, { headers: { "content-type": "application/wasm" } })),
  };
}
