// What the kept page was made of, as one hash: it stands in the page, and `node live/made.mjs --check` says whether the page
// is still that of the sources, without building anything.
import { createHash } from "node:crypto";
import { readFileSync, readdirSync } from "node:fs";
import { fileURLToPath } from "node:url";

const root = new URL("../", import.meta.url);
// The core's rooms: pictures, reports and verbs are not in the page.
const notInTheCore = ["commands", "main.rs", "plot", "report"];

function files(path) {
  const entries = readdirSync(new URL(path, root), { withFileTypes: true });
  return entries.flatMap((e) => (e.isDirectory() ? files(`${path}${e.name}/`) : [path + e.name]));
}

/** Every file that the page is made of, from the root on. */
export function sources() {
  const core = files("src/").filter((path) => !notInTheCore.includes(path.split("/")[1]));
  const page = ["build.mjs", "pack.mjs", "package-lock.json", "page.html", "tsconfig.json"].map((name) => `live/page/${name}`);
  const wrapper = ["Cargo.lock", "Cargo.toml"].map((name) => `live/core/${name}`);
  const fonts = ["Bold", "Regular"].map((name) => `assets/fonts/Page-${name}.woff2`);
  return [...core, ...page, ...wrapper, ...fonts, ...files("live/core/src/"), ...files("live/page/src/"), "live/make"].sort();
}

/** Their hash. */
export function madeOf() {
  const all = createHash("sha256");
  for (const path of sources()) all.update(`${createHash("sha256").update(readFileSync(new URL(path, root))).digest("hex")}  ${path}\n`);
  return all.digest("hex");
}

if (process.argv[1] === fileURLToPath(import.meta.url)) {
  const now = madeOf();
  const [, kept] = readFileSync(new URL("assets/live.html", root), "utf8").match(/<meta name="made-of" content="([0-9a-f]+)">/) ?? [];
  if (!process.argv.includes("--check")) console.log(now);
  else if (kept !== now) {
    console.error(`assets/live.html was made of ${kept ?? "nobody knows what"}, the sources are ${now}: run live/make`);
    process.exitCode = 1;
  }
}
