// The live page in a stock Firefox, over WebDriver BiDi: every view opens alone and fits, taps and keys work, figures are
// the program's. Firefox cannot be told of darkness or less motion page by page, so they are settings of a second one.
import assert from "node:assert/strict";
import { execFileSync } from "node:child_process";
import { mkdtempSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { after, before, test } from "node:test";
import { pathToFileURL } from "node:url";
import puppeteer from "puppeteer-core";
import { begin } from "./core.mjs";
import { flush, found, make, program, root, shipped, sticksOut } from "./live.mjs";

const WIDTHS = [360, 768, 1440];
/** Each view: its name, and what shows that it is there in full. */
const VIEWS = { try: ["Try", ".bars"], open: ["Open it yourself", ".handle"], class: ["Class", ".bins"], car: ["Car", ".segments"] };
const CAR = "compact-hatchback";
const BLEEDERS = ["RR", "LR", "RF", "LF"];

let bright;
let dark;
let dir;
let file;

const launch = (settings = {}) => puppeteer.launch({
  browser: "firefox",
  executablePath: process.env.FIREFOX ?? "/usr/bin/firefox-esr",
  extraPrefsFirefox: { "ui.systemUsesDarkTheme": 0, "ui.prefersReducedMotion": 0, ...settings },
});

before(async () => {
  dir = mkdtempSync(join(tmpdir(), "farwheel-firefox-"));
  file = make(dir, CAR);
  bright = await launch();
  dark = await launch({ "ui.systemUsesDarkTheme": 1, "ui.prefersReducedMotion": 1 });
});
after(async () => {
  await bright?.close();
  await dark?.close();
  rmSync(dir, { recursive: true, force: true });
});

/** A page that keeps what it asks for and complains of; what its policy refuses is a complaint. */
async function watched(browser, width) {
  const page = await browser.newPage();
  const asked = [];
  const faults = [];
  page.on("request", (r) => /^(data|blob):/.test(r.url()) || asked.push(r.url()));
  page.on("pageerror", (e) => faults.push(String(e)));
  page.on("console", (m) => ["error", "warn"].includes(m.type()) && faults.push(m.text()));
  await page.setViewport({ width, height: 800 });
  return { page, asked, faults };
}

async function open(browser, width, view) {
  const opened = await watched(browser, width);
  await opened.page.goto(`${pathToFileURL(file)}#${view}`);
  await shows(opened.page, view);
  return opened;
}

async function shows(page, view) {
  await page.waitForSelector(`main.${view} ${VIEWS[view][1]}`);
  await page.waitForFunction(() => !document.querySelector("main .late"));
}

const text = (page, selector) => page.$eval(selector, (e) => e.innerText);
const figures = (page) => page.$$eval(".figures dd:first-of-type b", (all) => all.map((e) => e.innerText));
const wheel = (name) => `button.tire[data-bleeder="${name}"]`;
const clock = (s) => `${Math.floor(Math.round(s) / 60)}:${String(Math.round(s) % 60).padStart(2, "0")}`;
const shown = ({ totals, left }) => [
  (totals.drained_ml + totals.removed_ml).toFixed(0),
  (100 * left.old_fraction).toFixed(100 * left.old_fraction < 10 ? 1 : 0),
  clock(totals.flow_seconds),
];

/** What the program says of the car with other tasks. */
function told(name, change) {
  const out = join(dir, `${name}.toml`);
  const changed = change(shipped(CAR));
  assert.notEqual(changed, shipped(CAR));
  writeFileSync(out, changed);
  return flush(out);
}
const inOrder = (order) => told(order.join(""), (t) => t.replace(/^open = .*$/m, `open = ${JSON.stringify(order)} # as tapped`));

/** Goes with Tab, or Shift and Tab, until a thing is in focus. */
async function tabTo(page, selector) {
  for (let i = 0; i < 150; i++) {
    const way = await page.evaluate((s) => {
      const at = document.activeElement;
      if (at.matches(s)) return "there";
      return at.compareDocumentPosition(document.querySelector(s)) & Node.DOCUMENT_POSITION_PRECEDING ? "back" : "on";
    }, selector);
    if (way === "there") return;
    if (way === "back") await page.keyboard.down("Shift");
    await page.keyboard.press("Tab");
    if (way === "back") await page.keyboard.up("Shift");
  }
  assert.fail(`Tab does not come to ${selector}`);
}

for (const width of WIDTHS) {
  test(`${width} px: every view opens, fits, asks for nothing, complains of nothing`, async () => {
    for (const [view, [name]] of Object.entries(VIEWS)) {
      const { page, asked, faults } = await open(bright, width, view);
      assert.ok((await page.title()).startsWith(`${name} · `), await page.title());
      assert.equal(await page.$eval("[aria-current=page] .wide", (e) => e.textContent), name);
      assert.equal(await page.evaluate(() => innerWidth), width);
      assert.deepEqual(await sticksOut(page), [], view);
      // The core and its thread were begun without one either.
      assert.deepEqual(asked.filter((url) => url.replace(/#.*/, "") !== pathToFileURL(file).href), [], view);
      assert.deepEqual(faults, [], view);
      await page.close();
    }
  });

  test(`${width} px: wheels tapped give the figures of flush`, async () => {
    const { page, faults } = await open(bright, width, "try");
    for (const order of [BLEEDERS, ["LF", "RF", "RR", "LR"], ["RF", "RR", "LF", "LR"]]) {
      for (const name of order) await page.tap(wheel(name));
      const record = inOrder(order);
      assert.deepEqual(await figures(page), shown(record), order.join());
      for (const [i, name] of order.entries()) {
        assert.match((await text(page, wheel(name))).replaceAll(/\s+/g, " "), new RegExp(`^${i + 1} ${name} , opened .*, ${record.openings[i].drained_ml.toFixed(0)} mL$`));
      }
    }
    assert.deepEqual(faults, []);
    await page.close();
  });

  test(`${width} px: axe finds nothing, light and dark, and nothing sticks out`, async () => {
    for (const browser of [bright, dark]) {
      for (const view of Object.keys(VIEWS)) {
        const { page } = await open(browser, width, view);
        const what = `${view}, ${browser === dark ? "dark" : "light"}`;
        if (view === "try") {
          for (const name of BLEEDERS) await page.click(wheel(name));
          await shows(page, view);
        }
        assert.deepEqual(await found(page), [], what);
        assert.deepEqual(await sticksOut(page), [], what);
        await page.close();
      }
    }
  });
}

test("what is watched for is seen", { timeout: 60_000 }, async () => {
  const { page, asked, faults } = await watched(bright, 768);
  const other = join(dir, "other.html");
  writeFileSync(other, `<img src="http://farwheel.invalid/"><div id="page"><p style="width: 2000px">wide</p></div>`);
  await page.goto(pathToFileURL(other).href);
  assert.ok(asked.some((url) => url.endsWith("//farwheel.invalid/")), `${asked}`);
  assert.notDeepEqual(await sticksOut(page), []);
  await page.goto(pathToFileURL(file).href);
  const refused = new Promise((resolve) => page.once("pageerror", resolve));
  await page.evaluate(() => { document.body.append(Object.assign(new Image(), { src: "http://farwheel.invalid/" })); });
  await refused;
  const said = new Promise((resolve) => page.once("console", resolve));
  await page.evaluate(() => console.error("said"));
  await said;
  assert.match(faults.join("\n"), /Content-Security-Policy[^]*said/);
  await page.close();
});

test("dark is dark, and who wants no motion sees none", async () => {
  const told = () => {
    const moves = (e) => getComputedStyle(e).transitionDuration !== "0s" && getComputedStyle(e).transitionProperty !== "none";
    const [r, g, b] = getComputedStyle(document.body).backgroundColor.match(/[\d.]+/g).map(Number);
    return { ground: r + g + b, moving: document.getAnimations().length + [...document.querySelectorAll("#page *")].filter(moves).length };
  };
  const seen = [];
  for (const browser of [bright, dark]) {
    const { page } = await open(browser, 768, "try");
    await page.click(wheel("RR"));
    seen.push(await page.evaluate(told));
    await page.close();
  }
  const [light, night] = seen;
  assert.ok(light.ground > 600 && night.ground < 150, JSON.stringify(seen));
  assert.ok(light.moving > 0 && night.moving === 0, JSON.stringify(seen));
});

test("by keys alone: wheels, views, a guess, the text", async () => {
  const { page, faults } = await open(bright, 1440, "try");
  for (const name of BLEEDERS) {
    await tabTo(page, wheel(name));
    await page.keyboard.press("Enter");
    assert.ok(await page.$eval(wheel(name), (e) => e === document.activeElement), "focus stays");
  }
  assert.deepEqual(await figures(page), shown(flush(join(root, `scenarios/${CAR}.toml`))));
  for (const view of ["open", "class", "car", "try"]) {
    await tabTo(page, `a.tab[href^="#${view}"]`);
    await page.keyboard.press("Enter");
    await shows(page, view);
    assert.equal(await page.evaluate(() => document.activeElement.getAttribute("aria-current")), "page", "focus stays");
    if (view === "class") {
      await tabTo(page, ".bin .add");
      await page.keyboard.press("Enter");
      assert.equal(await text(page, ".bin .hands"), "1");
    }
    if (view === "car") {
      await tabTo(page, ".segments button:nth-child(2)");
      await page.keyboard.press("Enter");
      assert.equal(await page.$eval("#car-text", (e) => e.value), shipped(CAR));
    }
  }
  assert.deepEqual(faults, []);
  await page.close();
});

test("held open by keys, it drains what the program drains to those volumes", async () => {
  const { page, faults } = await open(bright, 1440, "open");
  const figure = (what) => page.$eval(`main.open data.${what}`, (e) => Number(e.value));
  await tabTo(page, ".speed button:last-child");
  await page.keyboard.press("Enter");
  const steps = [];
  for (const [name, key] of [["LF", " "], ["RR", "Enter"], ["RF", " "], ["LR", "Enter"]]) {
    const choice = await page.evaluateHandle((n) => [...document.querySelectorAll(".choices button")].find((b) => b.textContent.trim() === n), name);
    await choice.asElement()?.focus();
    if (choice.asElement()) await page.keyboard.press("Enter");
    await tabTo(page, ".handle");
    await page.keyboard.down(key);
    await page.waitForFunction(() => Number(document.querySelector(".counted .ml b").textContent) > 30);
    assert.match(await text(page, "main.open h1"), new RegExp(`^${name} is open\\. Let go`));
    await page.keyboard.up(key);
    await page.waitForSelector("main.open .looked");
    steps.push(`{ open = "${name}", until = "${await figure("closed-at")} mL" }`);
  }
  const { left } = told("by-hand", (t) => `${t.slice(0, t.indexOf("before = ["))}steps = [{ re_pump = "15 psi" }, ${steps.join(", ")}]\n`);
  assert.ok(Math.abs((await figure("old-left")) - left.old_ml) < 1e-6, `${await figure("old-left")} in the page, ${left.old_ml} by the program`);
  assert.deepEqual(faults, []);
  await page.close();
});

test("the core in Firefox gives, byte for byte, the JSON of the program", async () => {
  const { page } = await open(bright, 768, "car");
  // Unpacked by the page's own lines.
  const core = await page.evaluateHandle(`(${begin})(begun.parts().core)`);
  const scenario = join(root, `scenarios/${CAR}.toml`);
  const question = { ask: "native", verb: "flush", text: shipped(CAR), file: scenario, curves: true };
  const answer = await core.evaluate((ask, q) => ask(q), question);
  const json = execFileSync(program, ["flush", scenario, "--quiet", "--json", "-", "--also", "curves"], { cwd: root, encoding: "utf8", maxBuffer: 1 << 28 });
  assert.ok(json.length > 10_000);
  assert.ok(answer.ok === json, answer.error ?? "another text");
  await page.close();
});
