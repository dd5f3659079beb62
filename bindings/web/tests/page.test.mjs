// The page in Debian's Chromium, from a file and without a network: node --test bindings/web/tests/page.test.mjs
import assert from "node:assert/strict";
import { execFileSync } from "node:child_process";
import { createHash, X509Certificate } from "node:crypto";
import { mkdirSync, mkdtempSync, readFileSync, rmSync, statSync } from "node:fs";
import { createServer } from "node:https";
import { tmpdir } from "node:os";
import { after, before, test } from "node:test";
import { fileURLToPath } from "node:url";
import { createRequire } from "node:module";
import { buildSync } from "esbuild";
import { chromium } from "playwright-core";
import { as_text } from "../as_text.mjs";
import { exif, photographed, turned } from "./pool_photos.mjs";

const page_file = process.env.LIBDRAG_PAGE ?? fileURLToPath(new URL("../../../build/web/index.html", import.meta.url));
const screens = fileURLToPath(new URL("../../../build/web/screens", import.meta.url));
const axe = readFileSync(createRequire(import.meta.url).resolve("axe-core/axe.min.js"), "utf8");
const names = ["left", "right", "shoulder", "hip", "ankle", "head"];
mkdirSync(screens, { recursive: true });

const launched = {
  executablePath: process.env.CHROMIUM ?? "/usr/bin/chromium",
  args: [
    "--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run", "--disable-background-networking",
    "--disable-component-update", "--disable-sync",
  ],
};
let browser;
before(async () => { browser = await chromium.launch(launched); });
after(() => browser?.close());

/** A page that is open, with everything that it asked of the world and everything that went wrong. */
async function opened({ width = 390, height = 844, dark = false, javaScript = true, before = () => {} } = {}) {
  const context = await browser.newContext({
    viewport: { width, height }, offline: true, colorScheme: dark ? "dark" : "light", acceptDownloads: true,
    javaScriptEnabled: javaScript, hasTouch: width < 700, reducedMotion: "reduce",
  });
  const page = await context.newPage();
  page.setDefaultTimeout(20_000);
  const requests = [];
  const problems = [];
  page.on("request", (r) => requests.push(r.url()));
  page.on("pageerror", (e) => problems.push(e.message));
  page.on("console", (m) => m.type() === "error" && problems.push(m.text()));
  await page.addInitScript(before);
  await page.goto(`file://${page_file}`);
  if (javaScript) await page.waitForSelector("body[data-ready]");
  return { page, requests, problems, close: () => context.close() };
}
const photos_of = (page, given) => page.evaluate(photographed, { tilt: 1.5, width: 1600, drop: 6, ...given });
const file = (base64, name = "photo.jpg") => ({ name, mimeType: "image/jpeg", buffer: Buffer.from(base64, "base64") });
const picker = (page) => page.locator("input[type=file]").nth(1);

/** Where a point of the photo is on the screen. */
async function on_screen(page, { x, y }, { width, height }) {
  const box = await page.locator("canvas.photo").boundingBox();
  const scale = Math.min(box.width / width, box.height / height);
  return [box.x + (box.width - scale * width) / 2 + scale * x, box.y + (box.height - scale * height) / 2 + scale * y];
}
async function mark_all(page, marks, size) {
  for (const name of names) {
    await page.mouse.click(...(await on_screen(page, marks[name], size)));
    await page.locator("button.main").click();
  }
}
const size = { width: 1600, height: 1056 };
async function both_marked(page, taken) {
  await picker(page).setInputFiles(file(taken.photos.without));
  await page.waitForSelector("canvas.photo");
  await mark_all(page, taken.marks.without, size);
  await page.getByRole("button", { name: "At the breath", exact: true }).click();
  await picker(page).setInputFiles(file(taken.photos.breath));
  await page.waitForSelector("canvas.photo");
  await mark_all(page, taken.marks.breath, size);
}
async function raced(page) {
  await page.getByLabel("Height, cm").fill("172");
  await page.getByLabel("Weight, kg").fill("63,0");
  await page.getByLabel(/^Time/).fill("10240");
  await page.getByRole("button", { name: "Show what it costs" }).click();
  await page.waitForSelector(".seconds .interval");
}
const drop_shown = async (page) => {
  const words = await page.locator(".over .interval.loud").innerText();
  return words.match(/-?[\d.]+/g).map(Number);
};

test("the page is one file of a size that a phone takes", () => {
  const kilobytes = statSync(page_file).size / 1000;
  assert.ok(kilobytes <= 600, `${kilobytes} KB`);
  const text = readFileSync(page_file, "utf16le").replaceAll(/<script type="text\/plain"[\s\S]*?<\/script>/g, "");
  // But for names of things, and the manifest beside the page where a server sends both.
  const outside = (text.match(/(?:https?:|\/\/)[\w.]+\.\w+[^"'`\s]*/g) ?? []).filter((url) => !url.includes("www.w3.org"));
  assert.deepEqual(outside, []);
});

test("what the page is made of is named in it, with its terms", async () => {
  const read = (name) => readFileSync(new URL(name, import.meta.url), "utf8");
  const inside = JSON.parse(read("../page/licences.json"));
  // What npm gives at run time, and what the library is compiled with: all that packages.cmake stands in for, and the compiler.
  const [, targets] = read("../packages.cmake").match(/foreach\(target IN ITEMS ([^)]*)\)/);
  const needed = [...Object.keys(JSON.parse(read("../package.json")).dependencies), ...targets.split(" ").map((t) => t.split("::")[0])];
  assert.deepEqual([...needed, "emscripten"].filter((name) => !inside.some(({ of }) => of === name)), []);
  const { page, close } = await opened();
  await page.getByText("Licences").click();
  const text = await page.locator("footer").innerText();
  for (const { name, licence, copyright } of inside)
    for (const words of [name, licence, copyright]) assert.ok(text.includes(words), words);
  assert.match(text, /Permission is hereby granted[\s\S]*WITHOUT WARRANTY OF ANY KIND/);
  const comment = readFileSync(page_file, "utf16le").match(/<!--([\s\S]*?)-->/)[1];
  for (const { name, licence } of inside) assert.ok(comment.includes(`${name}: ${licence}`), name);
  await page.screenshot({ path: `${screens}/licences.png`, fullPage: true });
  await close();
});

test("from two photos to seconds, without a request", async () => {
  const { page, requests, problems, close } = await opened();
  const taken = await photos_of(page, {});
  await both_marked(page, taken);
  await page.waitForSelector(".over .interval.loud");
  const [median, low, high] = await drop_shown(page);
  assert.ok(Math.abs(median - taken.truth) < 1.0, `${median}`);
  assert.ok(low < taken.truth && taken.truth < high);
  await page.getByRole("button", { name: "Next: the race" }).click();
  await raced(page);
  assert.match(await page.locator(".seconds").innerText(), /Hips alone over 100 m freestyle[\s\S]*could be [\d.]+ to [\d.]+ s[\s\S]*Whole breath/);
  assert.equal(await page.locator(".pictures img").count(), 2);
  for (const image of await page.locator(".pictures img").all())
    assert.ok(await image.evaluate((i) => i.complete && i.naturalWidth > 0));
  await page.getByRole("button", { name: "Turn to the athlete" }).click();
  await page.waitForFunction(() => /100 m freestyle.*about [\d.]+ seconds/.test(document.querySelector(".athlete p").innerText));
  assert.deepEqual(requests.filter((url) => !url.startsWith("blob:")), [`file://${page_file}`]);
  assert.deepEqual(problems, []);
  await close();
});

test("one photo alone is an incline and no drop", async () => {
  const { page, close } = await opened();
  const taken = await photos_of(page, {});
  await picker(page).setInputFiles(file(taken.photos.without));
  await page.waitForSelector("canvas.photo");
  await mark_all(page, taken.marks.without, size);
  await page.waitForSelector("text=One photo shows an incline, not a drop");
  assert.match(await page.locator(".over").innerText(), /Trunk, hips up/);
  await close();
});

test("the measured drop is within its stated error in 95 of 100 rounds of taps", async () => {
  const { page, close } = await opened();
  await page.evaluate(`window.photographed = ${photographed}`);
  const inside = await page.evaluate(async (size) => {
    let state = 1;
    const uniform = () => {
      state = (Math.imul(state, 1664525) + 1013904223) >>> 0;
      return (state + 0.5) / 4294967296;
    };
    const normal = () => Math.sqrt(-2 * Math.log(uniform())) * Math.cos(2 * Math.PI * uniform());
    let count = 0;
    for (let round = 0; round < 5; ++round) {
      const truth = 2 + 8 * uniform();
      const taken = await window.photographed({ drop: truth.toFixed(3), tilt: 2 * normal(), width: size.width });
      for (let tap = 0; tap < 20; ++tap) {
        const slipped = (p) => `${p.x + 1.5 * normal()},${p.y + 1.5 * normal()}`;
        const row = (m) => [m.shoulder, m.hip, m.left, m.right].map(slipped).join(",");
        const table =
          "breath,shoulder x (px),shoulder y (px),hip x (px),hip y (px),x1,y1,x2,y2\n" +
          `1,${row(taken.marks.breath)}\n,${row(taken.marks.without)}\n`;
        const { answers } = await window.engine.ask([{ ask: "angle", file: "p.csv", draws: 2000 }], { "p.csv": table });
        const { low, high } = answers[0].hip_drop_deg;
        if (low <= truth && truth <= high) ++count;
      }
    }
    return count;
  }, size);
  assert.ok(inside >= 95, `${inside}`);
  await close();
});

/** When a camera says it was taken. */
const dated = (base64, time) => exif(Buffer.from(base64, "base64"), { tag: 0x9003, text: time });
const canvas_is_of = (page, which) => page.waitForSelector(`canvas[aria-label^="Photo, ${which}"]`);

test("two photos chosen at once: hips up first, by the clock of the camera or as they were chosen", async () => {
  const { page, problems, close } = await opened();
  const { photos, marks, truth } = await photos_of(page, {});
  const [up, low] = [file(photos.without, "up.jpg"), file(photos.breath, "low.jpg")];
  const drop_marked = async () => {
    await canvas_is_of(page, "Hips up");
    await mark_all(page, marks.without, size);
    await page.getByRole("button", { name: "At the breath", exact: true }).click();
    await canvas_is_of(page, "At the breath");
    await mark_all(page, marks.breath, size);
    await page.waitForSelector(".over .interval.loud");
    return (await drop_shown(page))[0];
  };
  const pixels = () => page.locator("canvas.photo").evaluate((canvas) => canvas.toDataURL());
  await picker(page).setInputFiles([up, low]);
  await canvas_is_of(page, "Hips up");
  await page.waitForSelector("text=The earlier photo stands as hips up");
  const first = await pixels();
  await page.getByRole("button", { name: "Swap the two" }).click();
  await page.waitForFunction((was) => document.querySelector("canvas.photo").toDataURL() !== was, first);
  await page.getByRole("button", { name: "Swap the two" }).click();
  await page.waitForFunction((was) => document.querySelector("canvas.photo").toDataURL() === was, first);
  assert.ok(Math.abs((await drop_marked()) - truth) < 1);

  // The camera's clock knows better than the order of choice.
  await page.reload();
  await page.waitForSelector("body[data-ready]");
  const timed = (photo, name, time) => ({ name, mimeType: "image/jpeg", buffer: dated(photo, time) });
  await picker(page).setInputFiles([
    timed(photos.breath, "a.jpg", "2026:11:26 10:00:07"), timed(photos.without, "b.jpg", "2026:11:26 10:00:05"),
  ]);
  await canvas_is_of(page, "Hips up");
  await page.waitForFunction((was) => document.querySelector("canvas.photo").toDataURL() === was, first);
  assert.deepEqual(problems, []);
  await close();
});

test("three photos at once, or one of two that is none, get a sentence; a photo is taken back", async () => {
  const { page, problems, close } = await opened();
  const { photos } = await photos_of(page, {});
  const [up, low] = [file(photos.without, "up.jpg"), file(photos.breath, "low.jpg")];
  await picker(page).setInputFiles([up, low, file(photos.breath, "more.jpg")]);
  await page.waitForSelector("text=These are 3 photos: choose two");
  assert.equal(await page.locator("canvas.photo").count(), 0);
  await picker(page).setInputFiles([up, { name: "low.jpg", mimeType: "image/jpeg", buffer: Buffer.from("none") }]);
  await page.waitForSelector("text=low.jpg: This file is not a photo");
  await canvas_is_of(page, "Hips up");
  await page.getByRole("button", { name: "Another photo" }).click();
  await page.waitForFunction(() => document.querySelector("canvas.photo") === null);
  await picker(page).setInputFiles(low);
  await canvas_is_of(page, "Hips up");
  assert.deepEqual(problems, []);
  await close();
});

test("marks by keyboard alone, undone and spoken", async () => {
  const { page, close } = await opened();
  const taken = await photos_of(page, {});
  await picker(page).setInputFiles(file(taken.photos.without));
  const pad = page.getByRole("application");
  await pad.focus();
  const before = await page.locator(".spoken").innerText();
  await page.keyboard.press("ArrowRight");
  await page.keyboard.press("Shift+ArrowDown");
  const after = await page.locator(".spoken").innerText();
  assert.notEqual(before, after);
  for (let i = 0; i < 4; ++i) await page.keyboard.press("Enter");
  await page.waitForSelector("text=5 of 6: the ankle");
  await page.getByRole("button", { name: "Undo" }).press("Enter");
  await page.waitForSelector("text=4 of 6: the hip");
  await pad.focus();
  const angle = async () => (await page.locator(".over .interval").first().innerText()).match(/-?[\d.]+/)[0];
  const first = await angle();
  for (let i = 0; i < 5; ++i) await page.keyboard.press("Shift+ArrowDown");
  await page.waitForFunction((was) => !document.querySelector(".over .interval").innerText.includes(`${was}°`), first);
  assert.notEqual(await angle(), first);
  await close();
});

test("the pad moves the cross, slowly in small steps", async () => {
  const { page, close } = await opened();
  const taken = await photos_of(page, {});
  await picker(page).setInputFiles(file(taken.photos.without));
  const pad = await page.locator(".pad").boundingBox();
  const spoken = () => page.locator(".spoken").innerText();
  await page.mouse.move(pad.x + 40, pad.y + 40);
  await page.mouse.down();
  await page.mouse.move(pad.x + 140, pad.y + 40, { steps: 10 });
  await page.mouse.up();
  assert.match(await spoken(), /Cross at \d+, 422/);
  await close();
});

test("what is no photo gets one clear sentence", async () => {
  const { page, problems, close } = await opened();
  const cases = [
    ["empty.jpg", "image/jpeg", Buffer.alloc(0), "This file is empty"],
    ["broken.jpg", "image/jpeg", Buffer.from("ffd8ffe000104a46494600", "hex"), "not a photo that the browser can read"],
    ["film.mp4", "video/mp4", Buffer.from("0000001866747970 6d703432".replace(" ", ""), "hex"), "This is a film"],
    ["film", "", Buffer.concat([Buffer.from("00000018", "hex"), Buffer.from("ftypmp42")]), "This is a film"],
    ["IMG_1.HEIC", "image/heic", Buffer.concat([Buffer.from("00000018", "hex"), Buffer.from("ftypheic")]), "HEIC"],
    ["notes.txt", "text/plain", Buffer.from("hello"), "not a photo that the browser can read"],
  ];
  for (const [name, mimeType, buffer, sentence] of cases) {
    await picker(page).setInputFiles({ name, mimeType, buffer });
    await page.waitForFunction((s) => document.querySelector(".message")?.innerText.includes(s), sentence);
  }
  assert.deepEqual(problems, []);
  await close();
});

test("a photo is shown as the phone was held, and shrunk", async () => {
  const { page, close } = await opened();
  const jpeg = Buffer.from((await photos_of(page, { width: 3000 })).photos.without, "base64");
  const shown = async (buffer) => {
    await picker(page).setInputFiles({ name: "p.jpg", mimeType: "image/jpeg", buffer });
    await page.waitForSelector("canvas.photo");
    await page.getByRole("application").focus();
    for (let i = 0; i < 300; ++i) await page.keyboard.press("Shift+ArrowRight");
    for (let i = 0; i < 300; ++i) await page.keyboard.press("Shift+ArrowDown");
    const words = await page.locator(".spoken").innerText();
    return words.match(/\d+/g).map(Number);
  };
  assert.deepEqual(await shown(jpeg), [2000, 1320]);
  await page.reload();
  await page.waitForSelector("body[data-ready]");
  assert.deepEqual(await shown(turned(jpeg, 6)), [1320, 2000]);
  await close();
});

test("the slider: few draws while it moves, all of them on release, the same to the digits shown", async () => {
  const { page, close } = await opened();
  await page.getByRole("button", { name: /No photo/ }).click();
  await page.getByLabel(/Hips lower at the breath/).fill("4,0");
  await raced(page);
  const seconds = () => page.locator(".seconds .interval.loud").innerText();
  const first = await seconds();
  const slider = page.locator("input[type=range]");
  await slider.evaluate((s) => { s.value = "8"; s.dispatchEvent(new Event("input", { bubbles: true })); });
  await page.waitForSelector("text=If they sank 8°");
  await page.waitForFunction((was) => document.querySelector(".seconds .interval.loud").innerText !== was, first);
  const dragged = (await seconds()).match(/[\d.]+/g).map(Number);
  await slider.evaluate((s) => s.dispatchEvent(new Event("change", { bubbles: true })));
  await page.waitForTimeout(1000);
  const released = (await seconds()).match(/[\d.]+/g).map(Number);
  dragged.forEach((x, i) => assert.ok(Math.abs(x - released[i]) <= 0.05 * released[i] + 0.01, `${dragged} ${released}`));
  await page.getByRole("button", { name: "As measured" }).click();
  await page.waitForFunction((was) => document.querySelector(".seconds .interval.loud").innerText === was, first);
  await close();
});

test("a field that cannot be gets the library's sentence beside it", async () => {
  const { page, close } = await opened();
  await page.getByRole("button", { name: /No photo/ }).click();
  await page.getByLabel(/Hips lower at the breath/).fill("4");
  await page.getByLabel(/^Time/).fill("9");
  await page.getByRole("button", { name: "Show what it costs" }).click();
  await page.waitForSelector(".message");
  assert.match(await page.locator(".message").innerText(), /^time: got 0.09/);
  assert.equal(await page.getByLabel(/^Time/).getAttribute("aria-invalid"), "true");
  await close();
});

test("a worker that was killed is replaced", async () => {
  const { page, close } = await opened();
  const cost = () => page.evaluate(async () =>
    (await window.engine.ask([{ ask: "cost", event: "100 free", time: "1:02.40", hip_drop: "4deg" }])).answers[0].events[0].cost_s.median);
  const first = await cost();
  await page.evaluate(() => window.engine.kill());
  assert.equal(await cost(), first);
  await close();
});

/** The third step for a drop that is typed in. */
async function shown(page) {
  await page.getByRole("button", { name: /No photo/ }).click();
  await page.getByLabel(/Hips lower at the breath/).fill("4,0");
  await raced(page);
}

test("bytes that became letters of a page are the same bytes again", async () => {
  const { outputFiles } = buildSync({
    entryPoints: [fileURLToPath(new URL("../page/as_bytes.ts", import.meta.url))], format: "esm", write: false,
  });
  const { asBytes } = await import("data:text/javascript," + encodeURIComponent(outputFiles[0].text));
  const again = (bytes) => {
    const text = as_text(bytes);
    assert.deepEqual(asBytes(text, bytes.length), bytes);
    assert.doesNotMatch(text, /[\0\r<\ud800-\udfff]/);
  };
  for (let length = 0; length < 600; ++length)
    again(Uint8Array.from({ length }, (_, i) => (i * i * 37 + length * (i & 3)) & 255));
  again(new Uint8Array(99));
  // Every two bytes, and every two at odd places.
  const pairs = Uint8Array.from({ length: 1 << 17 }, (_, i) => (i & 1 ? i >> 1 : i >> 9) & 255);
  again(pairs);
  again(pairs.subarray(1));
});

test("nothing is kept behind the page", async () => {
  const { page, close } = await opened();
  await page.getByRole("button", { name: /No photo/ }).click();
  await page.getByLabel(/Hips lower at the breath/).fill("4");
  await page.getByLabel(/^Name/).fill("Mia");
  await raced(page);
  const kept = await page.evaluate(async () => [localStorage.length, sessionStorage.length, document.cookie, (await indexedDB.databases()).length]);
  assert.deepEqual(kept, [0, 0, "", 0]);
  await close();
});

test("a phone that has no room left still answers", async () => {
  const { page, problems, close } = await opened({
    before: () => {
      const full = () => { throw new DOMException("full", "QuotaExceededError"); };
      Storage.prototype.setItem = full;
      IDBFactory.prototype.open = full;
      if ("caches" in self) CacheStorage.prototype.open = full;
    },
  });
  await shown(page);
  assert.deepEqual(problems, []);
  await close();
});

/** A certificate of this machine's own, and the sum by which a browser may trust its key: service workers included. */
function certified() {
  const folder = mkdtempSync(`${tmpdir()}/libdrag_`);
  const [key, certificate] = [`${folder}/key.pem`, `${folder}/certificate.pem`];
  execFileSync("openssl", [
    "req", "-x509", "-newkey", "ec", "-pkeyopt", "ec_paramgen_curve:prime256v1", "-nodes", "-days", "2", "-subj", "/CN=localhost",
    "-addext", "subjectAltName=DNS:localhost", "-keyout", key, "-out", certificate,
  ], { stdio: "ignore" });
  const given = { key: readFileSync(key), cert: readFileSync(certificate) };
  rmSync(folder, { recursive: true });
  const public_key = new X509Certificate(given.cert).publicKey.export({ type: "spki", format: "der" });
  return { given, trusted: createHash("sha256").update(public_key).digest("base64") };
}

test("served once over https, it opens without the server from then on, whatever the server says of its letters", async () => {
  const { given, trusted } = certified();
  const folder = new URL(`file://${page_file}`);
  const kinds = { html: "text/html; charset=iso-8859-1", js: "text/javascript", webmanifest: "application/manifest+json" };
  let asked = 0;
  const server = createServer(given, (request, response) => {
    ++asked;
    const name = request.url === "/" ? "index.html" : request.url.slice(1);
    try {
      const body = readFileSync(new URL(name, folder));
      response.writeHead(200, { "content-type": kinds[name.split(".").at(-1)] }).end(body);
    } catch {
      response.writeHead(404).end();
    }
  });
  await new Promise((listening) => server.listen(0, "localhost", listening));
  const address = `https://localhost:${server.address().port}/`;
  const strict = await chromium.launch({ ...launched, args: [...launched.args, `--ignore-certificate-errors-spki-list=${trusted}`] });
  const context = await strict.newContext();
  const visit = async () => {
    const page = await context.newPage();
    const problems = [];
    page.on("pageerror", (e) => problems.push(e.message));
    page.on("console", (m) => m.type() === "error" && problems.push(m.text()));
    await page.goto(address);
    await page.waitForSelector("body[data-ready]");
    await shown(page);
    assert.deepEqual(problems, []);
    return page;
  };
  const first = await visit();
  await first.evaluate(async () => (await navigator.serviceWorker.ready).active.scriptURL);
  await first.waitForFunction(async () => (await caches.keys()).length === 1);
  // What a phone needs to put it on its home screen.
  const client = await context.newCDPSession(first);
  const manifest = await client.send("Page.getAppManifest");
  assert.deepEqual(manifest.errors, []);
  assert.equal(manifest.url, `${address}manifest.webmanifest`);
  const { installabilityErrors } = await client.send("Page.getInstallabilityErrors");
  assert.deepEqual(installabilityErrors.map((e) => e.errorId).filter((id) => id !== "in-incognito"), []);
  await first.close();

  server.closeAllConnections();
  await new Promise((closed) => server.close(closed));
  const before_second = asked;
  const second = await visit();
  assert.equal(await second.evaluate(() => navigator.serviceWorker.controller !== null), true);
  assert.equal(asked, before_second);
  await strict.close();
});

test("her record and the marks are sent in one go where a phone can, else saved", async () => {
  const { page, close } = await opened({
    before: () => {
      window.sent = [];
      navigator.canShare = ({ files }) => files.length > 0;
      navigator.share = async ({ files }) => {
        for (const f of files) window.sent.push([f.name, f.type, await f.text()]);
      };
    },
  });
  const taken = await photos_of(page, {});
  await both_marked(page, taken);
  await page.getByRole("button", { name: "Next: the race" }).click();
  await raced(page);
  await page.getByRole("button", { name: "Save or send" }).click();
  await page.waitForFunction(() => window.sent.length === 2);
  const sent = await page.evaluate(() => window.sent);
  assert.deepEqual(sent.map(([name, type]) => [name, type]), [["film.csv", "text/csv"], ["record.csv", "text/csv"]]);
  assert.match(sent[1][2], /^date,swimmer,kind,.*\n.*,Swimmer,frames,/);

  // Nobody to send it to: into the folder.
  await page.evaluate(() => { navigator.canShare = () => false; });
  const saved = [];
  page.on("download", (d) => saved.push(d.suggestedFilename()));
  await page.getByRole("button", { name: "Save or send" }).click();
  for (let i = 0; i < 50 && saved.length < 2; ++i) await page.waitForTimeout(100);
  assert.deepEqual(saved.sort(), ["film.csv", "record.csv"]);
  await close();
});

/** The one open page of the library's own, as the browser prints it. */
async function printed(page, title) {
  const frame = page.frameLocator("iframe.sheet");
  await frame.locator("body").waitFor();
  await page.screenshot({ path: `${screens}/${title}.png` });
  const text = await frame.locator("body").innerText();
  const [download] = await Promise.all([
    page.waitForEvent("download"),
    page.getByRole("button", { name: "Save or send" }).click(),
  ]);
  const sheet = await (await browser.newContext({ offline: true })).newPage();
  await sheet.setContent(readFileSync(await download.path(), "utf8"));
  const pdf = (await sheet.pdf({ format: "A4", preferCSSPageSize: true })).toString("latin1");
  await sheet.context().close();
  return { text, pages: pdf.match(/\/Type\s*\/Page\b/g).length };
}

test("the card: one page, with her name and what it costs", async () => {
  const { page, problems, close } = await opened({ width: 1280, height: 800 });
  await page.getByRole("button", { name: /No photo/ }).click();
  await page.getByLabel(/Hips lower at the breath/).fill("4");
  await page.getByLabel(/^Name/).fill("Mia <b>");
  await raced(page);
  await page.getByRole("button", { name: "Card" }).click();
  const { text, pages } = await printed(page, "card");
  assert.match(text, /Mia <b>/);
  assert.match(text, /[\d.]+ s/);
  assert.equal(pages, 1);
  await page.getByRole("button", { name: "Back" }).click();
  await page.waitForSelector(".seconds .interval");
  assert.deepEqual(problems, []);
  await close();
});

test("a session of practice: from the form to the paper", async () => {
  const { page, problems, close } = await opened({ width: 1280, height: 800 });
  await shown(page);
  await page.getByRole("button", { name: "Practice" }).click();
  await page.getByLabel("Pool, m").fill("25,0");
  await page.getByLabel("Minutes").fill("0");
  await page.getByRole("button", { name: "Plan the session" }).click();
  await page.waitForSelector(".message");
  assert.match(await page.locator(".message").innerText(), /^minutes: got 0/);
  await page.getByLabel("Minutes").fill("40");
  await page.getByRole("button", { name: "Plan the session" }).click();
  const { text, pages } = await printed(page, "practice");
  assert.match(text, /snorkel/i);
  assert.ok(pages <= 2, `${pages}`);
  assert.deepEqual(problems, []);
  await close();
});

test("a test at the pool: swims in the order of the plan, timed, judged and kept", async () => {
  const { page, problems, close } = await opened({
    before: () => { // a clock that the test puts forward
      const now = performance.now.bind(performance);
      window.ahead = 0;
      performance.now = () => now() + window.ahead;
    },
  });
  await shown(page);
  await page.getByRole("button", { name: "Pool test" }).click();
  const heading = page.locator(".clock p").first();
  const planned = Number((await heading.innerText()).match(/of (\d+)/)[1]);
  assert.ok(planned >= 4);
  const swim = async (seconds) => {
    await page.getByRole("button", { name: "Start" }).click();
    await page.evaluate((s) => { window.ahead += 1000 * s; }, seconds);
    await page.getByRole("button", { name: "Stop" }).click();
    await page.getByRole("button", { name: "Take this time" }).click();
  };
  await swim(0.1);
  await page.getByRole("button", { name: "Undo" }).click();
  assert.equal(await page.locator("tbody tr").count(), 0);
  for (let i = 0; i < planned; ++i)
    await swim((/snorkel/.test(await heading.innerText()) ? 15.8 : 16.1) + 0.02 * (i % 3));
  await page.waitForSelector("text=All swims of the day are done.");
  assert.equal(await page.locator("tbody tr").count(), planned);
  await page.getByRole("button", { name: "What they say" }).click();
  await page.waitForFunction(() => /On the watch: [\d.]+ % slower with the breath \(/.test(document.body.innerText));
  await page.screenshot({ path: `${screens}/pool_judged.png`, fullPage: true });
  const [download] = await Promise.all([
    page.waitForEvent("download"), page.getByRole("button", { name: "Save or send" }).click(),
  ]);
  const rows = readFileSync(await download.path(), "utf8").trim().split("\n");
  assert.equal(rows.filter((row) => row.includes(",swim,")).length, planned, rows.join("\n"));
  assert.deepEqual(problems, []);
  await close();
});

test("the front view's area is never without its drag, and she gets one picture and one sentence", async () => {
  const { page, close } = await opened();
  await shown(page);
  const drawn = await page.evaluate(async () =>
    (await window.engine.ask([{ ask: "draw", event: "100 free", time: "1:02.40", hip_drop: "4deg", draws: 2000 }])).answers[0].front);
  assert.match(drawn, /% area at the lowest means[\s\S]*% drag then \(range [\s\S]*% over the race/);
  const alt = await page.locator("img.front").getAttribute("alt");
  assert.match(alt, /m2[\s\S]*drag/i);
  await page.getByRole("button", { name: "Turn to the athlete" }).click();
  await page.waitForFunction(() => /[.]$/.test(document.querySelector(".athlete p").innerText));
  assert.equal(await page.locator(".athlete img").count(), 1);
  assert.equal(await page.locator(".athlete p").count(), 1);
  const sentence = await page.locator(".athlete p").innerText();
  assert.equal(sentence.match(/[.!]( |$)/g).length, 1, sentence);
  await close();
});

test("nothing moves by itself", async () => {
  const { page, close } = await opened();
  await shown(page);
  const moving = await page.evaluate(() =>
    [document.getAnimations().length,
      [...document.querySelectorAll("*")].filter((e) => getComputedStyle(e).transitionDuration !== "0s").length]);
  assert.deepEqual(moving, [0, 0]);
  await close();
});

const kinds = [[320, 640], [390, 844], [768, 1024], [1280, 800]].flatMap(([width, height]) =>
  [[width, height, false, 1], [width, height, true, 1]]);
for (const [width, height, dark, print] of [...kinds, [390, 844, false, 2], [1280, 800, false, 2]])
    test(`every step can be used by all: ${width} px, ${dark ? "dark" : "light"}, print of ${100 * print} %`, async () => {
      const { page, problems, close } = await opened({ width, height, dark });
      const look = `${width}_${dark ? "dark" : "light"}${print === 1 ? "" : "_large"}`;
      if (print !== 1) await page.addStyleTag({ content: `html{font-size:${100 * print}% !important}` });
      const check = async (step) => {
        await page.screenshot({ path: `${screens}/${step}_${look}.png` });
        if (!(await page.evaluate("'axe' in window"))) await page.evaluate(axe);
        const found = await page.evaluate(async () => {
          const { violations } = await window.axe.run(document, {
            iframes: false, resultTypes: ["violations"], rules: { "color-contrast-enhanced": { enabled: true } },
          });
          return violations.map((v) => `${v.id}: ${v.nodes.map((n) => n.html.slice(0, 120)).join(" | ")}`);
        });
        assert.deepEqual(found, [], step);
        // In bright sun all print, the large as well, has 7 : 1 to what it stands on.
        const pale = await page.evaluate(() => {
          const luminance = ([r, g, b]) =>
            [r, g, b].map((x) => x / 255).map((x) => (x <= 0.04045 ? x / 12.92 : ((x + 0.055) / 1.055) ** 2.4))
              .reduce((sum, x, i) => sum + x * [0.2126, 0.7152, 0.0722][i], 0);
          const numbers = (colour) => colour.match(/[\d.]+/g).map(Number);
          const ground = (e) => {
            for (; e !== null; e = e.parentElement) {
              const colour = numbers(getComputedStyle(e).backgroundColor);
              if (colour.length < 4 || colour[3] > 0) return colour;
            }
            return [255, 255, 255];
          };
          const out = [];
          for (const e of document.querySelectorAll("body *")) {
            const own = [...e.childNodes].some((n) => n.nodeType === 3 && n.data.trim() !== "");
            if ((!own && e.localName !== "input") || e.getClientRects().length === 0 || e.localName === "script") continue;
            const [a, b] = [luminance(numbers(getComputedStyle(e).color)), luminance(ground(e))].sort((x, y) => y - x);
            if ((a + 0.05) / (b + 0.05) < 7) out.push(`${e.outerHTML.slice(0, 80)}: ${(a + 0.05) / (b + 0.05)}`);
          }
          return out;
        });
        assert.deepEqual(pale, [], step);
        const [wide, screen] = await page.evaluate(() => [document.documentElement.scrollWidth, innerWidth]);
        const out = await page.evaluate(() =>
          [...document.querySelectorAll("main *")].filter((e) => e.getBoundingClientRect().right > innerWidth + 1)
            .map((e) => e.outerHTML.slice(0, 90)));
        assert.ok(wide <= screen, `${step} is ${wide} px wide: ${out}`);
        const small = await page.evaluate(() =>
          [...document.querySelectorAll("button, select, input:not([type=checkbox]), summary, .pad")]
            .map((e) => [e.outerHTML.slice(0, 60), e.getBoundingClientRect()])
            .filter(([, r]) => r.width > 0 && (r.height < 59.5 || r.width < 59.5))
            .map(([html]) => html));
        assert.deepEqual(small, [], step);
      };
      await check("mark");
      const taken = await photos_of(page, {});
      await picker(page).setInputFiles(file(taken.photos.without));
      await page.waitForSelector("canvas.photo");
      await mark_all(page, taken.marks.without, size);
      await page.getByRole("button", { name: "At the breath", exact: true }).click();
      await picker(page).setInputFiles(file(taken.photos.breath));
      await page.waitForSelector("canvas.photo");
      for (const name of names.slice(0, 3)) {
        await page.mouse.click(...(await on_screen(page, taken.marks.breath[name], size)));
        await page.locator("button.main").click();
      }
      await page.mouse.click(...(await on_screen(page, taken.marks.breath.hip, size)));
      await page.waitForSelector(".over .interval.loud");
      // A tap is where it was meant.
      await page.waitForFunction((truth) =>
        Math.abs(parseFloat(document.querySelector(".over .interval.loud strong").innerText) - truth) < 1.5, taken.truth);
      await check("marking");
      await page.locator("button.main").click();
      await page.getByRole("button", { name: "Skip" }).click();
      await page.getByRole("button", { name: "Skip" }).click();
      await page.getByRole("button", { name: "Next: the race" }).click();
      await check("race");
      await raced(page);
      await check("show");
      await page.screenshot({ path: `${screens}/show_${look}_whole.png`, fullPage: true });
      await page.getByRole("button", { name: "Turn to the athlete" }).click();
      await page.waitForSelector("text=/about [\\d.]+ seconds/");
      await check("athlete");
      if (height >= 800) { // her picture and all of her sentence in one look
        const [picture, sentence] = await Promise.all(["img", "p"].map((part) => page.locator(`.athlete ${part}`).boundingBox()));
        assert.ok(picture.y >= 0 && picture.height >= 0.15 * height && picture.y + picture.height <= sentence.y);
        assert.ok(sentence.y + sentence.height <= height, `${sentence.y} + ${sentence.height}`);
      }
      await page.getByRole("button", { name: "Turn back" }).click();
      await page.getByRole("button", { name: "Pool test" }).click();
      await page.waitForSelector(".clock");
      await check("pool");
      assert.deepEqual(problems, []);
      await close();
    });
