// Puts the page together: one file of HTML with scripts, styles, fonts and the core in it.
// node build.mjs CORE.wasm PAGE.html
import { build } from "esbuild";
import { createHash } from "node:crypto";
import { readFileSync, readdirSync, writeFileSync } from "node:fs";
import { fileURLToPath } from "node:url";
import { gzipSync, constants } from "node:zlib";

import { madeOf } from "../made.mjs";

const [core, out] = process.argv.slice(2);
const here = (path) => fileURLToPath(new URL(path, import.meta.url));
const text = (path) => readFileSync(here(path), "utf8");

async function script(entry) {
  const { outputFiles } = await build({
    entryPoints: [here(entry)], bundle: true, minify: true, write: false, format: "iife", target: "es2022", charset: "utf8",
    legalComments: "none",
  });
  // Of how far tags are set in, nothing shows.
  const text = outputFiles[0].text.trim().replaceAll(/\n\s+</g, "\n<");
  // Nothing in it can end the element that it stands in.
  return text.replaceAll("</script", "<\\/script").replaceAll("<!--", "<\\!--");
}

const face = (name, weight) => `@font-face{font-family:Page;font-weight:${weight};src:url(data:font/woff2;base64,${readFileSync(here(`../../assets/fonts/Page-${name}.woff2`)).toString("base64")})}`;
const styles = readdirSync(here("src/style")).sort().map((name) => text(`src/style/${name}`)).join("");
const { code: style } = await (await import("esbuild")).transform(face("Regular", 400) + face("Bold", 700) + styles, { loader: "css", minify: true });
const [main, worker] = [await script("src/main.ts"), await script("src/worker.ts")];
const packed = gzipSync(readFileSync(core), { level: constants.Z_BEST_COMPRESSION }).toString("base64");
const hash = `'sha256-${createHash("sha256").update(main).digest("base64")}'`;
const parts = { MADE_OF: madeOf(), SCRIPT_HASH: hash, STYLE: style.trim(), WORKER: worker, CORE: packed, SCRIPT: main };
const page = text("page.html").replace(/@([A-Z_]+)@/g, (whole, name) => parts[name] ?? whole);
writeFileSync(out, page);
console.log(`${out}: ${(page.length / 1000).toFixed(0)} kB, of it core ${(packed.length / 1000).toFixed(0)}, scripts ${((main.length + worker.length) / 1000).toFixed(0)}, styles and fonts ${(style.length / 1000).toFixed(0)}`);
