// Car: described by questions, written as text, opened and saved as a file.
import { html, nothing, type TemplateResult } from "lit-html";
import type { App, View } from "../app.ts";
import { capital } from "../words.ts";
import { beside, wide } from "./car/beside.ts";
import { begin, files, open } from "./car/files.ts";
import { questions } from "./car/questions.ts";
import { plural, State, type Part } from "./car/state.ts";
import { sheet, text } from "./car/text.ts";

const PARTS: [Part, string][] = [["questions", "Questions"], ["text", "Text"], ["files", "Files"]];

const state = new State(() => globalThis.localStorage);
/** Whether the car has changed since this view was last shown: its questions are asked when they are to be seen. */
let stale = false;

export const carView: View = {
  word: "car",
  name: "Car",
  short: "Car",
  carChanged(app) {
    stale = app.view !== carView;
    if (!stale) state.carChanged(app);
  },
  begun: (app) => wide.addEventListener("change", () => app.draw()),
  entered(app) {
    if (stale) this.carChanged!(app);
    else state.askSure(app);
  },
  draw(app) {
    const part = { questions, text, files }[state.part];
    return html`<div class="car-page" @dragover=${(e: DragEvent) => e.preventDefault()} @drop=${(e: DragEvent) => dropped(app, e)}>
      <div class="heading">
        <div class="head">${headline(app)}</div>
        <div class="parts">
          <div class="segments" role="group" aria-label="The car as">${PARTS.map(([name, shown]) => segment(app, name, shown))}</div>
          ${back(app)}
        </div>
      </div>
      <div class="left"><p class="note" ?hidden=${!state.note}><bdi>${state.note}</bdi></p>${part(app, state)}</div>
      <aside class="right" aria-label="What comes of it">${app.text || state.part === "files" ? beside(app, state) : begin(app, state)}</aside>
      ${sheet(app, state)}
    </div>`;
  },
};

function headline(app: App): TemplateResult {
  if (!app.text) return html`<h1>Nothing to open yet.</h1><p>Answer one question, “What is it?”, and the page can guess the rest.</p>`;
  const wrong = state.mistakes.list.length + state.mistakes.left_out;
  if (app.wrong) return html`<h1>${wrong ? `${capital(plural(wrong, "mistake"))}: nothing runs until ${wrong === 1 ? "it is" : "they are"} mended.` : "This car can’t be run."}</h1>`;
  if (state.byHand || !state.told) return html`<h1>${state.described ? "Described, then changed by hand: it runs." : "Written by hand: it runs."}</h1>`;
  const { answered, guessed } = state.told;
  return html`<h1><span class="answer">${capital(plural(answered, "answer"))}</span>, <span class="guess">${plural(guessed, "guess", "guesses")}</span>: enough to run.</h1>`;
}

function segment(app: App, part: Part, name: string): TemplateResult {
  const show = () => {
    [state.part, state.note] = [part, ""];
    app.draw();
  };
  return html`<button type="button" aria-pressed=${state.part === part} @click=${show}>${name}</button>`;
}

/** The way to the text whose place this one took. */
function back(app: App): TemplateResult | typeof nothing {
  const last = state.earlier.at(-1);
  if (!last) return nothing;
  return html`<button type="button" class="back" title=${last.file} @click=${() => state.back(app)}>Back to <bdi>${last.file || "the text before"}</bdi></button>`;
}

function dropped(app: App, event: DragEvent): void {
  event.preventDefault();
  const file = event.dataTransfer?.files[0];
  if (file) void open(app, state, file);
}
