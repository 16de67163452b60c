// What takes long is asked here, so that the page goes on answering.
import { Core } from "./core.ts";

let core: Promise<Core> | undefined;

// The first question may come while the core still begins: it waits for it.
self.onmessage = async (event: MessageEvent<{ module?: WebAssembly.Module; id?: number; question?: object }>) => {
  const { module, id, question } = event.data;
  if (module) core = Core.begin(module);
  if (core && question) self.postMessage({ id, answer: (await core).ask(question) });
};
