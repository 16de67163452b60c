// The live page for tests in a browser: made with a scenario in it, opened, watched.
import { execFileSync } from "node:child_process";
import { readFileSync, writeFileSync } from "node:fs";
import { createRequire } from "node:module";
import { basename, join } from "node:path";
import { fileURLToPath, pathToFileURL } from "node:url";

export const root = fileURLToPath(new URL("../../", import.meta.url));
export const program = process.env.FARWHEEL ?? join(root, "target/release/farwheel");
const axe = createRequire(import.meta.url).resolve("axe-core/axe.min.js");

let page;

/** The page without a car: that of LIVE, or the kept one. */
export function live() {
  if (!page) {
    page = readFileSync(process.env.LIVE ?? join(root, "assets/live.html"), "utf8");
  }
  return page;
}

/** Writes a page with a scenario in it: text of a scenario, or null for none; `more` as the program gives it. */
export function write(out, text, file = "", more = {}) {
  const car = JSON.stringify(text === null ? null : { text, file, ...more })
    .replace(/[<>&\u2028\u2029]/g, (c) => "\\u" + c.charCodeAt(0).toString(16).padStart(4, "0"));
  const held = 'id="car">null<';
  if (!live().includes(held)) throw new Error("the page has no place for a car");
  writeFileSync(out, live().replace(held, () => `id="car">${car}<`));
  return out;
}

/** Text of a shipped scenario. */
export const shipped = (name) => readFileSync(join(root, `scenarios/${name}.toml`), "utf8");

/** A page with a shipped scenario in it. */
export const make = (dir, name) => write(join(dir, `${basename(name)}.html`), shipped(name), `${name}.toml`);

/** Opens a page; what it asks the network for and what it complains of is kept. */
export async function open(browser, file, { hash = "", ...options } = {}) {
  const context = await browser.newContext({ viewport: { width: 1440, height: 900 }, ...options });
  const page = await context.newPage();
  const asked = [];
  const faults = [];
  page.on("request", (r) => asked.push(r.url()));
  page.on("pageerror", (e) => faults.push(String(e)));
  page.on("console", (m) => ["error", "warning"].includes(m.type()) && faults.push(m.text()));
  await page.goto(pathToFileURL(file).href + hash);
  await page.waitForSelector("#page main");
  return { page, context, asked, faults };
}

/** What axe finds; in Chromium, open the page with `bypassCSP: true`. */
export async function found(page) {
  await page.evaluate(`${readFileSync(axe, "utf8")}; 0`);
  const { violations } = await page.evaluate(() => window.axe.run());
  return violations.map((v) => `${v.id}: ${v.nodes.map((n) => n.target).join(" ")}`);
}

/**
 * Elements that stick out of the window to the right, and how wide the page is if wider than that. What is not shown of
 * something whose title says all of it sticks out of nothing.
 */
export const sticksOut = (page) => page.evaluate(() => {
  const wide = document.documentElement.clientWidth;
  const right = (e) => e.getBoundingClientRect().right;
  const shown = (e) => {
    const around = e.parentElement?.closest("[title]");
    return around && getComputedStyle(around).overflowX === "hidden" ? Math.min(right(e), right(around)) : right(e);
  };
  const out = [...document.querySelectorAll("#page *:not(svg *, .unseen *)")].filter((e) => shown(e) > wide + 0.5);
  const told = out.map((e) => `${e.tagName}.${e.className}`);
  return document.documentElement.scrollWidth > wide ? [`page: ${document.documentElement.scrollWidth}`, ...told] : told;
});

/** What the native program says of a job. */
export const flush = (scenario, ...more) => JSON.parse(
  execFileSync(program, ["flush", scenario, "--json", "-", "--quiet", "--no-error-estimate", ...more], { encoding: "utf8", maxBuffer: 1 << 28 }));
