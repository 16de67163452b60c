// Cars as files: opened, saved, copied as text, kept in this browser if somebody asks for it; examples.
import { html, nothing, type TemplateResult } from "lit-html";
import type { App } from "../../app.ts";
import { unix } from "./lines.ts";
import { fileName } from "./names.ts";
import { sentence, type State } from "./state.ts";
import type { Example } from "./told.ts";

/** A scenario's limit (scenario/limits.rs); the core says what is wrong with one byte more. */
const LARGEST = 1_000_000;
const NOT_KEPT = "Not saved: this browser keeps nothing for files. Copy it as text.";

/** Opens a file of the person's. */
export async function open(app: App, state: State, file: File): Promise<void> {
  const name = fileName(file.name);
  let bytes: number[];
  try {
    bytes = [...new Uint8Array(await file.slice(0, LARGEST + 1).arrayBuffer())];
  } catch {
    return told(app, state, `${name} can’t be read by this browser. Open it with a text editor and paste its text.`);
  }
  const answer = app.core.ask<{ text: string }>({ ask: "opened", bytes, file: name });
  if ("ok" in answer) return took(app, state, answer.ok.text, name);
  const mistake = "mistakes" in answer ? answer.mistakes.list[0] : undefined;
  const where = mistake && mistake.line > 1 ? `line ${mistake.line}: ` : "";
  told(app, state, `${name} is not opened. ${mistake ? where + sentence(mistake) : "error" in answer ? answer.error : ""}`);
}

function took(app: App, state: State, text: string, file: string): void {
  state.replace(app, text, file);
  if (app.wrong) state.part = "text";
  told(app, state, app.wrong ? `${file} is opened. ${state.judged}` : `${file} is opened.`);
}

function told(app: App, state: State, note: string): void {
  state.note = note;
  app.draw();
  app.say(note);
}

export function files(app: App, state: State): TemplateResult {
  const some = app.text !== "" || !!state.draft;
  return html`<div class="files">
    ${from(app, state)}
    ${some ? out(app, state) : nothing}
    ${kept(app, state)}
    ${toTry(app, state)}
  </div>`;
}

/** Other ways to begin than by answers. */
export const begin = (app: App, state: State): TemplateResult => html`<div class="files">${from(app, state)}${toTry(app, state)}</div>`;

function from(app: App, state: State): TemplateResult {
  return html`<section><h2>From a file</h2>
    <label class="button"><input type="file" accept=".toml,text/plain" @change=${(e: Event) => chosen(app, state, e.target as HTMLInputElement)}><span>Open a file</span></label>
    <p class="soft">Or drop one anywhere on this page. Nothing is sent: it stays in this browser.</p></section>`;
}

function toTry(app: App, state: State): TemplateResult {
  const one = (e: Example) => html`<li><button type="button" title=${e.title} @click=${() => took(app, state, e.text, e.file)}><bdi>${e.title}</bdi></button></li>`;
  return html`<section><h2>Examples</h2><ul class="list">${examples(app).map(one)}</ul></section>`;
}

function chosen(app: App, state: State, input: HTMLInputElement): void {
  const file = input.files?.[0];
  if (file) void open(app, state, file);
  // The same file may be chosen again.
  input.value = "";
}

let shipped: Example[] | undefined;
function examples(app: App): Example[] {
  if (!shipped) {
    const answer = app.core.ask<Example[]>({ ask: "examples" });
    shipped = "ok" in answer ? answer.ok : [];
  }
  return shipped;
}

/** What goes out of here: as it is being written, or as it is in use, to the byte. */
const current = (app: App, state: State): string => (state.draft !== undefined && state.draft !== unix(app.text) ? state.draft : app.text);

function out(app: App, state: State): TemplateResult {
  const rename = (event: Event) => {
    const input = event.target as HTMLInputElement;
    app.file = fileName(input.value);
    input.value = app.file;
    app.draw();
  };
  return html`<section><h2>To a file</h2>
    <div class="field"><label for="car-name">Its name</label>
    <input id="car-name" maxlength="70" spellcheck="false" autocomplete="off" .value=${app.file || "car.toml"} @change=${rename}>
    <button type="button" class="chief" @click=${() => save(app, state)}>Save</button>
    <button type="button" @click=${() => void copy(app, state)}>Copy as text</button></div>
    <div ?hidden=${!state.copy}>${state.copy ? html`<label for="car-copy">Select all of it and copy</label><textarea id="car-copy" readonly wrap="off" .value=${current(app, state)}></textarea>` : nothing}</div>
  </section>`;
}

function save(app: App, state: State): void {
  const link = document.createElement("a");
  link.href = URL.createObjectURL(new Blob([current(app, state)], { type: "application/toml" }));
  link.download = app.file || "car.toml";
  link.click();
  setTimeout(() => URL.revokeObjectURL(link.href), 60_000);
  told(app, state, `${link.download} was handed to the browser, which says where it went.`);
}

async function copy(app: App, state: State): Promise<void> {
  try {
    await navigator.clipboard.writeText(current(app, state));
    state.copy = false;
    told(app, state, "Copied.");
  } catch {
    state.copy = true;
    told(app, state, "This browser does not let the page copy. The text is laid out and selected: copy it from there.");
    const area = document.getElementById("car-copy") as HTMLTextAreaElement | null;
    area?.focus();
    area?.select();
  }
}

function kept(app: App, state: State): TemplateResult {
  if (!state.kept.works) return html`<section><h2>In this browser</h2><p class="refused">${NOT_KEPT}</p></section>`;
  const some = app.text !== "" || !!state.draft;
  const keep = () => {
    const as = state.kept.keep(app.file || "car.toml", current(app, state));
    told(app, state, as === undefined ? "Not saved: this browser has no room left for it. Copy it as text." : `Kept in this browser as ${as}.`);
  };
  const names = state.kept.names();
  return html`<section><h2>In this browser</h2>
    <p class="soft">Only what you keep. Whoever uses this browser, and other pages opened from files here, can read it.</p>
    ${some ? html`<button type="button" id="car-keep" @click=${keep}>Keep in this browser</button>` : nothing}
    ${names.length ? html`<ul class="list">${names.map((name) => one(app, state, name))}</ul>` : html`<p>Nothing is kept.</p>`}</section>`;
}

function one(app: App, state: State, name: string): TemplateResult {
  const sure = state.deleting === name;
  const remove = () => {
    if (sure) state.kept.remove(name);
    state.deleting = sure ? undefined : name;
    if (!sure) return app.draw();
    told(app, state, `${name} is deleted.`);
    // Its button is gone, and the focus with it.
    const next = [...document.querySelectorAll<HTMLElement>(".kept button:last-child"), document.getElementById("car-keep")];
    next[0]?.focus();
  };
  const calm = () => {
    if (state.deleting !== name) return;
    state.deleting = undefined;
    app.draw();
  };
  const take = () => {
    const text = state.kept.text(name);
    if (text) took(app, state, text, name);
    else told(app, state, `${name} is no longer kept in this browser.`);
  };
  return html`<li class="kept"><button type="button" title=${name} @click=${take}><bdi>${name}</bdi></button>
    <button type="button" class=${sure ? "stop" : ""} aria-label=${sure ? `Delete ${name} for good` : `Delete ${name}`} @click=${remove} @blur=${calm}>${sure ? "Delete for good" : "Delete"}</button></li>`;
}
