// What takes long is asked here, so that the page goes on answering.
import { Core } from "./core.ts";

let core: Core | undefined;

self.onmessage = async (event: MessageEvent<{ module?: WebAssembly.Module; id?: number; question?: object }>) => {
  const { module, id, question } = event.data;
  if (module) core = await Core.begin(module);
  if (core && question) self.postMessage({ id, answer: core.ask(question) });
};
