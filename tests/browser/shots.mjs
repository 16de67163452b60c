// The pictures of the pages in docs/: tests/browser/run shots.mjs writes plots/lesson.png and plots/card.png.
import assert from "node:assert/strict";
import { execFileSync } from "node:child_process";
import { mkdtempSync, rmSync, statSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { fileURLToPath, pathToFileURL } from "node:url";
import { chromium } from "playwright-core";

const root = fileURLToPath(new URL("../../", import.meta.url));
const car = "scenarios/compact-hatchback.toml";
const largest = 300_000;

const dir = mkdtempSync(join(tmpdir(), "farwheel-shots-"));
const browser = await chromium.launch({ executablePath: process.env.CHROMIUM ?? "/usr/bin/chromium", args: ["--no-sandbox"] });
try {
  const open = async (verb, options) => {
    const file = join(dir, `${verb}.html`);
    // From the top, so that the page names the scenario as a user would.
    execFileSync(process.env.FARWHEEL ?? join(root, "target/release/farwheel"), [verb, car, "-o", file], { cwd: root });
    const page = await browser.newPage(options);
    await page.goto(pathToFileURL(file).href);
    await page.evaluate(() => document.fonts.ready);
    return page;
  };

  const lesson = await open("lesson", { viewport: { width: 1200, height: 900 } });
  // Both orders are at their second bleeder or beyond, and both have one open.
  await lesson.evaluate(() => window.lesson.seek(0.5 * Film.end));
  const panels = await lesson.locator("#panels").boundingBox();
  await lesson.screenshot({ path: join(root, "plots/lesson.png"), fullPage: true, clip: { x: 0, y: 0, width: 1200, height: panels.y + panels.height + 16 } });

  const [wide, high, margin] = [733, 1062, 30];
  const card = await open("card", { viewport: { width: wide + 2 * margin, height: high + 2 * margin }, deviceScaleFactor: 1.25, bypassCSP: true });
  await card.emulateMedia({ media: "print" });
  await card.addStyleTag({ content: `.sheet { width: ${wide}px !important; height: ${high}px !important; margin: ${margin}px !important }` });
  await card.screenshot({ path: join(root, "plots/card.png") });

  for (const name of ["lesson", "card"]) {
    const { size } = statSync(join(root, `plots/${name}.png`));
    assert.ok(size < largest, `plots/${name}.png: ${size} bytes`);
  }
} finally {
  await browser.close();
  rmSync(dir, { recursive: true, force: true });
}
