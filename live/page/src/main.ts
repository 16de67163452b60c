// The page, begun with the core by `begin.ts`.
import { App } from "./app.ts";
import { Background } from "./background.ts";
import { Core } from "./core.ts";
import { takeUs } from "./units.ts";
import { carView } from "./views/car.ts";
import { classView } from "./views/class.ts";
import { openView } from "./views/open.ts";
import { tryView } from "./views/try.ts";

/** What the program puts in: a scenario, and the view to begin at. */
interface Held {
  text: string;
  file: string;
  view?: string;
  /** Whether units are those of the US. */
  us?: boolean;
}

/** Runs the page in place of what shows without it. */
export async function run(wasm: Uint8Array<ArrayBuffer>, worker: string): Promise<void> {
  const compiled = await WebAssembly.compile(wasm);
  const core = await Core.begin(compiled);
  const root = document.createElement("div");
  root.id = "page";
  const app = new App(core, new Background(compiled, worker), [tryView, openView, classView, carView], root);
  const car = JSON.parse(document.getElementById("car")?.textContent ?? "null") as Held | null;
  takeUs(car?.us === true);
  // Without a car there is nothing to try: it begins with the questions.
  const first = app.views.find((view) => view.word === car?.view) ?? (car ? app.view : carView);
  app.begin(car?.text ?? "", car?.file ?? "", first, location.hash);
  document.getElementById("without")?.replaceWith(root);
}
