// The view Class: guess and reveal, two orders side by side, every step on the clock, ten questions, the sheet.
import { after, before, test } from "node:test";
import assert from "node:assert/strict";
import { mkdtempSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { chromium } from "playwright-core";
import { flush, found, make, open as opened, root, shipped, sticksOut, write } from "./live.mjs";

let browser;
let dir;
before(async () => {
  dir = mkdtempSync(join(tmpdir(), "class-"));
  browser = await chromium.launch({ executablePath: process.env.CHROMIUM ?? "/usr/bin/chromium", args: ["--no-sandbox"] });
});
after(async () => {
  await browser?.close();
  rmSync(dir, { recursive: true, force: true });
});

/** Opens the view on a shipped car. */
async function open(name = "compact-hatchback", options = {}) {
  const told = await opened(browser, make(dir, name), { hash: "#class", ...options });
  await told.page.waitForSelector(".class .bins, .class .two");
  return told;
}
const reveal = (page) => page.getByRole("button", { name: "Show the answer" }).click();
const heading = (page) => page.locator("main h1").innerText();
async function set(page, seed) {
  await page.getByLabel("Questions of set").fill(String(seed));
  await page.getByRole("button", { name: "Take this set" }).click();
  await page.waitForSelector(".class .where");
}

test("first the guess, then the answer; a long press and the minus take a hand back", async () => {
  const { page, context, asked, faults } = await open();
  assert.equal(await heading(page), "Does the order matter?");
  assert.equal(await page.locator(".class .two, .class .drained, .class .time").count(), 0, "nothing is given away");
  const bin = page.locator(".class .bin .add").first();
  const hands = () => page.locator(".class .bin .hands").allInnerTexts();
  await bin.click();
  await bin.click();
  await bin.click();
  assert.deepEqual(await hands(), ["3", "", ""]);
  await page.locator(".class .bin .less").first().click();
  assert.deepEqual(await hands(), ["2", "", ""]);
  await bin.hover();
  await page.mouse.down();
  await page.waitForTimeout(800);
  await page.mouse.up();
  assert.deepEqual(await hands(), ["1", "", ""], "a long press takes one, and its release adds none");
  await bin.focus();
  await page.keyboard.press("Enter");
  await page.keyboard.press("Space");
  await page.keyboard.press("Delete");
  assert.deepEqual(await hands(), ["2", "", ""]);
  await reveal(page);
  assert.match(await heading(page), /^Far first or near first: [\d.]+ mL apart\.$/);
  assert.equal(await page.locator(".class .bin.is").count(), 1);
  assert.match(await page.locator(".class .bin.is").innerText(), /under 20 mL/);
  await page.getByRole("button", { name: "Hide the answer" }).click();
  assert.equal(await heading(page), "Does the order matter?");
  assert.equal(await page.locator(".class .bin.is, .class .two").count(), 0);
  assert.deepEqual(await hands(), ["2", "", ""], "the hands stay");
  assert.deepEqual(faults, []);
  assert.equal(asked.filter((u) => !u.startsWith("file:") && !u.startsWith("data:") && !u.startsWith("blob:")).length, 0);
  await context.close();
});

test("both orders are those of the program, on one scale", async () => {
  const { page, context } = await open();
  await reveal(page);
  const native = flush(join(root, "scenarios/compact-hatchback.toml"));
  const sums = await page.locator(".class .drained .sum b").allInnerTexts();
  assert.equal(sums[0], `${native.totals.drained_ml.toFixed(0)} mL`);
  const rows = await page.locator(".class .drained ~ details table").first().locator("tbody th").allTextContents();
  assert.deepEqual(rows, native.openings.map((o) => o.bleeder));
  const widths = await page.locator(".class .drained .track").evaluateAll((all) => all.map((t) => t.getBoundingClientRect().width));
  const [far, near] = sums.map((s) => parseFloat(s));
  assert.ok(Math.abs(widths[0] / widths[1] - far / near) < 0.01, `${widths} for ${sums}`);
  const segments = await page.locator(".class .drained .track").first().locator(".opening").evaluateAll((all) => all.map((o) => o.getBoundingClientRect().width));
  native.openings.forEach((o, i) => assert.ok(Math.abs(segments[i] / widths[0] - o.drained_ml / native.totals.drained_ml) < 0.01));
  await context.close();
});

test("side by side from 760 px on, stacked below; nothing sticks out", async () => {
  for (const [width, side] of [[360, false], [390, false], [759, false], [760, true], [1024, true], [1440, true]]) {
    const { page, context } = await open("compact-hatchback", { viewport: { width, height: 800 } });
    await reveal(page);
    const [a, b] = await page.locator(".class .two .map").evaluateAll((all) => all.map((m) => m.getBoundingClientRect().toJSON()));
    assert.equal(Math.abs(a.top - b.top) < 2 && b.left >= a.right, side, `${width}`);
    assert.equal(b.top >= a.bottom, !side, `${width}`);
    assert.ok(Math.abs(a.width - b.width) < 1 && a.width > 200, "the same size");
    for (const summary of await page.locator(".class summary").all()) await summary.click();
    assert.deepEqual(await sticksOut(page), [], `${width}`);
    await context.close();
  }
});

test("one stepper moves both maps, with keys too", async () => {
  const { page, context } = await open();
  await reveal(page);
  const drawn = () => page.locator(".class .two .map").evaluateAll((all) => all.map((m) => m.outerHTML));
  const first = await drawn();
  await page.getByRole("radio", { name: "1", exact: true }).focus();
  await page.keyboard.press("ArrowRight");
  const second = await drawn();
  assert.notEqual(first[0], second[0]);
  assert.notEqual(first[1], second[1]);
  assert.equal(await page.evaluate(() => document.activeElement?.getAttribute("name")), "after", "focus stays");
  await page.getByRole("radio", { name: "before" }).click();
  const before = await drawn();
  assert.notEqual(before[0], first[0]);
  await context.close();
});

test("every step has its begin and end, the modulator's chambers their names", async () => {
  const { page, context } = await open("saloon-esc-with-routine");
  await reveal(page);
  const native = flush(join(root, "scenarios/saloon-esc-with-routine.toml"));
  await page.locator(".class .time summary").click();
  const rows = await page.locator(".class .time table").first().locator("tbody tr").evaluateAll((all) => all.map((r) => [...r.children].map((c) => c.textContent.trim())));
  const clock = (s) => `${Math.floor(Math.round(s) / 60)}:${String(Math.round(s) % 60).padStart(2, "0")}`;
  const first = native.openings[0];
  assert.ok(rows.some(([from, to, what]) => from === clock(first.opened_s) && to === clock(first.closed_s) && what.startsWith(`Open ${first.bleeder}`)), JSON.stringify(rows));
  const work = rows.find(([, , what]) => what.startsWith("Work the modulator"));
  assert.match(work[2], /secondary accumulator, secondary pump, secondary damper/);
  assert.equal(rows.at(-1)[1], clock(native.totals.bay_seconds));
  // To scale: the opening's share of the clock is its share of the line.
  const [line, bar] = await page.locator(".class .clocks .ran").first().evaluate((l) => [l.getBoundingClientRect().width, l.querySelector(".open").getBoundingClientRect().width]);
  const longest = Math.max(...(await page.locator(".class .clocks .sum").allInnerTexts()).map((t) => t.split(":").reduce((m, s) => 60 * m + Number(s), 0)));
  assert.ok(Math.abs(bar / line - (first.closed_s - first.opened_s) / longest) < 0.01);
  await context.close();
});

test("ten questions by keys, graded by the core, and the sheet", async () => {
  const { page, context, faults } = await open();
  await set(page, 2031);
  let sum = 0;
  for (let n = 1; n <= 10; n++) {
    assert.match(await page.locator(".class .where").innerText(), new RegExp(`Question ${n} of 10 · set 2031`));
    assert.equal(await page.evaluate(() => document.activeElement?.tagName), "H1", "the question has the focus");
    const field = page.locator('.class input[type="number"]');
    if (await field.count()) {
      await page.getByRole("slider").focus();
      await page.keyboard.press("ArrowRight");
      assert.notEqual(await field.inputValue(), "", "slider and field say the same");
      assert.match(await page.locator(".class .mark.you").innerText(), /^you: /);
      await field.fill("17");
      await page.keyboard.press("Enter");
      assert.match(await page.locator(".class .mark.is").innerText(), /^it is /);
      assert.match(await page.locator(".class .mark.you").innerText(), /^you: 17$/);
      assert.equal(await page.locator(".class .above .whole, .class .above .half").count(), 2);
    } else {
      await page.locator(".class .option").first().focus();
      await page.keyboard.press("Enter");
      assert.ok(await page.locator(".class .option.is").count() === 1);
    }
    const got = await page.locator(".class .verdict .points").innerText();
    assert.match(got, /^(0|½|1)$/);
    sum += got === "½" ? 0.5 : Number(got);
    assert.ok(await page.evaluate(() => document.activeElement?.classList.contains("next")), "Next has the focus");
    await page.keyboard.press("Enter");
  }
  const written = `${Math.floor(sum) || (sum % 1 ? "" : 0)}${sum % 1 ? "½" : ""}`;
  assert.equal(await heading(page), `${written} of 10 points.`);
  assert.equal(await page.locator(".class .result tbody tr").count(), 10);
  await page.getByLabel("Name on the sheet").fill("<b>Kim</b>");
  assert.equal(await page.locator(".class .name").innerText(), "<b>Kim</b>");
  assert.deepEqual(await page.evaluate(() => [localStorage.length, sessionStorage.length, document.cookie]), [0, 0, ""], "kept nowhere");
  assert.ok(!page.url().includes("Kim"));
  await page.emulateMedia({ media: "print" });
  assert.ok(!(await page.locator(".class .ends").isVisible()) && (await page.locator(".class .name").isVisible()));
  assert.ok(await page.locator(".class .result tbody tr").last().isVisible());
  assert.deepEqual(faults, []);
  await context.close();
});

test("the same set is the same for everybody, another is another", async () => {
  const asks = async (seed) => {
    const { page, context } = await open();
    await set(page, seed);
    const text = await heading(page);
    await context.close();
    return text;
  };
  const one = await asks(7);
  assert.equal(await asks(7), one);
  const others = await Promise.all([8, 9, 10, 11].map(asks));
  assert.ok(others.some((o) => o !== one));
  const { page, context } = await open();
  await page.getByLabel("Questions of set").fill("-3");
  await page.getByRole("button", { name: "Take this set" }).click();
  assert.equal(await page.locator(".class .where").count(), 0, "refused");
  await context.close();
});

test("type for a projector goes from 19 to 54 px and back", async () => {
  const { page, context } = await open();
  await reveal(page);
  const sizes = () => page.evaluate(() => {
    const size = (e) => parseFloat(getComputedStyle(e).fontSize);
    return [size(document.querySelector("main h1")), size(document.querySelector(".class .about"))];
  });
  assert.deepEqual(await sizes(), [54, 19]);
  const toggle = page.getByRole("button", { name: "Large type" });
  assert.equal(await toggle.getAttribute("aria-pressed"), "true");
  await toggle.click();
  assert.deepEqual(await sizes(), [28, 15]);
  assert.equal(await toggle.getAttribute("aria-pressed"), "false");
  await context.close();
});

test("axe finds nothing, light and dark, in every state", async () => {
  for (const colorScheme of ["light", "dark"]) {
    const { page, context } = await open("compact-hatchback", { colorScheme, bypassCSP: true });
    assert.deepEqual(await found(page), [], `${colorScheme}, guess`);
    await reveal(page);
    for (const summary of await page.locator(".class summary").all()) await summary.click();
    assert.deepEqual(await found(page), [], `${colorScheme}, answer`);
    await set(page, 2031);
    for (let n = 0; n < 10; n++) {
      if (n < 3) assert.deepEqual(await found(page), [], `${colorScheme}, question ${n}`);
      await page.getByRole("button", { name: "Too close to tell" }).click();
      if (n < 3) assert.deepEqual(await found(page), [], `${colorScheme}, answer ${n}`);
      await page.locator(".class .next").click();
    }
    assert.deepEqual(await found(page), [], `${colorScheme}, sheet`);
    await context.close();
  }
});

test("fingers find everything: 48 px and more", async () => {
  const { page, context } = await open("compact-hatchback", { viewport: { width: 390, height: 844 }, hasTouch: true });
  await reveal(page);
  const small = () => page.locator(".class button:visible, .class input:visible, .class summary:visible").evaluateAll((all) => all.filter((e) => e.getBoundingClientRect().height < 47.5).map((e) => e.outerHTML.slice(0, 80)));
  assert.deepEqual(await small(), []);
  await set(page, 3);
  assert.deepEqual(await small(), []);
  await context.close();
});

test("hostile names are text, long ones are cut with the whole in the title", async () => {
  const evil = "</script><img src=x onerror=window.hit=1>";
  const long = `RR ${"W".repeat(50)}`;
  const tag = "<img src=x onerror=window.hit=1>";
  const text = shipped("compact-hatchback")
    .replace(/^title = .*$/m, `title = "${evil}"`)
    .replace('["RR", "LR"', `["${long}", "${tag}"`)
    .replace(/^RR = /m, `"${long}" = `)
    .replace(/^LR = /m, `"${tag}" = `);
  const { page, context, faults } = await opened(browser, write(join(dir, "evil.html"), text, "evil.toml"), { hash: "#class", viewport: { width: 360, height: 800 } });
  await page.waitForSelector(".class .bins");
  await reveal(page);
  for (const summary of await page.locator(".class summary").all()) await summary.click();
  assert.deepEqual(await sticksOut(page), []);
  assert.ok((await page.locator(`.class bdi[title="${long}"]`).count()) > 0);
  await set(page, 5);
  for (let n = 0; n < 10; n++) {
    await page.getByRole("button", { name: "Too close to tell" }).click();
    assert.deepEqual(await sticksOut(page), []);
    await page.locator(".class .next").click();
  }
  assert.deepEqual(await sticksOut(page), []);
  assert.equal(await page.evaluate(() => window.hit), undefined);
  assert.equal(await page.locator(".class img").count(), 0);
  assert.deepEqual(faults, []);
  await context.close();
});

test("one bleeder, eight bleeders, gravity, a count by position", async () => {
  for (const [name, headline] of [["motorcycle-rear", /but one order/], ["off-roader-eight-bleeders", /mL apart/], ["roadster-gravity", /too close to tell|apart/], ["estate-front-rear-split", /mL of old fluid apart/]]) {
    for (const width of [360, 1024]) {
      const { page, context, faults } = await open(name, { viewport: { width, height: 800 } });
      if (name !== "motorcycle-rear") await reveal(page);
      assert.match(await heading(page), headline, name);
      assert.deepEqual(await sticksOut(page), [], `${name} at ${width}`);
      await set(page, 1);
      assert.match(await page.locator(".class .where").innerText(), /of 10/);
      assert.deepEqual(faults, []);
      await context.close();
    }
  }
});
