// Puts the page together: node make_page.mjs FOLDER_OF_THE_MODULE FOLDER_OF_THE_PAGE
import { createHash } from "node:crypto";
import { mkdirSync, readFileSync, writeFileSync } from "node:fs";
import { execFileSync } from "node:child_process";
import { buildSync } from "esbuild";
import { as_text } from "./as_text.mjs";
import { split_code } from "./split_code.mjs";

const [module, out] = process.argv.slice(2);
const here = (name) => new URL(name, import.meta.url).pathname;

function bundle(file, format = "iife") {
  const { outputFiles } = buildSync({
    entryPoints: [here(file)],
    bundle: true,
    minify: true,
    write: false,
    format,
    target: "es2022",
    legalComments: "none", // page/licences.json
    loader: { "": "text" }, // LICENSE
    logOverride: { "empty-import-meta": "silent" },
    alias: { "libdrag.mjs": `${module}/libdrag.mjs` },
    define: { "import.meta.url": '"blob:"' },
  });
  return outputFiles[0].text;
}
const inside = JSON.parse(readFileSync(here("page/licences.json"), "utf8"));
const hash = (text) => `'sha256-${createHash("sha256").update(text).digest("base64")}'`;

// Everything but the first script, as page/program.ts reads it.
const script = bundle("page/main.tsx");
const texts = [script, bundle("page/style.css"), bundle("page/worker.ts")].map((text) => Buffer.from(text));
const library = readFileSync(`${module}/libdrag.wasm`);
const { before, after, functions, streams } = split_code(library);
const lengths = (pieces) => pieces.map((piece) => piece.length);
const numbers = Uint32Array.of(...lengths([...texts, before, after]), functions, ...lengths(streams));
const program = Buffer.concat([Buffer.from(numbers.buffer), ...texts, before, after, ...streams]);
// As src/unpack.cpp unpacks it: nothing goes by positions of 2, 4 or 8; what xz writes begins with 13 bytes about itself.
const packing = ["--format=lzma", "--lzma1=preset=9e,lc=2,lp=0,pb=0,nice=128", "--stdout"];
const packed = execFileSync("xz", packing, { input: program, maxBuffer: 1e8 }).subarray(13);
const unpacker = readFileSync(`${module}/unpack.wasm`);
const { unpacked } = await import(`data:text/javascript,${encodeURIComponent(bundle("page/program.ts", "esm"))}`);
if (Buffer.compare(library, (await unpacked(unpacker, packed, program.length)).library()) !== 0)
  throw new Error("split_code.mjs and src/unpack.cpp do not know all instructions of the library");

// A script in a page ends at the first of its own end tags.
const begin = bundle("page/begin.ts").replaceAll("</script", "<\\/script");
const policy = [
  "default-src 'none'",
  `script-src ${hash(begin)} ${hash(script)} 'wasm-unsafe-eval'`,
  "style-src 'unsafe-inline'", // pictures and the card bring their own
  "img-src blob: data:",
  "worker-src blob: 'self'", // 'self': the service worker, where there is one
  "manifest-src 'self'",
  "connect-src 'none'",
  "base-uri 'none'",
  "form-action 'none'",
].join("; ");
const page = Buffer.from("\ufeff" + readFileSync(here("page/index.html"), "utf8")
  .replace("LICENCES", () => inside.map(({ name, licence }) => `${name}: ${licence}`).join("\n"))
  .replace("POLICY", () => policy)
  .replace("SIZE_OF_UNPACKER", () => unpacker.length)
  .replace("UNPACKER", () => as_text(unpacker))
  .replace("SIZE_OF_PACKED", () => packed.length)
  .replace("SIZE_OF_PROGRAM", () => program.length)
  .replace("PROGRAM", () => as_text(packed))
  .replace("BEGIN", () => begin), "utf16le");

mkdirSync(out, { recursive: true });
writeFileSync(`${out}/index.html`, page);
writeFileSync(`${out}/manifest.webmanifest`, readFileSync(here("page/manifest.webmanifest")));
// A new page is a new version of everything that a phone keeps.
const version = createHash("sha256").update(page).digest("hex").slice(0, 16);
writeFileSync(`${out}/sw.js`, readFileSync(here("page/sw.js"), "utf8").replace("VERSION", () => version));
console.log(`${out}/index.html: ${Math.round(page.length / 1000)} KB`);
