// Unpacks the core, begins the page.
import { App } from "./app.ts";
import { Background } from "./background.ts";
import { Core } from "./core.ts";
import { carView } from "./views/car.ts";
import { classView } from "./views/class.ts";
import { openView } from "./views/open.ts";
import { tryView } from "./views/try.ts";

const held = (id: string) => document.getElementById(id)?.textContent ?? "";

async function module(): Promise<WebAssembly.Module> {
  const packed = Uint8Array.from(atob(held("core")), (c) => c.charCodeAt(0));
  const stream = new Blob([packed]).stream().pipeThrough(new DecompressionStream("gzip"));
  return WebAssembly.compile(await new Response(stream).arrayBuffer());
}

async function begin(): Promise<void> {
  const compiled = await module();
  const core = await Core.begin(compiled);
  const root = document.createElement("div");
  root.id = "page";
  const app = new App(core, new Background(compiled, held("worker")), [tryView, openView, classView, carView], root);
  const car = JSON.parse(held("car") || "null") as { text: string; file: string } | null;
  const link = location.hash;
  app.load(car?.text ?? "", car?.file ?? "");
  history.replaceState(null, "", link || "#");
  app.restore();
  document.getElementById("without")?.replaceWith(root);
}

begin().catch((why: unknown) => {
  const note = document.getElementById("why");
  if (note) note.textContent = `This browser can’t run the model (${String(why)}).`;
});
