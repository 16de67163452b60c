// Unpacks the core, begins the page.
import { App } from "./app.ts";
import { Background } from "./background.ts";
import { Core } from "./core.ts";
import { takeUs } from "./units.ts";
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

/** What the program puts in: a scenario, and the view to begin at. */
interface Held {
  text: string;
  file: string;
  view?: string;
  /** Whether units are those of the US. */
  us?: boolean;
}

const without = document.getElementById("without");
const why = document.getElementById("why");

async function begin(): Promise<void> {
  const compiled = await module();
  const core = await Core.begin(compiled);
  const root = document.createElement("div");
  root.id = "page";
  const app = new App(core, new Background(compiled, held("worker")), [tryView, openView, classView, carView], root);
  const car = JSON.parse(held("car")) as Held | null;
  takeUs(car?.us === true);
  // Without a car there is nothing to try: it begins with the questions.
  const first = app.views.find((view) => view.word === car?.view) ?? (car ? app.view : carView);
  app.begin(car?.text ?? "", car?.file ?? "", first, location.hash);
  without?.replaceWith(root);
}

// Until it runs it is not said that it cannot; where no script runs at all, it is.
without?.classList.add("begins");
begin().catch((what: unknown) => {
  without?.classList.remove("begins");
  if (why) why.title = String(what);
});
