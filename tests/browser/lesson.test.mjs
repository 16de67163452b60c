// The lesson in a real browser: it loads alone, moves, says what flush says, works by keyboard, is accessible.
import assert from "node:assert/strict";
import { execFileSync, spawnSync } from "node:child_process";
import { mkdtempSync, readFileSync, readdirSync, rmSync, statSync, writeFileSync } from "node:fs";
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
const car = join(root, "scenarios/compact-hatchback.toml");
const widest = join(root, "scenarios/off-roader-eight-bleeders.toml");
const largest = 2 * 1024 * 1024;

let browser;
let dir;
const made = new Map();

before(async () => {
  dir = mkdtempSync(join(tmpdir(), "farwheel-lesson-"));
  browser = await chromium.launch({ executablePath: process.env.CHROMIUM ?? "/usr/bin/chromium", args: ["--no-sandbox"] });
});
after(async () => {
  await browser?.close();
  rmSync(dir, { recursive: true, force: true });
});

function make(scenario, more = []) {
  const key = [scenario, ...more].join(" ");
  if (!made.has(key)) {
    const file = join(dir, `${basename(scenario, ".toml")}${more.join("")}.html`);
    const run = spawnSync(program, ["lesson", scenario, "-o", file, ...more], { encoding: "utf8" });
    assert.equal(run.status, 0, `${key}: ${run.stderr}`);
    made.set(key, file);
  }
  return made.get(key);
}

/** Opens a page; what it asks the network for and what it complains of is kept. */
async function open(file, options = {}) {
  const page = await browser.newPage({ viewport: { width: 1600, height: 900 }, ...options });
  const asked = [];
  const faults = [];
  page.on("request", (r) => asked.push(r.url()));
  page.on("pageerror", (e) => faults.push(String(e)));
  page.on("console", (m) => ["error", "warning"].includes(m.type()) && faults.push(m.text()));
  await page.goto(pathToFileURL(file).href);
  return { page, asked, faults };
}

const seek = (page, t) => page.evaluate((t) => window.lesson.seek(t), t);
const time = (page) => page.evaluate(() => window.lesson.state.t);
const flush = (scenario, ...more) => execFileSync(program, ["flush", scenario, "--no-error-estimate", ...more], { encoding: "utf8", maxBuffer: 1 << 28 });

/** How much amber (old fluid) and how much pale blue (new fluid) the first picture of ways shows. */
const fluids = (page) => page.evaluate(() => {
  const canvas = document.querySelector(".ways");
  const { data } = canvas.getContext("2d").getImageData(0, 0, canvas.width, canvas.height);
  let [old, fresh] = [0, 0];
  for (let i = 0; i < data.length; i += 4) {
    old += Math.max(0, data[i] - data[i + 2]) / 255;
    fresh += data[i + 2] > data[i] + 20 && data[i + 2] > 200 ? 1 : 0;
  }
  return { old: Math.round(old), fresh };
});

for (const scenario of shipped) {
  test(`${basename(scenario, ".toml")}: loads alone, small, and fits every screen`, async () => {
    const file = make(scenario);
    assert.ok(statSync(file).size < largest, `${statSync(file).size} bytes`);
    for (const width of [360, 1600]) {
      const { page, asked, faults } = await open(file, { viewport: { width, height: 800 } });
      const end = await page.evaluate(() => Film.end);
      await page.evaluate(() => document.querySelectorAll("details").forEach((d) => { d.open = true; }));
      for (const t of [0, 0.3 * end, end]) {
        await seek(page, t);
        const wide = await page.evaluate(() => document.documentElement.scrollWidth);
        assert.ok(wide <= width, `${wide} px on a screen of ${width}`);
        const out = await page.evaluate((width) => [...document.querySelectorAll("body *:not(#track *)")]
          .filter((e) => e.getBoundingClientRect().right > width + 0.5)
          .map((e) => `${e.tagName}.${e.className}`), width);
        assert.deepEqual(out, [], `at ${width} px, ${t} s`);
      }
      assert.deepEqual(asked, [pathToFileURL(file).href], "asks for nothing else");
      assert.deepEqual(faults, []);
      await page.close();
    }
  });
}

test("the slider moves the front", async () => {
  const { page } = await open(make(car));
  const slider = page.locator("#time");
  const box = await slider.boundingBox();
  const found = [await fluids(page)];
  assert.ok(found[0].old > 5000 && found[0].fresh === 0, JSON.stringify(found));
  for (const share of [0.25, 0.4, 0.6, 0.75, 1]) {
    await page.mouse.click(box.x + 8 + share * (box.width - 16), box.y + box.height / 2);
    found.push(await fluids(page));
  }
  for (let i = 1; i < found.length; i++) assert.ok(found[i].old < found[i - 1].old, `old fluid gives way: ${JSON.stringify(found)}`);
  assert.ok(found.at(-1).old < 0.3 * found[0].old && found.at(-1).fresh > 5000, JSON.stringify(found));
  // In the strip of the open bleeder new fluid begins at the reservoir and reaches further with time.
  const reach = (t) => page.evaluate((t) => {
    window.lesson.seek(t);
    const panel = window.lesson.panels[0];
    const row = Film.data.rows.findIndex((r) => r.ends.some((e) => e.way === panel.run.openings[0].way));
    const cells = Film.data.rows[row].pieces.flatMap((p) => {
      const part = Film.data.parts[p.part];
      return Array.from(panel.run.now.cells.slice(part.first, part.first + part.cells));
    });
    return cells.map((c) => 1 - c);
  }, t);
  const o = await page.evaluate(() => { const { open, close } = Film.data.runs[0].openings[0]; return { open, close }; });
  let before = await reach(o.open);
  assert.ok(before.every((c) => c < 0.01), `all old at first: ${before}`);
  for (const share of [0.2, 0.5, 1]) {
    const now = await reach(o.open + share * (o.close - o.open) - 0.01);
    assert.ok(now[0] > before[0] && now.at(-1) >= before.at(-1), `${now} after ${before}`);
    assert.ok(now[0] >= now.at(-1), "cleaner where the new fluid comes in");
    before = now;
  }
  await page.close();
});

for (const scenario of [car, widest, join(root, "scenarios/roadster-gravity.toml"), join(root, "scenarios/motorcycle-rear.toml")]) {
  test(`${basename(scenario, ".toml")}: the millilitres are those of flush`, async () => {
    const record = JSON.parse(flush(scenario, "--json", "-"));
    const { page } = await open(make(scenario));
    const panel = page.locator(".panel").first();
    const shown = async () => panel.locator("output").innerText();
    for (const [i, o] of record.openings.entries()) {
      // By the button of that opening, so that it is shown even where several are open.
      await panel.locator(".turns button").nth(i).click();
      await seek(page, o.closed_s + 0.01);
      assert.equal(await shown(), o.drained_ml.toFixed(1), `${o.bleeder} when it is closed`);
      const total = record.openings.filter((x) => x.closed_s <= o.closed_s + 0.01).reduce((sum, x) => sum + x.drained_ml, 0);
      const others = record.openings.some((x) => x.opened_s < o.closed_s && x.closed_s > o.closed_s + 0.01);
      if (!others) assert.ok((await panel.locator(".sum").innerText()).startsWith(`${total.toFixed(1)} mL`));
      const figures = await panel.locator(".origins li").evaluateAll((rows) => rows.map((r) => [r.firstChild.textContent, r.lastChild.textContent]));
      const wanted = Object.entries(o.origins_ml).map(([name, ml]) => [name, `${Math.abs(ml).toFixed(1)} mL`]);
      assert.deepEqual(figures, wanted, `${o.bleeder}: where it came from`);
    }
    await seek(page, 1e9);
    assert.ok((await panel.locator(".sum").innerText()).startsWith(`${record.totals.drained_ml.toFixed(1)} mL`));
    await page.close();
  });
}

test("between opening and closing the millilitres are those of the curve", async () => {
  const lines = flush(car, "--csv", "-").trim().split("\n").map((l) => l.split(","));
  const { page } = await open(make(car));
  const record = JSON.parse(flush(car, "--json", "-"));
  const points = curve(lines, record.openings[0].bleeder);
  assert.ok(points.length > 50, `${points.length} points`);
  for (const k of [5, 20, Math.floor(points.length / 2), points.length - 2]) {
    const { t, ml } = points[k];
    await seek(page, t);
    const shown = Number(await page.locator(".panel output").first().innerText());
    assert.ok(Math.abs(shown - ml) <= 0.051, `${shown} for ${ml} at ${t} s`);
  }
  await page.close();
});

/** Time and millilitres of one bleeder's curve, from the long CSV of flush. */
function curve(lines, bleeder) {
  const [head, ...rows] = lines;
  const at = (row, name) => row[head.indexOf(name)];
  const of = rows.filter((row) => at(row, "about") === "curve" && at(row, "name") === bleeder);
  const points = new Map(of.map((row) => [at(row, "at_s"), at(row, "drained_ml")]));
  return [...points].map(([t, ml]) => ({ t: Number(t), ml: Number(ml) }));
}

test("works by keyboard", async () => {
  const { page } = await open(make(car));
  await page.keyboard.press("ArrowRight");
  assert.equal(await time(page), 5);
  await page.keyboard.press("ArrowLeft");
  assert.equal(await time(page), 0);
  await page.keyboard.press("PageDown");
  const first = await time(page);
  assert.ok(first > 0);
  assert.match(await page.locator("#told").innerText(), /RR open/);
  await page.keyboard.press("End");
  assert.equal(await time(page), await page.evaluate(() => Film.end));
  assert.ok(await page.locator("#difference").isVisible(), "the difference at the end");
  await page.keyboard.press("PageUp");
  await page.keyboard.press("Home");
  assert.equal(await time(page), 0);
  await page.keyboard.press("Space");
  assert.equal(await page.locator("#play").getAttribute("aria-pressed"), "true");
  await page.waitForFunction(() => window.lesson.state.t > 1);
  await page.keyboard.press("Space");
  const stopped = await time(page);
  await page.waitForTimeout(200);
  assert.equal(await time(page), stopped, "paused");
  // The slider itself, reached by Tab, and what a screen reader hears of it.
  await page.locator("#time").focus();
  await page.keyboard.press("Home");
  await page.keyboard.press("ArrowUp");
  assert.equal(await time(page), 5);
  assert.match(await page.locator("#time").getAttribute("aria-valuetext"), /^0 min 5 s\./);
  // Space on a button presses that button and nothing else.
  await page.locator("#after").focus();
  await page.keyboard.press("Space");
  assert.equal(await time(page), first);
  assert.equal(await page.locator("#play").getAttribute("aria-pressed"), "false");
  // Everything can be reached.
  const reached = new Set();
  await page.evaluate(() => document.activeElement.blur());
  for (let i = 0; i < 60; i++) {
    await page.keyboard.press("Tab");
    reached.add(await page.evaluate(() => document.activeElement.id || document.activeElement.tagName));
  }
  for (const id of ["play", "before", "after", "speed", "time", "SUMMARY", "BUTTON"]) assert.ok(reached.has(id), `${id} of ${[...reached]}`);
  await page.close();
});

test("two orders run in step, and the second is picked", async () => {
  const { page } = await open(make(widest));
  const select = page.locator(".pick select");
  const labels = await select.locator("option").allInnerTexts();
  assert.ok(labels.length >= 2 && new Set(labels).size === labels.length, labels.join("; "));
  for (const [i, label] of labels.entries()) {
    await select.selectOption({ index: i });
    assert.equal(await page.locator(".panel h2").nth(1).innerText(), label);
    await seek(page, 1e9);
    assert.equal(await page.locator("#other-name").innerText(), label);
    const cells = await page.locator("#difference tbody tr").first().locator("td").allInnerTexts();
    const [own, other] = cells.map(parseFloat);
    if (cells[2] !== "not told apart") {
      const wanted = `${Math.abs(other - own).toFixed(1)} mL ${other > own ? "more" : "less"}`;
      assert.ok(Math.abs(parseFloat(cells[2]) - Math.abs(other - own)) < 0.11, `${cells[2]} for ${wanted}`);
    }
  }
  await page.close();
});

test("axe finds nothing serious", async () => {
  for (const scenario of [car, widest, join(root, "scenarios/saloon-esc-with-routine.toml")]) {
    for (const colorScheme of ["light", "dark"]) {
      for (const width of [360, 1600]) {
        const { page } = await open(make(scenario), { bypassCSP: true, colorScheme, viewport: { width, height: 900 } });
        await page.evaluate(() => document.querySelectorAll("details").forEach((d) => { d.open = true; }));
        await page.addScriptTag({ path: axe });
        for (const t of [0, 700, 1e9]) {
          await seek(page, t);
          const found = await page.evaluate(() => window.axe.run());
          const grave = found.violations.filter((v) => ["serious", "critical"].includes(v.impact));
          assert.deepEqual(grave.map((v) => `${v.id}: ${v.nodes.map((n) => `${n.target} ${n.failureSummary}`)}`), [], `${colorScheme}, ${width} px, ${t} s`);
        }
        await page.close();
      }
    }
  }
});

test("no letter is borrowed from the machine's fonts, on the canvases neither", async () => {
  for (const scenario of [car, join(root, "scenarios/saloon-esc-with-routine.toml")]) {
    const { page } = await open(make(scenario));
    await page.evaluate(() => document.querySelectorAll("details").forEach((d) => { d.open = true; }));
    await seek(page, 800);
    assert.deepEqual(await borrowed(page), [], basename(scenario));
    const fonts = await page.evaluate(() => [...document.querySelectorAll("canvas")].map((c) => c.getContext("2d").font));
    assert.ok(fonts.length > 3 && fonts.every((f) => /^(bold |700 )?[0-9]+px Page,/.test(f)), fonts.join("; "));
    await page.close();
  }
});

test("in the words of the UK nothing is called a bleeder, but for the pressure bleeder", async () => {
  for (const scenario of [join(root, "scenarios/roadster-gravity.toml"), join(root, "scenarios/splits/hh.toml")]) {
    const { page } = await open(make(scenario, ["--wording", "uk"]));
    await page.evaluate(() => document.querySelectorAll("details").forEach((d) => { d.open = true; }));
    const end = await page.evaluate(() => Film.end);
    const title = await page.locator("h1").innerText();
    for (const t of [0, 0.45 * end, 0.7 * end, end]) {
      await seek(page, t);
      const said = await page.evaluate(() => document.body.innerText + [...document.querySelectorAll("[aria-label]")].map((e) => e.getAttribute("aria-label")).join("\n"));
      const words = said.replaceAll(title, "").replaceAll("pressure bleeder", "");
      assert.ok(!/bleeder|brake line|own line|shared line|jack stand/.test(words), words.match(/.{40}(bleeder|brake line|own line|shared line|jack stand).{20}/)?.[0]);
      assert.ok(words.includes("nipple") && words.includes("own pipe"));
    }
    await page.close();
  }
});

test("names below the slider are whole or left out", async () => {
  for (const width of [360, 1600]) {
    const { page } = await open(make(widest), { viewport: { width, height: 800 } });
    await page.evaluate(() => document.fonts.ready);
    await page.waitForTimeout(100);
    const blocks = await page.locator("#track b").evaluateAll((all) => all.map((b) => [b.textContent, b.scrollWidth - b.clientWidth, b.clientWidth]));
    assert.ok(blocks.length === 16 && blocks.some((b) => b[0]), JSON.stringify(blocks));
    // One that does not fit ends in an ellipsis, if there is room for that.
    for (const [text, over, wide] of blocks) assert.ok(!text || over <= 0 || wide >= 36, `${text}: ${over} px too long at ${width}`);
    await page.close();
  }
});

test("reduced motion: nothing runs by itself, playing jumps", async () => {
  const { page } = await open(make(car), { reducedMotion: "reduce" });
  await page.waitForTimeout(300);
  assert.equal(await time(page), 0);
  await page.locator("#play").click();
  const times = new Set();
  for (let i = 0; i < 20; i++) {
    times.add(await time(page));
    await page.waitForTimeout(100);
  }
  // Two seconds of playing: at 1.5 s apart one or two jumps, where a moving picture has a hundred moments.
  assert.ok(times.size >= 2 && times.size <= 3, `${[...times]}`);
  await page.close();
});

test("without reduced motion it waits too, then moves smoothly", async () => {
  const { page } = await open(make(car));
  await page.waitForTimeout(300);
  assert.equal(await time(page), 0);
  await page.locator("#play").click();
  const moments = await page.evaluate(() => new Promise((done) => {
    const seen = new Set();
    const look = () => { seen.add(window.lesson.state.t); if (seen.size < 20) requestAnimationFrame(look); else done(seen.size); };
    look();
  }));
  assert.equal(moments, 20);
  await page.close();
});

test("scripting leaves most of a frame of a 60 Hz screen free", async (context) => {
  for (const scenario of [car, widest]) {
    const { page } = await open(make(scenario));
    const record = JSON.parse(flush(scenario, "--json", "-"));
    const [from, to] = [record.openings[0].opened_s, record.openings.at(-1).closed_s];
    const cost = await page.evaluate(([from, to]) => {
      const times = [];
      for (let i = 0; i < 300; i++) {
        window.lesson.state.t = from + (to - from) * i / 300;
        const start = performance.now();
        window.lesson.draw();
        times.push(performance.now() - start);
      }
      times.sort((a, b) => a - b);
      return { median: times[150], p95: times[285] };
    }, [from, to]);
    context.diagnostic(`${basename(scenario)}: ${statSync(make(scenario)).size} bytes; scripting per frame ${cost.median.toFixed(2)} ms, 95 % below ${cost.p95.toFixed(2)} ms`);
    // 16.7 ms are there; painting needs its share.
    assert.ok(cost.median < 8, JSON.stringify(cost));
    await page.close();
  }
});

test("free text is text and cannot break the page", async () => {
  const evil = `</title></script><script>document.title="broken"</script><img src=x onerror=alert(1)>"'&amp;<!--\\u202Eabc `;
  let text = readFileSync(car, "utf8");
  text = text.replace(/^title = .*$/m, () => `title = "${(evil + "W".repeat(10_000)).replaceAll('"', '\\"').replace('\\\\u', '\\u')}"`);
  const rename = (from, to) => { text = text.replaceAll(`"${from}"`, () => JSON.stringify(to)).replace(new RegExp(`^${from} =`, "m"), () => `${JSON.stringify(to)} =`); };
  rename("RR", `</script><b onclick='x'>RR</b>&<!--`);
  rename("LR", "בלם אחורי שמאל ".repeat(4).trim());
  rename("RF", "F".repeat(60));
  const scenario = join(dir, "hostile.toml");
  writeFileSync(scenario, text);
  const file = make(scenario);
  for (const width of [360, 1600]) {
    const { page, asked, faults } = await open(file, { viewport: { width, height: 800 } });
    await page.evaluate(() => document.querySelectorAll("details").forEach((d) => { d.open = true; }));
    for (const t of [0, 700, 1e9]) {
      await seek(page, t);
      const wide = await page.evaluate(() => document.documentElement.scrollWidth);
      assert.ok(wide <= width, `${wide} px on a screen of ${width}`);
    }
    assert.equal(await page.locator("img, [onclick], [onerror], main b b").count(), 0);
    assert.equal(await page.locator("script").count(), 5);
    assert.match(await page.title(), /^Lesson: <\/title><\/script>/);
    assert.ok((await page.locator("h1").innerText()).includes(`<script>document.title="broken"</script>`));
    assert.ok(!/[\u202e]/.test(await page.content()), "nothing that acts");
    assert.ok((await page.locator(".turns").first().innerText()).includes("</script><b onclick="));
    assert.deepEqual([asked.length, faults], [1, []]);
    await page.close();
  }
});

test("the questions stand in the page without script too", async () => {
  const { page } = await open(make(car), { javaScriptEnabled: false });
  assert.ok(await page.locator("noscript p").isVisible());
  const asked = await page.locator(".questions summary").allInnerTexts();
  assert.ok(asked.some((q) => q.startsWith("After RR: which wheel would you open next")), asked.join("; "));
  for (const wanted of ["comes from the reservoir?", "Is it clean?", "What stays where nobody looks?"]) assert.ok(asked.some((q) => q.includes(wanted)), wanted);
  await page.close();
});
