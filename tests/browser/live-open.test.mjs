// Open it yourself in a real browser: held by mouse, touch and keys; what drains is what the native program drains.
import assert from "node:assert/strict";
import { mkdtempSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { after, before, test } from "node:test";
import { chromium } from "playwright-core";
import { flush, found, make, open, shipped, sticksOut, write } from "./live.mjs";

let browser;
let dir;

before(async () => {
  dir = mkdtempSync(join(tmpdir(), "farwheel-open-"));
  browser = await chromium.launch({ executablePath: process.env.CHROMIUM ?? "/usr/bin/chromium", args: ["--no-sandbox"] });
});
after(async () => {
  await browser?.close();
  rmSync(dir, { recursive: true, force: true });
});

const CAR = "compact-hatchback";

async function view(file, options = {}) {
  const opened = await open(browser, file, { hash: "#open", ...options });
  await opened.page.waitForSelector("main.open .handle");
  return opened;
}

const faster = (page, factor) => page.click(`.speed button:text-is("${factor}×")`);
const choose = (page, name) => page.locator(".choices button").filter({ hasText: new RegExp(`^${name}$`) }).click();
const headline = (page) => page.textContent("main.open h1");
const figure = async (page, what) => Number(await page.getAttribute(`main.open data.${what}`, "value"));
const counted = async (page) => Number(await page.textContent(".counted .ml b"));

async function down(page) {
  const box = await page.locator(".handle").boundingBox();
  await page.mouse.move(box.x + box.width / 2, box.y + box.height / 2);
  await page.mouse.down();
}

async function held(page, ms) {
  await down(page);
  await page.waitForTimeout(ms);
  await page.mouse.up();
  await page.waitForSelector("main.open .looked");
}

test("held by mouse: it runs, tells no percentage, and closes when let go of", async () => {
  const { page, context, asked, faults } = await view(make(dir, CAR));
  await faster(page, 20);
  await down(page);
  await page.waitForTimeout(900);
  const first = await counted(page);
  assert.match(await headline(page), /^RR is open\. Let go/);
  assert.doesNotMatch(await page.textContent("main.open"), /%/, "no percentage while it runs");
  assert.equal(await page.locator("main.open .plot").count(), 0, "no curve while it runs");
  await page.waitForTimeout(500);
  const second = await counted(page);
  assert.ok(first > 10 && second > first, `${first}, ${second}`);
  await page.mouse.up();
  await page.waitForSelector("main.open .looked");
  assert.match(await headline(page), /^You stopped early: the hose was \d+ % old\.$/);
  assert.equal(await page.textContent(".said"), await headline(page), "said aloud too");
  assert.match(await page.textContent(".handle"), /Hold to open LR/);
  const closed = await figure(page, "closed-at");
  await page.waitForTimeout(300);
  assert.equal(await figure(page, "closed-at"), closed, "nothing runs any more");
  assert.equal(asked.length, 1, "nothing is fetched");
  assert.deepEqual(faults, []);
  await context.close();
});

test("what was drained by hand is what the native program drains to those volumes, in the order chosen", async () => {
  const { page, context } = await view(make(dir, CAR));
  await faster(page, 20);
  const steps = [];
  for (const [wheel, ms] of [["LF", 900], ["RR", 1500], ["RF", 700], ["LR", 600]]) {
    const choice = page.locator(".choices button", { hasText: wheel });
    if (await choice.count()) await choice.click();
    await held(page, ms);
    steps.push(`{ open = "${wheel}", until = "${await figure(page, "closed-at")} mL" }`);
  }
  const text = shipped(CAR);
  const tasks = text.slice(0, text.indexOf("before = [")) + `steps = [{ re_pump = "15 psi" }, ${steps.join(", ")}]\n`;
  const file = join(dir, "by-hand.toml");
  writeFileSync(file, tasks);
  const native = flush(file);
  const [left, own] = [await figure(page, "old-left"), await figure(page, "own-left")];
  assert.ok(Math.abs(left - native.left.old_ml) < 1e-6, `${left} in the page, ${native.left.old_ml} native`);
  const through = flush(own_file());
  assert.ok(Math.abs(own - through.left.old_ml) < 1e-6, "beside it stands the program's own job");
  assert.match(await page.textContent(".sum h2"), /^Your job$/);
  const used = Number(await page.textContent(".sum tbody tr:first-child td b"));
  assert.equal(used, Math.round(native.totals.drained_ml + native.totals.removed_ml));
  await context.close();
});

/** The shipped car as a file. */
function own_file() {
  const file = join(dir, "own.toml");
  writeFileSync(file, shipped(CAR));
  return file;
}

test("a short tap locks it open, the next one closes; other wheels wait meanwhile", async () => {
  const { page, context } = await view(make(dir, CAR), { viewport: { width: 360, height: 740 }, hasTouch: true, isMobile: true });
  await page.tap('.speed button:text-is("20×")');
  await page.tap(".handle");
  assert.match(await headline(page), /Tap again when you would close it/);
  const first = await counted(page);
  await page.waitForTimeout(700);
  assert.ok((await counted(page)) > first, "it runs by itself");
  await page.evaluate(() => document.querySelector(".choices button").click());
  assert.match(await page.textContent(".handle"), /Tap to close RR/);
  await page.tap(".handle");
  await page.waitForSelector("main.open .looked");
  assert.match(await headline(page), /early/);
  assert.deepEqual(await sticksOut(page), []);
  await context.close();
});

test("held by Space and by Enter, focus stays; the space bar works with nothing in focus", async () => {
  const { page, context } = await view(make(dir, CAR));
  await faster(page, 20);
  for (const key of ["Space", "Enter"]) {
    await page.focus(".handle");
    await page.keyboard.down(key);
    await page.waitForTimeout(300);
    await page.keyboard.down(key);
    await page.waitForTimeout(400);
    assert.match(await headline(page), /is open\. Let go/, key);
    await page.keyboard.up(key);
    await page.waitForSelector("main.open .looked");
    assert.equal(await page.evaluate(() => document.activeElement.classList.contains("handle")), true, "focus is kept");
  }
  assert.match(await page.textContent(".sum h2"), /2 of 4 opened/);
  await page.evaluate(() => document.activeElement.blur());
  const before = await page.evaluate(() => scrollY);
  await page.keyboard.down("Space");
  await page.waitForTimeout(500);
  assert.match(await headline(page), /^RF is open/);
  await page.keyboard.up("Space");
  assert.equal(await page.evaluate(() => scrollY), before, "the page does not scroll");
  assert.match(await page.textContent(".sum h2"), /3 of 4 opened/);
  await context.close();
});

test("what takes the handle away lets go of it; leaving the view does too", async () => {
  const { page, context } = await view(make(dir, CAR));
  await page.focus(".handle");
  await page.keyboard.down("Space");
  await page.waitForTimeout(400);
  await page.focus(".speed button >> nth=0");
  await page.waitForSelector("main.open .looked");
  await page.keyboard.up("Space");
  await down(page);
  await page.waitForTimeout(400);
  await page.evaluate(() => { location.hash = "#try"; });
  await page.waitForSelector("main.try");
  await page.mouse.up();
  await page.evaluate(() => { location.hash = "#open"; });
  await page.waitForSelector("main.open .looked");
  assert.match(await page.textContent(".sum h2"), /2 of 4 opened/);
  await context.close();
});

test("held for long it looks clean, held on it is too much; opening again and starting over", async () => {
  const { page, context } = await view(make(dir, CAR));
  await faster(page, 20);
  await choose(page, "LF");
  await down(page);
  await page.waitForFunction(() => Number(document.querySelector(".counted .ml b").textContent) > 340);
  await page.mouse.up();
  await page.waitForSelector("main.open .looked");
  const said = await headline(page);
  const [, from, more] = said.match(/^Clean from (\d+) mL\. You let (\d+) more go\.$/) ?? assert.fail(said);
  assert.ok(Math.abs(Number(from) + Number(more) - (await figure(page, "closed-at"))) < 1.01, said);
  await choose(page, "LF again");
  assert.match(await page.textContent(".handle"), /Hold to open again: LF/);
  await held(page, 400);
  assert.match(await page.textContent(".sum h2"), /1 of 4 opened/);
  await page.click('button:text-is("Start over")');
  assert.match(await headline(page), /^Hold to open RR/);
  assert.equal(await counted(page), 0);
  assert.equal(await page.locator(".sum").count(), 0);
  assert.equal(await page.evaluate(() => document.activeElement.classList.contains("handle")), true);
  await context.close();
});

test("it runs dry: said, with what to load, and nothing opens any more", async () => {
  const little = write(join(dir, "dry.html"), shipped(CAR).replace('loaded = "1 L"', 'loaded = "300 mL"'), "dry.toml");
  const { page, context } = await view(little);
  await faster(page, 20);
  await down(page);
  await page.waitForSelector("main.open .remedy", { timeout: 15000 });
  await page.mouse.up();
  assert.match(await headline(page), /^Runs dry at RR, \d+ mL into the job\.$/);
  assert.match(await page.textContent(".remedy"), /^Load 692 mL or more\./);
  const closed = await figure(page, "closed-at");
  await down(page);
  await page.waitForTimeout(500);
  await page.mouse.up();
  assert.equal(await figure(page, "closed-at"), closed);
  await page.click('button:text-is("Start over")');
  assert.match(await headline(page), /^Hold to open RR/);
  await context.close();
});

test("over the limit, the gauge says so in words; without a gauge that is said", async () => {
  const over = write(join(dir, "over.html"), shipped(CAR).replace('gauge_limit = "20 psi"', 'gauge_limit = "12 psi"'), "over.toml");
  const { page, context } = await view(over);
  assert.match(await page.textContent(".gauge .limit"), /over the limit of 12 psi/);
  assert.equal(await page.locator(".gauge .arc.over").count(), 1);
  await context.close();
  const slow = await view(make(dir, "roadster-gravity"));
  assert.match(await slow.page.textContent(".gauge"), /No gauge: gravity/);
  await faster(slow.page, 60);
  await held(slow.page, 800);
  await slow.context.close();
  const foot = await view(write(join(dir, "foot.html"), shipped(CAR).replace('supply = "pressure bleeder"', 'supply = "pedal"'), "foot.toml"));
  await faster(foot.page, 60);
  await held(foot.page, 2000);
  assert.match(await foot.page.textContent(".gauge"), /topped up \d ×/);
  const [gauge, bench] = await foot.page.evaluate(() => [".gauge .about", ".bench"].map((s) => document.querySelector(s).getBoundingClientRect().right));
  assert.ok(gauge <= bench + 0.5, "it fits");
  await foot.context.close();
});

test("who wants no motion sees steps of a second, and drains as much", async () => {
  const { page, context } = await view(make(dir, CAR), { reducedMotion: "reduce" });
  await faster(page, 20);
  await down(page);
  const figures = new Set();
  const begun = performance.now();
  for (let i = 0; i < 50; i++) {
    figures.add(await counted(page));
    await page.waitForTimeout(50);
  }
  // A machine with much to do takes longer over fifty looks: a step a second all the same.
  const seconds = (performance.now() - begun) / 1000;
  await page.mouse.up();
  await page.waitForSelector("main.open .looked");
  assert.ok(figures.size >= 2 && figures.size <= seconds + 2, [...figures].join(" "));
  assert.ok((await figure(page, "closed-at")) > Math.max(...figures), "up to the moment it was closed");
  await context.close();
});

test("hostile and long names do no harm", async () => {
  const name = `<img src=x onerror=alert(1)>&"'${" long".repeat(4)}`;
  const key = JSON.stringify(name);
  const text = shipped(CAR).replace('RR = { like = "rear"', `${key} = { like = "rear"`).replace('open = ["RR",', `open = [${key},`);
  for (const width of [360, 1024]) {
    const { page, context, faults } = await view(write(join(dir, "hostile.html"), text, "<b>.toml"), { viewport: { width, height: 740 } });
    await faster(page, 20);
    await held(page, 700);
    assert.equal(await page.locator("main img, main b b").count(), 0);
    assert.match(await page.textContent(".is"), /<img src=x/);
    assert.deepEqual(await sticksOut(page), [], `${width}`);
    assert.deepEqual(faults, []);
    await context.close();
  }
});

test("every shipped scenario can be driven, and its names fit", async () => {
  for (const name of ["off-roader-eight-bleeders", "motorcycle-front", "saloon-esc-with-routine", "coupe-twin-bleeders"]) {
    const { page, context, faults } = await view(make(dir, name), { viewport: { width: 360, height: 740 } });
    await faster(page, 20);
    await held(page, 700);
    assert.deepEqual(await sticksOut(page), [], name);
    const step = page.locator(".choices .wide");
    if (await step.count()) {
      const before = await step.textContent();
      await step.click();
      assert.notEqual((await step.count()) && (await step.textContent()), before, "the step is done");
    }
    assert.deepEqual(faults, [], name);
    await context.close();
  }
});

test("accessible in every state, nothing sticks out", async () => {
  for (const colorScheme of ["light", "dark"]) {
    for (const width of [360, 768, 1440]) {
      const { page, context } = await view(make(dir, CAR), { viewport: { width, height: 800 }, colorScheme, bypassCSP: true });
      const fine = async (state) => {
        assert.deepEqual(await found(page), [], `${state}, ${colorScheme}, ${width}`);
        assert.deepEqual(await sticksOut(page), [], `${state}, ${width}`);
        const small = await page.evaluate(() => [...document.querySelectorAll("main.open button")].filter((b) => b.offsetHeight < 48 || b.offsetWidth < 48).map((b) => b.textContent));
        assert.deepEqual(small, [], "room for a finger");
      };
      await fine("before");
      await faster(page, 20);
      await page.click(".handle");
      await page.waitForTimeout(400);
      await fine("open");
      await page.click(".handle");
      await page.waitForSelector("main.open .looked");
      await fine("closed");
      await context.close();
    }
  }
});
