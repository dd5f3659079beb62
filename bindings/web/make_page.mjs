// Puts the page together: node make_page.mjs FOLDER_OF_THE_MODULE FOLDER_OF_THE_PAGE
import { createHash } from "node:crypto";
import { mkdirSync, readFileSync, writeFileSync } from "node:fs";
import { execFileSync } from "node:child_process";
import { buildSync } from "esbuild";
import { as_text } from "./as_text.mjs";

const [module, out] = process.argv.slice(2);
const here = (name) => new URL(name, import.meta.url).pathname;

function bundle(file) {
  const { outputFiles } = buildSync({
    entryPoints: [here(file)],
    bundle: true,
    minify: true,
    write: false,
    format: "iife",
    target: "es2022",
    legalComments: "none",
    logOverride: { "empty-import-meta": "silent" },
    alias: { "libdrag.mjs": `${module}/libdrag.mjs` },
    define: { "import.meta.url": '"blob:"' },
  });
  return outputFiles[0].text;
}
const hash = (text) => `'sha256-${createHash("sha256").update(text).digest("base64")}'`;

// Both the worker's script and the library, as one compressed text: the length of the first, a line end, both.
const worker = Buffer.from(bundle("page/worker.ts"));
const program = readFileSync(`${module}/libdrag.wasm`);
const whole = Buffer.concat([Buffer.from(`${worker.length}\n`), worker, program]);
writeFileSync(`${module}/program`, whole);
const zipped = execFileSync("zopfli", ["-c", `${module}/program`], { maxBuffer: 1e8 });

// A script in a page ends at the first of its own end tags.
const script = bundle("page/main.tsx").replaceAll("</script", "<\\/script");
const style = buildSync({ entryPoints: [here("page/style.css")], minify: true, write: false }).outputFiles[0].text;
const policy = [
  "default-src 'none'",
  `script-src ${hash(script)} 'wasm-unsafe-eval'`,
  "style-src 'unsafe-inline'", // pictures and the card bring their own
  "img-src blob: data:",
  "worker-src blob: 'self'", // 'self': the service worker, where there is one
  "manifest-src 'self'",
  "connect-src 'none'",
  "base-uri 'none'",
  "form-action 'none'",
].join("; ");
const page = readFileSync(here("page/index.html"), "utf8")
  .replace("POLICY", () => policy)
  .replace("STYLE", () => style)
  .replace("BYTES", () => zipped.length)
  .replace("PROGRAM", () => as_text(zipped))
  .replace("SCRIPT", () => script);

mkdirSync(out, { recursive: true });
writeFileSync(`${out}/index.html`, page);
writeFileSync(`${out}/manifest.webmanifest`, readFileSync(here("page/manifest.webmanifest")));
// A new page is a new version of everything that a phone keeps.
const version = createHash("sha256").update(page).digest("hex").slice(0, 16);
writeFileSync(`${out}/sw.js`, readFileSync(here("page/sw.js"), "utf8").replace("VERSION", () => version));
console.log(`${out}/index.html: ${Math.round(Buffer.byteLength(page) / 1000)} KB`);
