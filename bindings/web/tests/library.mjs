// The module that is in the page, in Node.
import { readFileSync } from "node:fs";
import { buildSync } from "esbuild";
import { fileURLToPath } from "node:url";

export async function library(folder) {
  const source = fileURLToPath(new URL("../page/library.ts", import.meta.url));
  const { outputFiles } = buildSync({ entryPoints: [source], format: "esm", write: false });
  const { Library } = await import("data:text/javascript," + encodeURIComponent(outputFiles[0].text));
  const { default: start } = await import(`${folder}/libdrag.mjs`);
  // The module is made for a worker.
  globalThis.self = { location: { href: "" } };
  return new Library(await start({ wasmBinary: readFileSync(`${folder}/libdrag.wasm`), locateFile: (name) => name }));
}
