// Unpacks what the page carries and begins it. All else is packed with the core: these lines are what unpacks it.
import { bytes, unlzma } from "./unpack.ts";

const without = document.getElementById("without");
const why = document.getElementById("why");
const cannot = why?.textContent ?? "";

/** What was packed, in the order in which `build.mjs` put it together. */
export function parts(): { core: Uint8Array<ArrayBuffer>; main: string; worker: string; style: string } {
  const packed = document.getElementById("packed");
  const sizes = (packed?.dataset.sizes ?? "").split(" ").map(Number);
  const all = unlzma(bytes(packed?.textContent ?? ""), sizes.reduce((a, b) => a + b));
  let at = 0;
  const [core, ...texts] = sizes.map((size) => all.subarray(at, (at += size)));
  const [main, worker, style] = texts.map((text) => new TextDecoder().decode(text));
  return { core, main, worker, style } as ReturnType<typeof parts>;
}

async function begin(): Promise<void> {
  // Nothing to unpack for.
  if (!("WebAssembly" in globalThis)) throw new Error("no WebAssembly");
  const { core, main, worker, style } = parts();
  const element = (name: string, text: string) => {
    const made = document.createElement(name);
    made.textContent = text;
    document.head.append(made);
  };
  element("style", style);
  // The page's policy knows this script by its hash.
  element("script", main);
  const { run } = (globalThis as unknown as { farwheel: typeof import("./main.ts") }).farwheel;
  await run(core, worker);
}

// Until it runs it is not said that it cannot; where no script runs at all, it is.
without?.classList.add("begins");
if (why) why.textContent = "One moment: the model is being unpacked.";
// Shown first, since unpacking takes the whole of the page's attention.
setTimeout(() => {
  begin().catch((what: unknown) => {
    without?.classList.remove("begins");
    if (!why) return;
    why.textContent = cannot;
    why.title = String(what);
  });
}, 20);
