// What takes long is asked here, so that the page goes on answering.
import { Core } from "./core.ts";

let core: Promise<Core> | undefined;
let asked: number | undefined;

/** So far apart it says how far it is, ms: what it does in between it does undisturbed. */
const APART_MS = 200;
let said = 0;

function progress(done: number, of: number): void {
  const now = performance.now();
  if (now - said < APART_MS) return;
  said = now;
  self.postMessage({ id: asked, done, of });
}

// The first question may come while the core still begins: it waits for it.
self.onmessage = async (event: MessageEvent<{ module?: WebAssembly.Module; id?: number; question?: object }>) => {
  const { module, id, question } = event.data;
  if (module) core = Core.begin(module, progress);
  if (!core || !question) return;
  const begun = await core;
  [asked, said] = [id, performance.now()];
  self.postMessage({ id, answer: begun.ask(question) });
};
