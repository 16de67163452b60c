// What `farwheel live` writes, in a real browser: it loads alone and without a request, begins where asked, says what it
// cannot do without scripts or WebAssembly, and takes a hostile scenario as text.
import assert from "node:assert/strict";
import { spawnSync } from "node:child_process";
import { mkdtempSync, readFileSync, readdirSync, rmSync, writeFileSync } from "node:fs";
import { createRequire } from "node:module";
import { tmpdir } from "node:os";
import { basename, join } from "node:path";
import { after, before, test } from "node:test";
import { fileURLToPath, pathToFileURL } from "node:url";
import { chromium } from "playwright-core";

const root = fileURLToPath(new URL("../../", import.meta.url));
const program = process.env.FARWHEEL ?? join(root, "target/release/farwheel");
const axe = createRequire(import.meta.url).resolve("axe-core/axe.min.js");
const car = join(root, "scenarios/compact-hatchback.toml");
const shipped = readdirSync(join(root, "scenarios")).filter((name) => name.endsWith(".toml")).map((name) => join(root, "scenarios", name));

let browser;
let dir;

before(async () => {
  dir = mkdtempSync(join(tmpdir(), "farwheel-live-"));
  browser = await chromium.launch({ executablePath: process.env.CHROMIUM ?? "/usr/bin/chromium", args: ["--no-sandbox"] });
});
after(async () => {
  await browser?.close();
  rmSync(dir, { recursive: true, force: true });
});

function make(scenario, more = []) {
  const file = join(dir, `${basename(scenario, ".toml")}${more.join("")}.html`);
  const run = spawnSync(program, ["live", scenario, "-o", file, ...more], { encoding: "utf8" });
  assert.ok([0, 3].includes(run.status), run.stderr);
  return file;
}

/** Opens a page; what it asks the network for and what it complains of is kept. */
async function open(file, options = {}, first = async () => {}) {
  const page = await browser.newPage({ viewport: { width: 390, height: 844 }, ...options });
  const asked = [];
  const faults = [];
  page.on("request", (r) => asked.push(r.url()));
  page.on("pageerror", (e) => faults.push(String(e)));
  page.on("console", (m) => ["error", "warning"].includes(m.type()) && faults.push(m.text()));
  await first(page);
  await page.goto(pathToFileURL(file).href);
  return { page, asked, faults };
}

const CANNOT = "This browser can’t run the model.";
const SO = "What you see was worked out when the page was made, so the wheels are not buttons here.";

test("every shipped car's page runs, asks for nothing and complains of nothing", async () => {
  for (const scenario of shipped) {
    const file = make(scenario);
    const { page, asked, faults } = await open(file);
    await page.waitForSelector("#page h1");
    assert.deepEqual(asked.filter((url) => !url.startsWith("data:") && !url.startsWith("blob:")), [pathToFileURL(file).href]);
    assert.deepEqual(faults, [], scenario);
    assert.equal(await page.getByText(CANNOT).count(), 0);
    const title = readFileSync(scenario, "utf8").match(/^title = "(.*)"/m)[1];
    assert.ok((await page.title()).includes(title.slice(0, 40)), await page.title());
    await page.close();
  }
});

test("it begins at the view that was asked for", async () => {
  for (const [arguments_, view] of [[[], "Try"], [["--view", "open"], "Open it yourself"], [["--view", "class"], "Class"], [["--view", "car"], "Car"]]) {
    const { page } = await open(make(car, arguments_), { viewport: { width: 1200, height: 900 } });
    await page.waitForSelector("#page");
    assert.match(await page.locator("[aria-current=page]").first().textContent(), new RegExp(view));
    await page.close();
  }
});

test("without scripts, and without WebAssembly, what was worked out shows and nothing pretends to work", async () => {
  const file = make(car);
  const ways = [
    [{ javaScriptEnabled: false }, async () => {}],
    [{}, (page) => page.addInitScript("delete globalThis.WebAssembly")],
  ];
  for (const [options, first] of ways) {
    for (const width of [360, 768, 1440]) {
      const { page, asked } = await open(file, { viewport: { width, height: 800 }, ...options }, first);
      for (const words of [CANNOT, SO]) await page.getByText(words).waitFor({ state: "visible" });
      for (const words of ["mL of new fluid", "Questions, answered by this vehicle", "not only a jack"]) assert.ok(await page.getByText(words).first().isVisible(), words);
      assert.ok(await page.locator("#without svg").isVisible());
      assert.equal(await page.locator("button, input, select, textarea, a[href]").count(), 0);
      assert.equal(asked.filter((url) => url.startsWith("http")).length, 0);
      // Nothing is wider than the screen but tables, which scroll by themselves.
      if (options.javaScriptEnabled !== false) assert.ok(await page.evaluate(() => document.documentElement.scrollWidth <= innerWidth), `${width}`);
      await page.close();
    }
  }
});

test("it says that it unpacks, and needs no decompressor of the browser's for it", async () => {
  const { page, faults } = await open(make(car), {}, (page) => page.addInitScript(`
    delete globalThis.DecompressionStream;
    addEventListener("DOMContentLoaded", () => { globalThis.before = document.getElementById("why").textContent; });
  `));
  await page.waitForSelector("#page h1");
  assert.match(await page.evaluate("before"), /being unpacked/);
  // What is packed reaches for nothing outside either; `url(#` is a hatching in the page itself.
  const packed = await page.evaluate("(({ main, worker, style }) => [main, worker, style])(begun.parts())");
  const known = /url\(#|url\(data:|http:\/\/www\.w3\.org\//g;
  for (const text of packed) assert.doesNotMatch(text.replace(known, ""), /https?:\/\/|\/\/cdn|@import|url\(/);
  assert.deepEqual(faults, []);
  await page.close();
});

test("what shows without the model is accessible, light and dark", async () => {
  for (const colorScheme of ["light", "dark"]) {
    const { page } = await open(make(car), { colorScheme, bypassCSP: true }, (page) => page.addInitScript("delete globalThis.WebAssembly"));
    await page.getByText(SO).waitFor({ state: "visible" });
    await page.addScriptTag({ path: axe });
    const found = await page.evaluate(() => globalThis.axe.run());
    assert.deepEqual(found.violations.map((v) => `${v.id}: ${v.nodes[0].html.slice(0, 120)}`), []);
    await page.close();
  }
});

test("the kept page alone can only say so", async () => {
  const { page } = await open(join(root, "assets/live.html"), { javaScriptEnabled: false });
  assert.ok(await page.getByText(CANNOT).isVisible());
  assert.equal(await page.getByText(SO).count(), 0);
  await page.close();
});

test("a hostile scenario is text", async () => {
  const evil = "</script><script>globalThis.evil = 1</script><img src=x onerror=globalThis.evil=1>";
  const name = "R<img src=x onerror=globalThis.evil=1>";
  const text = readFileSync(car, "utf8").replace(/^title = .*$/m, `title = ${JSON.stringify(evil)}`).replace("RR = {", `"${name}" = {`).replace('"RR"', `"${name}"`);
  const file = join(dir, "evil.toml");
  writeFileSync(file, text);
  for (const view of ["try", "open", "class", "car"]) {
    const { page, faults } = await open(make(file, ["--view", view]));
    await page.waitForSelector("#page");
    assert.equal(await page.evaluate(() => globalThis.evil), undefined);
    assert.equal(await page.locator("img").count(), 0);
    assert.deepEqual(faults, [], view);
    await page.close();
  }
});
