// Answers requests in Node, for tests: {"files": {name: text}, "requests": [...]} on standard input, a list of texts on
// standard output. The module is the one that is in the page.
import { readFileSync } from "node:fs";
import { buildSync } from "esbuild";
import { fileURLToPath } from "node:url";

const folder = process.argv[2];
const source = fileURLToPath(new URL("../page/library.ts", import.meta.url));
const { outputFiles } = buildSync({ entryPoints: [source], format: "esm", write: false });
const { Library } = await import("data:text/javascript," + encodeURIComponent(outputFiles[0].text));
const { default: start } = await import(`${folder}/libdrag.mjs`);
// The module is made for a worker.
globalThis.self = { location: { href: "" } };
const library = new Library(await start({ wasmBinary: readFileSync(`${folder}/libdrag.wasm`), locateFile: (name) => name }));

const { files, requests } = JSON.parse(readFileSync(0, "utf8"));
for (const [name, text] of Object.entries(files)) library.writeFile(name, text);
console.log(JSON.stringify(requests.map((request) => library.answer(JSON.stringify(request)))));
