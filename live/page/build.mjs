// Puts the page together: one file of HTML with scripts, styles, fonts and the core in it. What shows before the page runs,
// or where it cannot, stands in it as it is; all else is packed.
// node build.mjs CORE.wasm PAGE.html
import { build, transform } from "esbuild";
import { createHash } from "node:crypto";
import { readFileSync, readdirSync, writeFileSync } from "node:fs";
import { fileURLToPath } from "node:url";

import { madeOf } from "../made.mjs";
import * as pack from "./pack.mjs";

const [core, out] = process.argv.slice(2);
const here = (path) => fileURLToPath(new URL(path, import.meta.url));
const text = (path) => readFileSync(here(path), "utf8");

/** A script; what it exports is called so. */
async function script(entry, globalName) {
  const { outputFiles } = await build({
    entryPoints: [here(entry)], bundle: true, minify: true, write: false, format: "iife", target: "es2022", charset: "utf8",
    legalComments: "none", globalName,
  });
  // Of how far tags are set in, nothing shows.
  const text = outputFiles[0].text.trim().replaceAll(/\n\s+</g, "\n<");
  // Nothing in it can end the element that it stands in.
  return text.replaceAll("</script", "<\\/script").replaceAll("<!--", "<\\!--");
}

const style = async (css) => (await transform(css, { loader: "css", minify: true })).code.trim();
const face = (name, weight) => `@font-face{font-family:Page;font-weight:${weight};src:url(data:font/woff2;base64,${readFileSync(here(`../../assets/fonts/Page-${name}.woff2`)).toString("base64")})}`;
const sheets = readdirSync(here("src/style")).sort();
const rules = (names) => names.map((name) => text(`src/style/${name}`)).join("");
// The fonts are packed already: they gain nothing by it, and what shows without the script is lettered in them.
const shown = await style(face("Regular", 400) + face("Bold", 700) + rules(["page.css", "shell.css", "without.css"]));
const [begin, main, worker] = [await script("src/begin.ts", "begun"), await script("src/main.ts", "farwheel"), await script("src/worker.ts")];
// All sheets once more in their order, so that it is as if they stood in one.
const packed = [readFileSync(core), ...[main, worker, await style(rules(sheets))].map((part) => Buffer.from(part))];
const hash = (script) => `'sha256-${createHash("sha256").update(script).digest("base64")}'`;
const parts = {
  MADE_OF: madeOf(), SCRIPT_HASHES: `${hash(begin)} ${hash(main)}`, STYLE: shown, SIZES: packed.map((part) => part.length).join(" "),
  PACKED: pack.text(pack.lzma(Buffer.concat(packed))), SCRIPT: begin,
};
const page = text("page.html").replace(/@([A-Z_]+)@/g, (whole, name) => parts[name] ?? whole);
writeFileSync(out, page);
const kb = (bytes) => (bytes / 1000).toFixed(0);
console.log(`${out}: ${kb(page.length)} kB, of it packed ${kb(parts.PACKED.length)}, script ${kb(begin.length)}, styles and fonts ${kb(shown.length)}`);
