// The view Car of the live page: described by questions as the program does, its text with its mistakes.
import assert from "node:assert/strict";
import { execFileSync, spawnSync } from "node:child_process";
import { mkdtempSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { after, before, test } from "node:test";
import { chromium } from "playwright-core";
import { described, headline, opened, openRow, part, textOf } from "./live-car.mjs";
import { make, open, program, shipped, write } from "./live.mjs";

/** Of the random sets of answers. */
const SEED = 20260418;
const SETS = 20;

let browser;
let dir;
let empty;

before(async () => {
  dir = mkdtempSync(join(tmpdir(), "farwheel-live-car-"));
  browser = await chromium.launch({ executablePath: process.env.CHROMIUM ?? "/usr/bin/chromium", args: ["--no-sandbox"] });
  empty = write(join(dir, "empty.html"), null);
});
after(async () => {
  await browser?.close();
  rmSync(dir, { recursive: true, force: true });
});

/** Numbers from 0 to below 1 (a linear congruential generator, from memory). */
function drawn(seed) {
  let state = seed >>> 0;
  return () => (state = (Math.imul(1664525, state) + 1013904223) >>> 0) / 2 ** 32;
}

test("a page without a car begins with the questions, and one answer is enough", async () => {
  const { page, context, asked, faults } = await open(browser, empty);
  assert.equal(await headline(page), "Nothing to open yet.");
  await page.click('.choices button:has-text("Hatchback")');
  assert.match(await headline(page), /^1 answer, \d+ guesses: enough to run\.$/);
  assert.equal(await page.evaluate(() => document.activeElement.textContent.trim()), "Hatchback");
  assert.equal(await page.textContent(".said"), await headline(page));
  assert.equal(await textOf(page), described([["kind", "hatchback"]]));
  await page.waitForSelector(".sure:not([aria-busy=true])");
  await page.click('.tab:has-text("Try")');
  assert.doesNotMatch(await page.textContent("main"), /Nothing to open/);
  assert.deepEqual(faults, []);
  assert.equal(asked.filter((url) => !/^(file|blob|data):/.test(url)).length, 0);
  await context.close();
});

test("every set of answers makes the text that the program makes of it, to the byte", async () => {
  const random = drawn(SEED);
  const pick = (list) => list[Math.floor(random() * list.length)];
  const { page, context, faults } = await open(browser, empty);
  let compared = 0;
  for (let set = 0; set < SETS; set++) {
    await page.reload();
    await page.click(".further button");
    const given = new Map();
    for (const turn of Array(7).keys()) {
      const ids = await page.$$eval(".asked > li:not([hidden]) > .row", (rows) => rows.map((r) => r.id.replace("car-row-", "")));
      const id = turn === 0 ? "kind" : pick(ids.filter((i) => !given.has(i)));
      await openRow(page, id);
      const example = await page.$eval(`#car-open-${id}`, (e) => e.querySelector("label")?.textContent.replace("For example ", "").split(" or ")[0] ?? null);
      const before = await page.evaluate(() => document.querySelector(".sheet pre").textContent);
      if (example !== null) {
        await page.fill(`#car-answer-${id}`, example);
        await page.press(`#car-answer-${id}`, "Enter");
        given.set(id, example);
      } else {
        const choices = await page.$$(`#car-open-${id} .choices button`);
        const one = pick(choices.slice(0, -1));
        await one.click();
        given.set(id, (await one.$eval("span", (s) => s.textContent)));
      }
      assert.notEqual(await page.evaluate(() => document.querySelector(".sheet pre").textContent), before, `${id} changes nothing`);
    }
    const asked = await page.$$eval(".asked > li:not([hidden]) > .row", (rows) => rows.map((r) => r.id.replace("car-row-", "")));
    const applies = [...given].filter(([id]) => asked.includes(id));
    assert.equal(await textOf(page), described(applies), JSON.stringify(applies));
    compared += 1;
  }
  assert.equal(compared, SETS);
  assert.deepEqual(faults, []);
  await context.close();
});

test("don't know takes an answer back; what does not apply is kept in mind and left out", async () => {
  const { page, context } = await open(browser, empty);
  await page.click('.choices button:has-text("Hatchback")');
  await openRow(page, "steering");
  await page.click('#car-open-steering button:has-text("Right")');
  await openRow(page, "kind");
  await page.click('#car-open-kind button:has-text("Motorcycle")');
  assert.equal(await textOf(page), described([["kind", "motorcycle"]]));
  await page.click('#car-open-kind button:has-text("Van")');
  assert.equal(await textOf(page), described([["kind", "van"], ["steering", "right"]]));
  await openRow(page, "steering");
  await page.click('#car-open-steering button:has-text("Don’t know")');
  assert.equal(await textOf(page), described([["kind", "van"]]));
  await context.close();
});

test("what is wrong with an answer is said in the program's words, and stays to be mended", async () => {
  const { page, context } = await open(browser, empty);
  await openRow(page, "max");
  for (const wrong of ["250 psi", "a lot", "-3 mL", "1e9 L"]) {
    await page.fill("#car-answer-max", wrong);
    await page.press("#car-answer-max", "Enter");
    const { stderr } = spawnSync(program, ["describe", "--defaults", "--answer", `max=${wrong}`, "-o", "-"], { encoding: "utf8" });
    const said = (await page.textContent("#car-allowed-max .wrong")).trim();
    assert.ok(stderr.includes(said), `${said}\n${stderr}`);
    assert.equal(await page.inputValue("#car-answer-max"), wrong);
    assert.equal(await page.getAttribute("#car-answer-max", "aria-invalid"), "true");
  }
  await page.fill("#car-answer-max", "240 mL");
  await page.press("#car-answer-max", "Enter");
  assert.equal(await page.locator("#car-allowed-max .wrong").count(), 0);
  assert.equal(await textOf(page), described([["max", "240 mL"]]));
  await context.close();
});

test("mistakes in the text are worded as the program words them, and lead to their line", async () => {
  const { page, context, faults } = await open(browser, make(dir, "compact-hatchback"), { hash: "#car" });
  await part(page, "Text");
  const whole = shipped("compact-hatchback");
  assert.equal(await page.inputValue("#car-text"), whole);
  const broken = [
    whole.replace("bends = 8", "bens = 8"), whole.replace("[reservoir]", "[reservoir"), whole.replace(/"RR"/g, '"XX"'),
    whole.replace(/ mm/g, " psi"), "", "title = 3\n", whole + "\u202E\n", whole.replace(/\[parts\][^]*?\[/, "["),
  ];
  for (const text of broken) {
    const path = join(dir, "compact-hatchback.toml");
    writeFileSync(path, text);
    const { stderr, status } = spawnSync(program, ["check", path], { encoding: "utf8" });
    assert.notEqual(status, 0);
    await page.fill("#car-text", text);
    await page.waitForFunction(() => /mistake/.test(document.querySelector(".judged").textContent));
    const told = await page.$$eval(".mistakes li", (items) => items.map((i) => ({ line: i.querySelector("button")?.textContent, words: i.querySelector(".wrong")?.textContent })));
    assert.equal(told.length, stderr.match(/^error: /gm).length);
    for (const { line, words } of told) {
      // Of a file without a word no line is told.
      const place = text ? `${path}:${line.replace("Line ", "")}:` : path;
      assert.ok(stderr.includes(place), `${line} ${stderr}`);
    }
    for (const [, what, remedy] of stderr.matchAll(/^error: (.*)\n[^]*?= help: (.*)$/gm)) assert.ok(told.some((t) => t.words === `${what}; ${remedy}`), `${what}; ${remedy}\n${JSON.stringify(told)}`);
    assert.equal(await page.isDisabled('button:text-is("Use this")'), true);
  }
  await page.fill("#car-text", broken[0]);
  await page.waitForFunction(() => /mistake/.test(document.querySelector(".judged").textContent));
  await page.click(".mistakes button >> nth=0");
  const caret = await page.evaluate(() => ({ at: document.activeElement.selectionStart, id: document.activeElement.id }));
  assert.deepEqual(caret, { at: broken[0].indexOf("bens"), id: "car-text" });
  assert.deepEqual(faults, []);
  await context.close();
});

test("a text is used once it is right; what it replaces comes back", async () => {
  const { page, context } = await open(browser, empty);
  await page.click('.choices button:has-text("Hatchback")');
  const first = await textOf(page);
  await part(page, "Text");
  await page.fill("#car-text", first.replace("22.2 mm", "19 mm"));
  await page.click('button:text-is("Use this")');
  assert.match(await headline(page), /changed by hand/);
  await part(page, "Questions");
  assert.equal(await page.locator(".asked").count(), 0);
  await page.click('button:text-is("Go back to its answers")');
  assert.equal(await textOf(page), first);
  await page.click(".back");
  assert.match(await headline(page), /changed by hand/);
  await part(page, "Text");
  assert.match(await page.inputValue("#car-text"), /19 mm/);
  await context.close();
});

test("ranges are those that the program draws, and move with an answer", async () => {
  const { page, context } = await open(browser, empty);
  const shown = () => page.$$eval(".sure .figure", (all) => all.map((e) => e.textContent.replace(/\s+/g, " ").trim()));
  const drawn = async () => {
    await page.waitForSelector(".sure[aria-busy=false]", { timeout: 60_000 });
    return shown();
  };
  const wanted = (text) => {
    const path = join(dir, "drawn.toml");
    writeFileSync(path, text);
    const { in_all: all } = JSON.parse(execFileSync(program, ["spread", path, "--draws", "100", "--json", "-", "--quiet"], { encoding: "utf8", maxBuffer: 1 << 28 }));
    const range = (name, unit, by = 1) => `${(all[`${name}_p10`] / by).toFixed(0)} to ${(all[`${name}_p90`] / by).toFixed(0)} ${unit}`;
    return [range("drained_ml", "mL"), range("left_old_ml", "mL"), range("bay_seconds", "min", 60)];
  };
  await page.click('.choices button:has-text("Motorcycle")');
  const before = await drawn();
  assert.deepEqual(before, wanted(described([["kind", "motorcycle"]])));
  const map = await page.innerHTML(".right .map");
  await openRow(page, "front_discs");
  await page.click('#car-open-front_discs .choices button:has-text("1")');
  assert.notEqual(await page.innerHTML(".right .map"), map);
  const then = await drawn();
  assert.deepEqual(then, wanted(described([["kind", "motorcycle"], ["front_discs", "1"]])));
  assert.notDeepEqual(then, before);
  await context.close();
});

test("all of it goes by keyboard", async () => {
  const { page, context } = await open(browser, empty);
  const now = () => page.evaluate(() => document.activeElement.textContent.replace(/\s+/g, " ").trim());
  await page.focus("#car-row-kind");
  await page.keyboard.press("Tab");
  assert.equal(await now(), "City car");
  await page.keyboard.press("Space");
  assert.equal(await now(), "City car");
  assert.match(await headline(page), /^1 answer/);
  while (!(await now()).startsWith("Next: ")) await page.keyboard.press("Tab");
  await page.keyboard.press("Enter");
  assert.equal(await page.evaluate(() => document.activeElement.id), "car-row-clean");
  assert.equal(await opened(page, "clean"), true);
  await page.keyboard.press("Enter");
  assert.equal(await opened(page, "clean"), false);
  await context.close();
});

test("what was changed in the job stays with another answer", async () => {
  const { page, context } = await open(browser, empty);
  await page.click('.choices button:has-text("Hatchback")');
  await page.evaluate(() => { location.hash = "#car&order=LF,RF&eye=0.15"; });
  await openRow(page, "steering");
  await page.click('#car-open-steering button:has-text("Right")');
  assert.match(await page.evaluate(() => location.hash), /^#car&order=LF,RF&eye=0\.15$/);
  await context.close();
});
