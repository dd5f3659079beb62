/** The library beside the page, so that a drag of the finger never waits for it. It keeps nothing between jobs. */

import start from "libdrag.mjs";
import { type Json, Library } from "./library";

export interface Job {
  id: number;
  requests: string[];
  files: Record<string, string>;
  /** Files whose text is wanted back. */
  wanted: string[];
}
export interface Done {
  id: number;
  answers: Json[];
  files: Record<string, string>;
}

/** Beside each interval in seconds or degrees its numbers as the library's words have them. */
function spell(library: Library, name: string, value: Json): void {
  if (Array.isArray(value)) value.forEach((item) => spell(library, name, item));
  else if (value !== null && typeof value === "object") {
    const numbers = ["median", "low", "high"].map((part) => value[part]);
    const words = name.endsWith("_s") ? library.inSeconds : name.endsWith("_deg") ? library.inDegrees : undefined;
    for (const [inner, part] of Object.entries(value)) spell(library, inner === "before" ? name : inner, part);
    if (words !== undefined && numbers.every((n) => typeof n === "number"))
      value.words = numbers.map((n) => words.call(library, n as number));
  }
}

let begin: (module: WebAssembly.Module) => void;
const library = new Promise<WebAssembly.Module>((resolve) => { begin = resolve; }).then(async (compiled) =>
  new Library(
    await start({
      instantiateWasm: (imports, done) => {
        void WebAssembly.instantiate(compiled, imports).then((instance) => done(instance, compiled));
        return {};
      },
      locateFile: (name) => name,
    }),
  ),
);
self.onmessage = async ({ data }: MessageEvent<WebAssembly.Module | Job>) => {
  if (data instanceof WebAssembly.Module) {
    begin(data);
    return;
  }
  const ready = await library;
  for (const [name, text] of Object.entries(data.files)) ready.writeFile(name, text);
  const answers = data.requests.map((request) => {
    const text = ready.answer(request);
    if (!text.startsWith("{")) return { text }; // a page to print
    const answer = JSON.parse(text) as Json;
    spell(ready, "", answer);
    return answer;
  });
  const files = Object.fromEntries(data.wanted.map((name) => [name, ready.readFile(name)]));
  for (const name of new Set([...Object.keys(data.files), ...data.wanted])) ready.removeFile(name);
  self.postMessage({ id: data.id, answers, files } satisfies Done);
};
