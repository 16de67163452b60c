// The view Car of the live page: described by questions as the program does, its text with its mistakes, files.
import assert from "node:assert/strict";
import { execFileSync, spawnSync } from "node:child_process";
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { after, before, test } from "node:test";
import { chromium } from "playwright-core";
import { found, make, open, program, shipped, sticksOut, write } from "./live.mjs";

/** Of the random sets of answers. */
const SEED = 20260418;
const SETS = 20;
const hostileTitle = `</title></script><script>document.title="broken"</script><img src=x onerror=alert(1)>`;

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

const part = (page, name) => page.click(`.segments button:text-is("${name}")`);
const textOf = async (page) => {
  await part(page, "Text");
  const text = await page.inputValue("#car-text");
  await part(page, "Questions");
  return text;
};
const described = (answers) => execFileSync(program, ["describe", "--defaults", ...answers.flatMap(([id, text]) => ["--answer", `${id}=${text}`]), "-o", "-"], { encoding: "utf8" });
const opened = (page, id) => page.getAttribute(`#car-row-${id}`, "aria-expanded").then((open) => open === "true");
const openRow = async (page, id) => (await opened(page, id)) || page.click(`#car-row-${id}`);
const headline = (page) => page.textContent(".car-page h1");
const file = (name, content) => ({ name, mimeType: "text/plain", buffer: Buffer.from(content) });

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

test("a file is opened and saved to the byte, its end of lines and hostile name included", async () => {
  const { page, context, faults } = await open(browser, empty);
  page.on("dialog", (d) => assert.fail(d.message()));
  await part(page, "Files");
  const text = shipped("compact-hatchback").replaceAll("\n", "\r\n").replace(/^title = .*$/m, `title = ${JSON.stringify(hostileTitle)}`);
  await page.setInputFiles(".left input[type=file]", file(`"><img src=x onerror=alert(1)>\u202Elmot.toml`, text));
  await page.waitForSelector(".note:not([hidden])");
  const [download] = await Promise.all([page.waitForEvent("download"), page.click('button:text-is("Save")')]);
  assert.equal(readFileSync(await download.path(), "utf8"), text);
  assert.doesNotMatch(download.suggestedFilename(), /[<>"\u202E]/);
  assert.equal(await page.locator("#page img").count(), 0);
  assert.notEqual(await page.title(), "broken");
  assert.deepEqual(faults, []);
  await context.close();
});

test("what can't be opened is said in the program's words", async () => {
  const { page, context } = await open(browser, empty);
  await part(page, "Files");
  for (const content of [Buffer.from([0x74, 0x3d, 0xff, 0x0a]), Buffer.alloc(1_000_001, "# ")]) {
    const path = join(dir, "odd.toml");
    writeFileSync(path, content);
    const { stderr } = spawnSync(program, ["check", path], { encoding: "utf8" });
    await page.setInputFiles(".left input[type=file]", path);
    await page.waitForSelector(".note:not([hidden])");
    const note = await page.textContent(".note");
    for (const words of [/^error: (.*)$/m, /= help: (.*)$/m]) assert.ok(note.includes(words.exec(stderr)[1]), `${note}\n${stderr}`);
    assert.equal(await headline(page), "Nothing to open yet.");
  }
  await context.close();
});

test("cars are kept only when asked, never written over, deleted by a second tap", async () => {
  const { page, context } = await open(browser, make(dir, "compact-hatchback"), { hash: "#car" });
  const kept = () => page.$$eval(".kept > button:first-child", (all) => all.map((b) => b.textContent));
  assert.equal(await page.evaluate(() => localStorage.length), 0);
  await part(page, "Files");
  await page.click("#car-keep");
  await page.click('.list button:has-text("Motorcycle")');
  await page.fill("#car-name", "compact-hatchback");
  await page.press("#car-name", "Tab");
  await page.click("#car-keep");
  assert.deepEqual(await kept(), ["compact-hatchback 2.toml", "compact-hatchback.toml"]);
  await page.click('.kept >> nth=1 >> button >> nth=0');
  await part(page, "Text");
  assert.equal(await page.inputValue("#car-text"), shipped("compact-hatchback"));
  await part(page, "Files");
  await page.click('.kept button:text-is("Delete") >> nth=0');
  assert.equal((await kept()).length, 2);
  await page.focus("#car-name");
  assert.equal(await page.locator('.kept button:text-is("Delete for good")').count(), 0);
  await page.click('.kept button:text-is("Delete") >> nth=0');
  await page.click('.kept button:text-is("Delete for good")');
  assert.deepEqual(await kept(), ["compact-hatchback.toml"]);
  assert.notEqual(await page.evaluate(() => document.activeElement.tagName), "BODY");
  await context.close();
});

test("a browser that keeps nothing says so before anything depends on it, and the text can be copied", async () => {
  for (const refuse of [
    () => Object.defineProperty(window, "localStorage", { get() { throw new DOMException("denied", "SecurityError"); } }),
    () => { Storage.prototype.setItem = () => { throw new DOMException("full", "QuotaExceededError"); }; },
    () => Object.defineProperty(window, "localStorage", { value: null }),
  ]) {
    const context = await browser.newContext();
    await context.addInitScript(refuse);
    await context.addInitScript(() => Object.defineProperty(navigator, "clipboard", { value: undefined }));
    const page = await context.newPage();
    await page.goto(`file://${make(dir, "motorcycle-front")}#car`);
    await part(page, "Files");
    assert.equal(await page.textContent(".refused"), "Not saved: this browser keeps nothing for files. Copy it as text.");
    assert.equal(await page.locator("#car-keep").count(), 0);
    await page.click('button:text-is("Copy as text")');
    assert.equal(await page.evaluate(() => String(getSelection()) || document.activeElement.value.slice(document.activeElement.selectionStart, document.activeElement.selectionEnd)), shipped("motorcycle-front"));
    await context.close();
  }
});

test("a page that is an address of its own keeps nothing, and says so", async () => {
  const page = await browser.newPage();
  await page.goto(`data:text/html;charset=utf-8;base64,${readFileSync(empty).toString("base64")}`);
  await part(page, "Files");
  assert.match(await page.textContent(".refused"), /^Not saved: /);
  await page.close();
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

test("printing from here prints the text", async () => {
  const { page, context } = await open(browser, make(dir, "compact-hatchback"), { hash: "#car" });
  await page.emulateMedia({ media: "print" });
  assert.ok(await page.isVisible(".sheet pre"));
  assert.ok(await page.isHidden(".car-page .left"));
  assert.ok(await page.isVisible(".cautions"));
  await context.close();
});

test("nothing sticks out, axe finds nothing, targets are large, on every screen", async () => {
  const hatchback = write(join(dir, "described.html"), described([["kind", "hatchback"], ["gauge", "15 psi"]]), `${"long-".repeat(12)}.toml`);
  for (const [width, colorScheme] of [[360, "light"], [390, "dark"], [768, "light"], [1024, "dark"], [1440, "light"]]) {
    for (const [page_, name, shown] of [[empty, "Questions", "kind"], [hatchback, "Questions", "max"], [hatchback, "Text"], [hatchback, "Files"]]) {
      const { page, context, faults } = await open(browser, page_, { hash: "#car", viewport: { width, height: 800 }, colorScheme, bypassCSP: true, reducedMotion: "reduce" });
      await part(page, name);
      if (shown) await openRow(page, shown);
      if (name === "Text") {
        await page.fill("#car-text", `${"x".repeat(3000)} = 1\n${hostileTitle}`);
        await page.waitForSelector(".mistakes");
      }
      if (name === "Files") await page.click("#car-keep");
      const at = `${width} ${name} ${shown ?? ""}`;
      assert.deepEqual(await sticksOut(page), [], at);
      assert.deepEqual(await found(page), [], at);
      const small = await page.$$eval(".car-page button, .car-page summary, .car-page input", (all) => all.filter((e) => e.offsetParent && (e.getBoundingClientRect().height < 47.5 || e.getBoundingClientRect().width < 47.5)).map((e) => e.outerHTML.slice(0, 80)));
      assert.deepEqual(small, [], at);
      assert.deepEqual(faults, [], at);
      await context.close();
    }
  }
});
