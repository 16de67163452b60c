// How long the live page takes: tests/browser/run measure.mjs prints medians in Chromium. Nothing is asserted: a machine with
// something else to do is slower. TIMES says how often each is done, CARS which shipped scenarios it is done with.
import { mkdtempSync, rmSync } from "node:fs";
import { loadavg, tmpdir } from "node:os";
import { join } from "node:path";
import { pathToFileURL } from "node:url";
import { chromium } from "playwright-core";
import { begin, unpacked } from "./core.mjs";
import { make, shipped } from "./live.mjs";

const times = Number(process.env.TIMES ?? 20);
/** A telephone's processor beside this one's, as browsers' developer tools have it (common practice, no source). */
const SLOWER = 6;
/** As page/src/views/try/studies.ts waits before it asks. */
const PAUSE_MS = 250;
const cars = (process.env.CARS ?? "compact-hatchback,saloon-esc-with-routine,off-roader-eight-bleeders").split(",");

const dir = mkdtempSync(join(tmpdir(), "farwheel-measure-"));
const browser = await chromium.launch({ executablePath: process.env.CHROMIUM ?? "/usr/bin/chromium", args: ["--no-sandbox"] });
const sorted = (all) => [...all].sort((a, b) => a - b);
const told = (all) => {
  const s = sorted(all);
  return `median ${s[Math.floor(s.length / 2)].toFixed(0)} ms, best ${s[0].toFixed(0)}, worst ${s.at(-1).toFixed(0)}`;
};
const say = (what, all) => console.log(`${what.padEnd(58)} ${told(all)}`);

async function opened(file, slower, script) {
  const context = await browser.newContext({ viewport: { width: 390, height: 844 }, bypassCSP: true });
  const page = await context.newPage();
  const cdp = await context.newCDPSession(page);
  if (script) await page.addInitScript(script);
  await cdp.send("Emulation.setCPUThrottlingRate", { rate: slower });
  await page.goto(pathToFileURL(file).href + "#try&order=RR,LR,RF,LF");
  await page.waitForSelector("#page main");
  return { page, context };
}

/** From the beginning of navigation to the first picture, as the browser tells it: until then nothing is shown. */
async function firstPicture(file, slower) {
  const { page, context } = await opened(file, slower);
  const at = await page.evaluate(() => new Promise((done) => {
    new PerformanceObserver((list) => {
      const entry = list.getEntriesByName("first-contentful-paint")[0];
      if (entry) done(entry.startTime);
    }).observe({ type: "paint", buffered: true });
  }));
  await context.close();
  return at;
}

/** From the slider's event until the browser has painted what comes of it; every time another value. */
async function slider(file, slower, count) {
  const { page, context } = await opened(file, slower);
  await page.waitForSelector(".bars");
  const all = await page.evaluate(async (count) => {
    const gone = [];
    for (let i = 0; i < count; i++) {
      await new Promise((done) => setTimeout(done, 60));
      const slider = document.querySelector(".slider input");
      const from = performance.now();
      slider.value = String(Number(slider.min) + 1 + (i % (slider.max - slider.min - 1)));
      slider.dispatchEvent(new Event("input", { bubbles: true }));
      const ran = performance.now() - from;
      await new Promise((done) => requestAnimationFrame(() => setTimeout(done)));
      gone.push([ran, performance.now() - from]);
    }
    return gone;
  }, count);
  await context.close();
  return all;
}

/** From the last change to bars and headline of it, the pause before it is asked taken off: a worker, so never slowed down. */
async function bars(file, count) {
  const { page, context } = await opened(file, 1);
  await page.waitForFunction(() => !document.querySelector("main .late"), undefined, { timeout: 120_000 });
  const all = [];
  for (let i = 0; i < count; i++) {
    all.push(await page.evaluate(async (i) => {
      const slider = document.querySelector(".slider input");
      slider.value = String(Number(slider.min) + 1 + (i % (slider.max - slider.min - 1)));
      const from = performance.now();
      slider.dispatchEvent(new Event("input", { bubbles: true }));
      await new Promise((done) => setTimeout(done, 50));
      while (document.querySelector("main .late")) await new Promise((done) => setTimeout(done, 4));
      return performance.now() - from;
    }, i) - PAUSE_MS);
  }
  await context.close();
  return all;
}

/** What is asked of the core when all orders are tried, in the page's own thread: that one can be slowed down. */
async function orders(name, file, slower, count) {
  const { page, context } = await opened(file, slower);
  const question = { ask: "decides", text: shipped(name), file: "", change: {} };
  const wasm = unpacked(file).toString("base64");
  const all = await page.evaluate(async ([begin, wasm, question, count]) => {
    const core = await (0, eval)(`(${begin})`)(Uint8Array.from(atob(wasm), (c) => c.charCodeAt(0)));
    const gone = [];
    for (let i = 0; i <= count; i++) {
      const from = performance.now();
      core(question);
      gone.push(performance.now() - from);
    }
    // The first is compiled meanwhile.
    return gone.slice(1);
  }, [begin.toString(), wasm, question, count]).finally(() => context.close());
  return all;
}

try {
  console.log(`Load of the machine: ${loadavg().map((x) => x.toFixed(1)).join(", ")}; each ${times} times.`);
  for (const name of cars) {
    const file = make(dir, name);
    console.log(name);
    for (const slower of [1, SLOWER]) {
      const so = slower === 1 ? "" : `, slowed ${slower} times`;
      const first = [];
      for (let i = 0; i < times; i++) first.push(await firstPicture(file, slower));
      say(`  first picture${so}`, first);
      const slid = await slider(file, slower, times);
      say(`  a slider's answer, computed and drawn${so}`, slid.map((s) => s[0]));
      say(`  a slider's answer, on the screen${so}`, slid.map((s) => s[1]));
      say(`  what decides and all orders, asked of the core${so}`, await orders(name, file, slower, Math.min(times, name.includes("eight") ? 3 : times)));
    }
    say("  the same on the page, from the last touch, less the pause", await bars(file, Math.min(times, 10)));
  }
  console.log(`Load of the machine: ${loadavg().map((x) => x.toFixed(1)).join(", ")}.`);
} finally {
  await browser.close();
  rmSync(dir, { recursive: true, force: true });
}
