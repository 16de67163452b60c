// The page as a whole: which car, what was changed, which view; everything is drawn from here.
import { html, nothing, render, type TemplateResult } from "lit-html";
import type { Car, Change, Run } from "./asked.ts";
import type { Background } from "./background.ts";
import { cautions } from "./cautions.ts";
import type { Answer, Core } from "./core.ts";
import { read, written } from "./link.ts";

/** A view of the page. */
export interface View {
  /** Its word in the link. */
  word: string;
  /** Its name, on a wide screen and on a narrow one. */
  name: string;
  short: string;
  /** Draws it. Called again whenever anything has changed. */
  draw(app: App): TemplateResult;
  /** Called once, when the page begins. */
  begun?(app: App): void;
  /** Called when the car or the text has changed, before it is drawn. */
  carChanged?(app: App): void;
  /** Called when it comes to be shown, before it is drawn. */
  entered?(app: App): void;
  /** Called when another is shown instead. */
  left?(app: App): void;
}

export class App {
  readonly core: Core;
  readonly background: Background;
  readonly views: View[];
  /** The scenario; empty if there is none yet. */
  text = "";
  file = "";
  /** What was changed in the job: set it with `alter`. */
  change: Change = {};
  /** A job kept for comparison. */
  pin: Change | undefined;
  /** What it is; `undefined` without one, or if it has mistakes. */
  car: Car | undefined;
  /** Its mistakes, or why it cannot be read. */
  wrong: Answer<Car> | undefined;
  view: View;
  #root: HTMLElement;

  constructor(core: Core, background: Background, views: View[], root: HTMLElement) {
    [this.core, this.background, this.views, this.#root] = [core, background, views, root];
    this.view = views[0]!;
    addEventListener("hashchange", () => this.#follow());
    for (const view of views) view.begun?.(this);
  }

  /** Takes another scenario. */
  load(text: string, file: string): void {
    [this.text, this.file, this.change, this.pin] = [text, file, {}, undefined];
    const answer = text ? this.core.ask<Car>({ ask: "car", text, file, wide: 420, words: 40 }) : undefined;
    this.car = answer && "ok" in answer ? answer.ok : undefined;
    this.wrong = answer && !("ok" in answer) ? answer : undefined;
    this.background.giveUp();
    for (const view of this.views) view.carChanged?.(this);
    this.draw();
  }

  /** Takes what the link says, on the car that is loaded. */
  restore(): void {
    const shown = read(location.hash, this.views.map((v) => v.word), this.car);
    [this.change, this.pin] = [shown.change ?? {}, shown.pin];
    this.#enter(this.views.find((v) => v.word === shown.view) ?? this.view);
    this.draw();
  }

  /** Changes the job, or what is kept for comparison. */
  alter(change: Change, pin: Change | undefined = this.pin): void {
    [this.change, this.pin] = [change, pin];
    this.draw();
  }

  /** The job as changed, run through. */
  run(change: Change = this.change): Answer<Run> {
    return this.core.ask<Run>({ ask: "run", text: this.text, file: this.file, change });
  }

  show(view: View): void {
    this.#enter(view);
    this.draw();
    scrollTo(0, 0);
  }

  /** Says a sentence to who does not see what has changed. */
  say(text: string): void {
    const place = this.#root.querySelector(".said");
    if (place) place.textContent = text;
  }

  draw(): void {
    const title = this.car?.title ?? "";
    const page = html`
      <header class="top">
        <strong>Farwheel</strong> <bdi class="title" title=${title}>${title}</bdi>
        <nav aria-label="Views">${this.views.map((view) => this.#tab(view))}</nav>
      </header>
      <main class=${this.view.word}>${this.view.draw(this)}</main>
      ${cautions}
      <p class="said" role="status" aria-live="polite"></p>`;
    render(page, this.#root);
    document.title = [this.view.name, title, "Farwheel"].filter(Boolean).join(" · ");
    const link = this.#link(this.view);
    if (link !== location.hash) history.replaceState(null, "", link);
  }

  #tab(view: View): TemplateResult {
    const current = view === this.view ? "page" : nothing;
    return html`<a class="tab" href=${this.#link(view)} aria-current=${current}><span class="wide">${view.name}</span><span class="narrow">${view.short}</span></a>`;
  }

  #link(view: View): string {
    return written({ view: view.word, change: this.change, pin: this.pin });
  }

  /** Goes where a link of the page leads, or one that somebody wrote. */
  #follow(): void {
    if (location.hash === this.#link(this.view)) return;
    const before = this.view;
    this.restore();
    if (this.view !== before) scrollTo(0, 0);
  }

  #enter(view: View): void {
    if (view === this.view) return;
    this.view.left?.(this);
    this.view = view;
    view.entered?.(this);
  }
}
