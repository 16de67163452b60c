// The core in the kept page gives, byte for byte, the JSON of the program: every shipped scenario with every supply and
// a hundred random ones, in Node and in Chromium. LIVE names another page.
import assert from "node:assert/strict";
import { execFileSync, spawnSync } from "node:child_process";
import { mkdtempSync, readFileSync, readdirSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { after, before, test } from "node:test";
import { fileURLToPath, pathToFileURL } from "node:url";
import { chromium } from "playwright-core";
import { begin, unpacked } from "./core.mjs";

const root = fileURLToPath(new URL("../../", import.meta.url));
const program = process.env.FARWHEEL ?? join(root, "target/release/farwheel");
const live = process.env.LIVE ?? join(root, "assets/live.html");

const toml = (folder) => readdirSync(folder).filter((name) => name.endsWith(".toml")).sort().map((name) => join(folder, name));
const shipped = ["scenarios", "scenarios/splits"].flatMap((folder) => toml(join(root, folder)));

let browser;
let random;
/** Each way to ask the page's core, by name. */
const cores = new Map();

before(async () => {
  random = mkdtempSync(join(tmpdir(), "farwheel-random-"));
  execFileSync("cargo", ["test", "--locked", "--quiet", "--test", "jobs", "random_texts::written", "--", "--ignored"], {
    cwd: root, env: { ...process.env, FARWHEEL_RANDOM: random }, stdio: ["ignore", "ignore", "inherit"],
  });
  cores.set("Node", await begin(unpacked(live)));
  browser = await chromium.launch({ executablePath: process.env.CHROMIUM ?? "/usr/bin/chromium", args: ["--no-sandbox"] });
  const page = await browser.newPage();
  await page.goto(pathToFileURL(live).href);
  // Unpacked by the page's own lines, and asked by the same few.
  const begun = await page.evaluateHandle(`(${begin})(begun.parts().core)`);
  cores.set("Chromium", (question) => begun.evaluate((ask, question) => ask(question), question));
});
after(async () => {
  await browser?.close();
  rmSync(random, { recursive: true, force: true });
});

/** What the program writes, or `undefined` and why if it cannot answer. */
function told(verb, file, options) {
  const run = spawnSync(program, [verb, file, "--quiet", "--json", "-", ...options], { cwd: root, encoding: "utf8", maxBuffer: 1 << 28 });
  // Status 3: answered, and the job is not to be done so.
  return { text: [0, 3].includes(run.status) ? run.stdout : undefined, why: run.stderr };
}

/** The first place where two texts differ, with what stands around it. */
function difference(a, b) {
  const at = [...a].findIndex((c, i) => c !== b[i]);
  return `byte ${at}: ${a.slice(at - 80, at + 40)} | ${b.slice(at - 80, at + 40)}`;
}

async function same(verb, file, options, question) {
  const { text, why } = told(verb, file, options);
  for (const [where, ask] of cores) {
    const answer = await ask({ ask: "native", verb, text: readFileSync(file, "utf8"), file, ...question });
    const what = `${where}: ${verb} ${file} ${options.join(" ")}`;
    if (text === undefined) assert.ok(!("ok" in answer), `${what}: only the page answers; ${why}`);
    else assert.ok(answer.ok === text, `${what}: ${answer.error ?? difference(text, answer.ok)}`);
  }
  return text !== undefined;
}

const suppliesOf = (file) => cores.get("Node")({ ask: "car", text: readFileSync(file, "utf8"), wide: 400 }).ok.supplies;

test("every shipped scenario with every supply", async () => {
  assert.ok(shipped.length > 15, `${shipped}`);
  let answered = 0;
  for (const file of shipped) {
    answered += await same("flush", file, [], {});
    for (const supply of suppliesOf(file)) answered += await same("flush", file, ["--supply", supply, "--also", "curves"], { supply, curves: true });
  }
  assert.ok(answered > 2 * shipped.length, `${answered}`);
});

test("a hundred random scenarios", async () => {
  const files = toml(random);
  assert.equal(files.length, 100);
  let answered = 0;
  for (const file of files) answered += await same("flush", file, ["--also", "curves"], { curves: true });
  assert.ok(answered >= 95, `${answered} of them answered`);
});

test("what check and orders say", async () => {
  for (const file of shipped) assert.ok(await same("check", file, [], {}));
  for (const name of ["compact-hatchback", "motorcycle-front", "roadster-gravity"]) {
    const file = join(root, `scenarios/${name}.toml`);
    assert.ok(await same("orders", file, ["--draws", "3"], { draws: 3 }));
  }
});
