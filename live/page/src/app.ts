// The page as a whole: which car, what was changed, which view; everything is drawn from here.
import { html, render, type TemplateResult } from "lit-html";
import type { Car, Change, Run } from "./asked.ts";
import type { Background } from "./background.ts";
import type { Answer, Core } from "./core.ts";

/** A view of the page. */
export interface View {
  /** Its word in the link. */
  word: string;
  /** Its name, on a wide screen and on a narrow one. */
  name: string;
  short: string;
  /** Draws it. Called again whenever anything has changed. */
  draw(app: App): TemplateResult;
  /** Called when the car or the text has changed, before it is drawn. */
  carChanged?(app: App): void;
}

export class App {
  readonly core: Core;
  readonly background: Background;
  readonly views: View[];
  /** The scenario; empty if there is none yet. */
  text = "";
  file = "";
  change: Change = {};
  /** What it is; `undefined` without one, or if it has mistakes. */
  car: Car | undefined;
  /** Its mistakes, or why it cannot be read. */
  wrong: Answer<Car> | undefined;
  view: View;
  #root: HTMLElement;

  constructor(core: Core, background: Background, views: View[], root: HTMLElement) {
    [this.core, this.background, this.views, this.#root] = [core, background, views, root];
    this.view = views[0]!;
  }

  /** Takes another scenario. */
  load(text: string, file: string): void {
    [this.text, this.file, this.change] = [text, file, {}];
    const answer = text ? this.core.ask<Car>({ ask: "car", text, file, wide: 420 }) : undefined;
    this.car = answer && "ok" in answer ? answer.ok : undefined;
    this.wrong = answer && !("ok" in answer) ? answer : undefined;
    this.background.giveUp();
    for (const view of this.views) view.carChanged?.(this);
    this.draw();
  }

  /** The job as changed, run through. */
  run(change: Change = this.change): Answer<Run> {
    return this.core.ask<Run>({ ask: "run", text: this.text, file: this.file, change });
  }

  show(view: View): void {
    this.view = view;
    this.draw();
    scrollTo(0, 0);
  }

  draw(): void {
    const tab = (view: View) => html`<button type="button" class="tab" aria-current=${view === this.view ? "page" : "false"} @click=${() => this.show(view)}><span class="wide">${view.name}</span><span class="narrow">${view.short}</span></button>`;
    const page = html`
      <header class="top">
        <strong>Farwheel</strong> <bdi class="title" title=${this.car?.title ?? ""}>${this.car?.title ?? ""}</bdi>
        <nav aria-label="Views">${this.views.map(tab)}</nav>
      </header>
      <main>${this.view.draw(this)}</main>`;
    render(page, this.#root);
  }
}
