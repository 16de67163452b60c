// The view Car of the live page: files opened, saved and kept; how it looks on every screen and on paper.
import assert from "node:assert/strict";
import { spawnSync } from "node:child_process";
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { after, before, test } from "node:test";
import { chromium } from "playwright-core";
import { described, headline, hostileTitle, openRow, part } from "./live-car.mjs";
import { found, make, open, program, shipped, sticksOut, write } from "./live.mjs";

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

/** A file to be opened. */
const file = (name, content) => ({ name, mimeType: "text/plain", buffer: Buffer.from(content) });

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
  for (const content of [Buffer.from([0x74, 0x3d, 0xff, 0x0a]), Buffer.alloc(1_000_001, "# "), Buffer.alloc(0)]) {
    const path = join(dir, "odd.toml");
    writeFileSync(path, content);
    const { stderr } = spawnSync(program, ["check", path], { encoding: "utf8" });
    await page.setInputFiles(".left input[type=file]", path);
    const [what, remedy] = [/^error: (.*)$/m, /= help: (.*)$/m].map((words) => words.exec(stderr)[1]);
    await page.waitForFunction((words) => document.querySelector(".note").textContent.includes(words), `${what}; ${remedy}`, { timeout: 10_000 });
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
