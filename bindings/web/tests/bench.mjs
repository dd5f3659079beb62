// What the page weighs and how long it takes, printed and not judged, for it depends on the machine and what else it does:
// node bindings/web/tests/bench.mjs [FOLDER_OF_BUILD] [TIMES]
import { readFileSync, statSync } from "node:fs";
import { loadavg } from "node:os";
import { gzipSync } from "node:zlib";
import { resolve } from "node:path";
import { chromium } from "playwright-core";
import { library } from "./library.mjs";

const folder = resolve(process.argv[2] ?? new URL("../../../build/web", import.meta.url).pathname);
const times = Number(process.argv[3] ?? 7);
const wasm = readFileSync(`${folder}/bindings/web/libdrag.wasm`);
const kb = (bytes) => `${(bytes / 1000).toFixed(0)} KB`;
const middle = (list) => [...list].sort((a, b) => a - b)[list.length >> 1];
const ms = (list) => `${middle(list).toFixed(1)} ms (best ${Math.min(...list).toFixed(1)}, of ${list.length})`;
console.log(`page ${kb(statSync(`${folder}/index.html`).size)}; library ${kb(wasm.length)}, gzipped ${kb(gzipSync(wasm, { level: 9 }).length)}`);
console.log(`load ${loadavg().map((x) => x.toFixed(1)).join(" ")}`);

// In Node, in processor time: what a page's worker does for one movement of the slider.
const asked = await library(`${folder}/bindings/web`);
const race = { event: "100 free", course: "lcm", time: "1:02.40", sex: "f", height: "172cm", mass: "63kg" };
const answered = (request) => {
  const answer = asked.answer(JSON.stringify(request));
  if (answer.startsWith('{"error"')) throw new Error(answer);
};
const swims = Array.from({ length: 12 }, (_, i) => [0, 3].includes(i % 4) ? ["snorkel", 15.8] : ["every-2", 16.1]);
const film = "film.csv", record = "record.csv", tested = "tested.csv";
asked.writeFile(film, "breath,frame,side,shoulder x (px),shoulder y (px),hip x (px),hip y (px),x1,y1,x2,y2\n"
  + "1,1,toward,1200,520,800,590,96,348,1504,348\n,1,toward,1200,520,800,562,96,348,1504,348\n");
const log = { ask: "log", name: "Mia" };
for (const file of [record, tested]) answered({ ...log, file, kind: "frames", film, stroke: "crawl", side: "toward" });
answered({
  ...log, file: tested, how: swims.map(([how]) => how), time: swims.map(([, time], i) => (time + 0.02 * (i % 3)).toFixed(2)),
  distance: "25m", by: "stopwatch", stroke: "crawl",
});
const of_slider = { ask: "cost", ...race, draws: 2000 };
const rungs = Array.from({ length: 31 }, (_, k) => `${k / 2}deg`);
const questions = {
  "slider, without a record": (k) => ({ ...of_slider, hip_drop: "4deg", what_if: [`${k % 15}.5deg`] }),
  "slider, record of two photos": (k) => ({ ...of_slider, record, what_if: [`${k % 15}.5deg`] }),
  "slider, record of two photos and a pool test": (k) => ({ ...of_slider, record: tested, what_if: [`${k % 15}.5deg`] }),
  "all that the slider may show, asked when seconds are shown": () => ({ ...of_slider, record, what_if: rungs }),
  "slider let go, record of two photos": (k) => ({ ...of_slider, draws: undefined, record, what_if: [`${k % 15}.5deg`] }),
  "measured": () => ({ ask: "measured", file: record, ...race, when: null }),
  "drawing": () => ({ ask: "draw", ...race, draws: 2000, record }),
  "another body": (k) => ({ ...of_slider, height: `${160 + k}cm`, hip_drop: "4deg" }),
};
for (const [name, question] of Object.entries(questions)) {
  const taken = [];
  for (let k = 0; k < 60; ++k) {
    const before = process.cpuUsage();
    answered(question(k));
    const { user, system } = process.cpuUsage(before);
    if (k >= 20) taken.push((user + system) / 1000);
  }
  console.log(`${name}: ${ms(taken)} of processor time`);
}

// In Chromium, in time on the clock: from the file's address to the first answer.
const browser = await chromium.launch({ executablePath: process.env.CHROMIUM ?? "/usr/bin/chromium", args: ["--no-sandbox", "--disable-gpu"] });
const first = [], ready = [], memory = [];
for (let i = 0; i < times; ++i) {
  const page = await (await browser.newContext({ offline: true })).newPage();
  await page.addInitScript(() => {
    // As soon as there is an engine, before anything else is asked.
    new MutationObserver(() => {
      if (window.opened !== undefined || document.body?.dataset.ready === undefined) return;
      window.opened = performance.now();
      window.answered = window.engine
        .ask([{ ask: "cost", event: "100 free", time: "1:02.40", hip_drop: "4deg" }]).then(() => performance.now());
    }).observe(document, { subtree: true, attributes: true, attributeFilter: ["data-ready"] });
  });
  await page.goto(`file://${folder}/index.html`);
  await page.waitForFunction(() => window.answered !== undefined);
  const [at, then] = await page.evaluate(async () => [window.opened, await window.answered]);
  ready.push(at);
  first.push(then);
  memory.push(await page.evaluate(async () => (performance.memory?.usedJSHeapSize ?? 0)));
  await page.context().close();
}
// From a movement of the slider to its seconds in the page.
const page = await (await browser.newContext({ offline: true, viewport: { width: 390, height: 844 } })).newPage();
await page.goto(`file://${folder}/index.html`);
await page.getByRole("button", { name: /No photo/ }).click();
await page.getByLabel(/Hips lower at the breath/).fill("4");
await page.getByLabel(/^Time/).fill("10240");
await page.getByRole("button", { name: "Show what it costs" }).click();
await page.waitForSelector(".seconds .interval");
const frames = await page.evaluate(async () => {
  const slider = document.querySelector("input[type=range]"), seconds = document.querySelector(".seconds");
  const taken = [];
  for (let k = 0; k < 40; ++k) {
    const changed = new Promise((done) => new MutationObserver((_, seen) => { seen.disconnect(); done(); })
      .observe(seconds, { subtree: true, childList: true, characterData: true }));
    slider.value = String(5 + (k % 20) / 2);
    const before = performance.now();
    slider.dispatchEvent(new Event("input", { bubbles: true }));
    await changed;
    taken.push(performance.now() - before);
    await new Promise(requestAnimationFrame);
  }
  return taken;
});
await browser.close();
console.log(`slider moved in the page, first time: ${frames[0].toFixed(1)} ms, then ${ms(frames.slice(1))}`);
console.log(`ready after ${ms(ready)}, first answer after ${ms(first)}; script's memory ${kb(middle(memory))}`);
console.log(`library's memory ${kb(asked.module.HEAPU8.length)}`);
console.log(`load ${loadavg().map((x) => x.toFixed(1)).join(" ")}`);
