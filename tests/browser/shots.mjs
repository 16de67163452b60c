// The pictures of the pages in docs/: tests/browser/run shots.mjs writes plots/live.png and plots/card.png.
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
  const open = async (verb, options, link = "") => {
    const file = join(dir, `${verb}.html`);
    // From the top, so that the page names the scenario as a user would.
    execFileSync(process.env.FARWHEEL ?? join(root, "target/release/farwheel"), [verb, car, "-o", file], { cwd: root });
    const page = await browser.newPage(options);
    await page.goto(pathToFileURL(file).href + link);
    await page.evaluate(() => document.fonts.ready);
    return page;
  };

  // As a telephone shows them: a page of docs/ is read there too, and a wider picture would be shrunk beyond reading.
  const telephone = { viewport: { width: 390, height: 844 }, deviceScaleFactor: 1.5 };
  const shoot = async (page, name, first, last) => {
    const from = await page.locator(first).first().boundingBox();
    const to = await page.locator(last).first().boundingBox();
    const y = Math.floor(from.y);
    const clip = { x: 0, y, width: telephone.viewport.width, height: Math.ceil(to.y + to.height) + 12 - y };
    await page.screenshot({ path: join(root, `plots/${name}.png`), fullPage: true, clip });
  };

  // Half way through the job.
  const live = await open("live", telephone, "#try&order=RR,LR");
  await live.waitForSelector("#page .map");
  await shoot(live, "live", "#page", "#page .legend");

  const card = await open("card", { ...telephone, deviceScaleFactor: 1.25 });
  await shoot(card, "card", "body", ".order");

  for (const name of ["live", "card"]) {
    const { size } = statSync(join(root, `plots/${name}.png`));
    assert.ok(size < largest, `plots/${name}.png: ${size} bytes`);
  }
} finally {
  await browser.close();
  rmSync(dir, { recursive: true, force: true });
}
