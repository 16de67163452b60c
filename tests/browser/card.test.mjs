// The job card in a real browser: one page on every sheet, nothing fetched, nothing cut off, accessible.
import assert from "node:assert/strict";
import { execFileSync, spawnSync } from "node:child_process";
import { mkdtempSync, readFileSync, readdirSync, rmSync, writeFileSync } from "node:fs";
import { createRequire } from "node:module";
import { tmpdir } from "node:os";
import { basename, join } from "node:path";
import { after, before, test } from "node:test";
import { fileURLToPath, pathToFileURL } from "node:url";
import { chromium } from "playwright-core";
import { borrowed } from "./fonts.mjs";

const root = fileURLToPath(new URL("../../", import.meta.url));
const program = process.env.FARWHEEL ?? join(root, "target/release/farwheel");
const axe = createRequire(import.meta.url).resolve("axe-core/axe.min.js");
const shipped = readdirSync(join(root, "scenarios"))
  .filter((name) => name.endsWith(".toml"))
  .map((name) => join(root, "scenarios", name));
// Free text that tries to break out of the page, to turn it round and to fill it.
const hostile = `</title></style><script>document.title="broken"</script><img src=x onerror=alert(1)>"'&amp;\\u202Eabc `;

let browser;
let dir;

before(async () => {
  dir = mkdtempSync(join(tmpdir(), "farwheel-card-"));
  browser = await chromium.launch({ executablePath: process.env.CHROMIUM ?? "/usr/bin/chromium", args: ["--no-sandbox"] });
});
after(async () => {
  await browser?.close();
  rmSync(dir, { recursive: true, force: true });
});

function make(scenario, name, more = [], statuses = [0]) {
  const file = join(dir, `${name}.html`);
  const made = spawnSync(program, ["card", scenario, "-o", file, "--draws", "20", ...more], { encoding: "utf8" });
  assert.ok(statuses.includes(made.status), `${name}: ${made.status} ${made.stderr}`);
  return file;
}

/** Opens a page and hands over what it asked the network for and what it complained of. */
async function open(file, viewport = { width: 1600, height: 900 }) {
  const page = await browser.newPage({ viewport });
  const asked = [];
  const faults = [];
  page.on("request", (r) => asked.push(r.url()));
  page.on("pageerror", (e) => faults.push(String(e)));
  page.on("console", (m) => m.type() === "error" && faults.push(m.text()));
  await page.goto(pathToFileURL(file).href);
  return { page, asked, faults };
}

/** Pages of a PDF: objects of the type Page, not Pages. Chromium leaves them uncompressed. */
function pages(pdf) {
  return (pdf.toString("latin1").match(/\/Type\s*\/Page(?![a-zA-Z])/g) ?? []).length;
}

/** Text that is cut off on the sheet: what a row hides with an ellipsis on purpose does not count. */
const cut = () => {
  const faults = [];
  const sheet = document.querySelector(".sheet").getBoundingClientRect();
  for (const e of document.querySelectorAll(".sheet *")) {
    const box = e.getBoundingClientRect();
    if (box.width && (box.bottom > sheet.bottom + 1 || box.right > sheet.right + 1)) {
      faults.push(`${e.tagName}.${e.className.baseVal ?? e.className} leaves the sheet`);
    }
    if (e.closest("svg")) continue;
    const style = getComputedStyle(e);
    // What hides what leaves it must not hide the tails of g and y. The face has 1.069 em above its base line and 0.293
    // below (its hhea table); its g and y reach 0.24 em down.
    const lettered = [...e.childNodes].some((n) => n.nodeType === Node.TEXT_NODE && n.data.trim()) || e.matches("li:not(.open, .other), strong");
    if (style.overflowY === "hidden" && lettered) {
      const em = parseFloat(style.fontSize);
      const below = parseFloat(style.paddingBottom) + 0.293 * em - (1.362 * em - parseFloat(style.lineHeight)) / 2;
      if (below < 0.239 * em) faults.push(`${e.tagName}.${e.className}: ${(below / em).toFixed(3)} em for tails: ${e.innerText.slice(0, 30)}`);
    }
    if (style.overflowY !== "visible" && e.scrollHeight > e.clientHeight + 3 && style.webkitLineClamp === "none" && style.textOverflow !== "ellipsis") {
      faults.push(`${e.tagName}.${e.className} hides ${e.scrollHeight - e.clientHeight} px`);
    }
  }
  return faults;
};

async function printsToOnePage(file, name) {
  const { page, asked, faults } = await open(file);
  try {
    for (const format of ["A4", "Letter"]) {
      const pdf = await page.pdf({ format, preferCSSPageSize: true, printBackground: false });
      assert.equal(pages(pdf), 1, `${name} on ${format}`);
    }
    assert.deepEqual(asked, [pathToFileURL(file).href], `${name} asks for nothing else`);
    assert.deepEqual(faults, [], name);
  } finally {
    await page.close();
  }
}

/** On a window of the size of the printable part of a Letter sheet, with the rules for print. */
async function nothingCut(file, name) {
  for (const [sheet, width, height] of [["Letter", 755, 995], ["A4", 733, 1062]]) {
    const { page } = await open(file, { width, height });
    try {
      await page.emulateMedia({ media: "print" });
      assert.deepEqual(await page.evaluate(cut), [], `${name} on ${sheet}`);
    } finally {
      await page.close();
    }
  }
}

async function fitsTheScreen(file, name) {
  for (const width of [360, 1600]) {
    const { page } = await open(file, { width, height: 800 });
    try {
      const wide = await page.evaluate(() => document.documentElement.scrollWidth);
      assert.ok(wide <= width, `${name}: ${wide} px on a screen of ${width}`);
      const out = await page.evaluate((width) => [...document.querySelectorAll(".sheet *")]
        .filter((e) => e.getBoundingClientRect().right > width + 0.5)
        .map((e) => e.className.baseVal ?? e.className), width);
      assert.deepEqual(out, [], `${name} at ${width} px`);
    } finally {
      await page.close();
    }
  }
}

for (const scenario of shipped) {
  const name = basename(scenario, ".toml");
  test(`${name}: one page, nothing cut, nothing fetched, fits every screen`, async () => {
    const file = make(scenario, name);
    await printsToOnePage(file, name);
    await nothingCut(file, name);
    await fitsTheScreen(file, name);
  });
}

test("the reader of PDF pages can count", async () => {
  const page = await browser.newPage();
  await page.setContent("<p style='break-after:page'>one</p><p>two</p>");
  assert.equal(pages(await page.pdf({ format: "A4" })), 2);
  await page.close();
});

test("a sheet asked for is the sheet of the PDF", async () => {
  for (const [paper, wide] of [["a4", 595], ["letter", 612]]) {
    const file = make(shipped[0], `paper-${paper}`, ["--paper", paper]);
    const { page } = await open(file);
    const pdf = await page.pdf({ preferCSSPageSize: true });
    const box = pdf.toString("latin1").match(/\/MediaBox\s*\[\s*0\s+0\s+([\d.]+)\s+([\d.]+)/);
    assert.equal(Math.round(Number(box[1])), wide, paper);
    assert.equal(pages(pdf), 1, paper);
    await page.close();
  }
});

test("other supplies and other words fit too", async () => {
  const car = join(root, "scenarios/compact-hatchback.toml");
  for (const supply of ["pedal", "gravity", "vacuum pump"]) {
    const file = make(car, supply, ["--supply", supply, "--wording", "uk", "--units", "us"], [0, 3]);
    await printsToOnePage(file, supply);
    await nothingCut(file, supply);
  }
});

/** Bleeders whose name does not stand on the sheet in full. The face has five hundredths of an em below its descenders. */
const shortened = () => [...document.querySelectorAll(".name strong")]
  .filter((e) => e.scrollWidth > e.clientWidth + 1 || e.scrollHeight > e.clientHeight + 0.5 + 0.05 * parseFloat(getComputedStyle(e).fontSize))
  .map((e) => `${e.innerText}: ${e.scrollWidth} by ${e.scrollHeight} in ${e.clientWidth} by ${e.clientHeight}`);

const uk = ["--wording", "uk", "--units", "us"];
for (const [name, more] of [["splits/hh", uk], ["off-roader-eight-bleeders", uk], ["motorcycle-front", uk], ["motorcycle-rear", uk], ["saloon-esc-with-routine", uk], ["splits/hh", []]]) {
  test(`${name} ${more.join(" ")}: on either sheet one page, every name in full, accessible`, async () => {
    for (const paper of ["a4", "letter"]) {
      const file = make(join(root, `scenarios/${name}.toml`), `${basename(name)}-${paper}`, [...more, "--paper", paper]);
      const { page, faults } = await open(file);
      const pdf = await page.pdf({ preferCSSPageSize: true });
      assert.equal(pages(pdf), 1, paper);
      assert.deepEqual(faults, []);
      await page.close();
      await nothingCut(file, name);
      const [width, height] = paper === "a4" ? [733, 1062] : [755, 995];
      const context = await browser.newContext({ bypassCSP: true, viewport: { width, height } });
      const sheet = await context.newPage();
      await sheet.goto(pathToFileURL(file).href);
      await sheet.emulateMedia({ media: "print" });
      assert.deepEqual(await sheet.evaluate(shortened), [], `${paper}: names`);
      await sheet.addScriptTag({ path: axe });
      const found = await sheet.evaluate(() => axe.run());
      assert.deepEqual(found.violations.map((v) => `${v.id}: ${v.nodes.map((n) => n.target)}`), [], paper);
      await context.close();
    }
  });
}

test("names of thirty letters stand in full", async () => {
  const long = readFileSync(join(root, "scenarios/splits/hh.toml"), "utf8")
    .replace(/"(RR|LR|RF|LF) (primary|secondary)"/g, '"caliper half $1, $2 circuit"');
  for (const [name, text] of [["eight", long], ["two", long.replace(/open = \[[^\]]*\]/, 'open = ["caliper half RR, secondary circuit", "caliper half RR, primary circuit"]')]]) {
    const scenario = join(dir, `long-${name}.toml`);
    writeFileSync(scenario, text);
    const file = make(scenario, `long-${name}`);
    await printsToOnePage(file, name);
    await nothingCut(file, name);
    for (const [width, height] of [[733, 1062], [755, 995]]) {
      const { page } = await open(file, { width, height });
      await page.emulateMedia({ media: "print" });
      assert.deepEqual(await page.evaluate(shortened), [], name);
      await page.close();
    }
  }
});

test("no letter is borrowed from the machine's fonts", async () => {
  for (const name of ["compact-hatchback", "saloon-esc-with-routine", "roadster-gravity"]) {
    const { page } = await open(make(join(root, `scenarios/${name}.toml`), `fonts-${name}`));
    assert.deepEqual(await borrowed(page), [], name);
    await page.close();
  }
});

test("the longest note, a replaced master cylinder and a later load fit too", async () => {
  for (const name of ["compact-hatchback-syringed", "off-roader-eight-bleeders", "saloon-esc-with-routine"]) {
    const text = readFileSync(join(root, `scenarios/${name}.toml`), "utf8")
      .replace("[vehicle]", `[vehicle]\nnote = "${"seized once, ".repeat(30)}"`)
      .replace(/^chambers =/m, "replaced = true\nchambers =")
      .replace("before = [", 'before = [{ load = "50 mL" }, ');
    const scenario = join(dir, `full-${name}.toml`);
    writeFileSync(scenario, text);
    for (const more of [[], uk]) {
      const file = make(scenario, `full-${name}`, more);
      await printsToOnePage(file, name);
      await nothingCut(file, name);
      await fitsTheScreen(file, name);
    }
  }
});

test("a job of many passes fits, what has no room left out", async () => {
  const text = readFileSync(join(root, "scenarios/off-roader-eight-bleeders.toml"), "utf8");
  const scenario = join(dir, "many.toml");
  for (const [name, more] of [["many", text], ["many-dry", text.replace('loaded = "2 L"', 'loaded = "0.5 L"')]]) {
    writeFileSync(scenario, `${more.trimEnd()}\npasses = 6\n`);
    const file = make(scenario, name, [], [0, 3]);
    await printsToOnePage(file, name);
    await nothingCut(file, name);
  }
});

test("a job that cannot be done says so first, on one page", async () => {
  const text = readFileSync(join(root, "scenarios/off-roader-eight-bleeders.toml"), "utf8")
    .replace('gauge_limit = "1.5 bar"', 'gauge_limit = "0.5 bar"')
    .replace('loaded = "2 L"', 'loaded = "0.5 L"');
  const scenario = join(dir, "dry.toml");
  writeFileSync(scenario, text);
  const file = make(scenario, "dry", [], [3]);
  await printsToOnePage(file, "dry");
  await nothingCut(file, "dry");
  const { page } = await open(file);
  const box = await page.locator(".stop").boundingBox();
  const order = await page.locator(".order").boundingBox();
  assert.ok(box.y + box.height <= order.y, "above the order");
  await page.close();
});

test("free text is text and cannot break the page", async () => {
  const long = `${hostile}${"W".repeat(10_000)}`;
  let text = readFileSync(join(root, "scenarios/compact-hatchback.toml"), "utf8");
  text = text.replace(/^title = .*$/m, () => `title = "${long.replaceAll('"', '\\"')}"`);
  text = text.replace(/"RR"/g, () => `"<b onclick='x'>RR</b>&"`).replace(/^RR =/m, () => `"<b onclick='x'>RR</b>&" =`);
  text = text.replace(/"LR"/g, () => `"${"בלם ".repeat(8).trim()}"`).replace(/^LR =/m, () => `"${"בלם ".repeat(8).trim()}" =`);
  const scenario = join(dir, "hostile.toml");
  writeFileSync(scenario, text);
  const file = make(scenario, "hostile");
  await printsToOnePage(file, "hostile");
  await nothingCut(file, "hostile");
  await fitsTheScreen(file, "hostile");
  const { page } = await open(file);
  assert.equal(await page.locator("script, img, [onclick], [onerror]").count(), 0);
  assert.match(await page.title(), /^Job card: <\/title>/);
  assert.ok((await page.locator("h1").innerText()).includes("<script>"));
  await page.close();
});

test("axe finds nothing serious", async () => {
  for (const scenario of [shipped[0], join(root, "scenarios/saloon-esc-with-routine.toml")]) {
    const file = make(scenario, `axe-${basename(scenario, ".toml")}`);
    for (const width of [360, 1600]) {
      const context = await browser.newContext({ bypassCSP: true, viewport: { width, height: 900 } });
      const page = await context.newPage();
      await page.goto(pathToFileURL(file).href);
      await page.addScriptTag({ path: axe });
      const found = await page.evaluate(() => axe.run());
      const grave = found.violations.filter((v) => ["serious", "critical"].includes(v.impact));
      assert.deepEqual(grave.map((v) => `${v.id}: ${v.nodes.map((n) => n.target)}`), []);
      await context.close();
    }
  }
});

test("the millilitres are those of flush", async () => {
  const scenario = shipped.find((s) => s.endsWith("compact-hatchback.toml"));
  const record = JSON.parse(execFileSync(program, ["flush", scenario, "--json", "-", "--no-error-estimate"], { encoding: "utf8" }));
  const { page } = await open(make(scenario, "figures"));
  const shown = await page.locator(".open .amount strong").allInnerTexts();
  assert.deepEqual(shown, record.openings.map((o) => o.drained_ml.toFixed(0)));
  await page.close();
});
