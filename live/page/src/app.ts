// The page as a whole: which car, what was changed, which view; everything is drawn from here.
import { html, nothing, render, type TemplateResult } from "lit-html";
import type { Car, Change, Run } from "./asked.ts";
import type { Background } from "./background.ts";
import { cautions } from "./cautions.ts";
import type { Answer, Core } from "./core.ts";
import { read, show as showLink, written } from "./link.ts";

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

/** How large the map of a car is asked for. */
export const MAP = { wide: 420 };

export class App {
  readonly core: Core;
  readonly background: Background;
  readonly views: View[];
  /** The scenario; empty if there is none yet. */
  text = "";
  file = "";
  /** What was changed in the job: set it with `alter`. */
  change: Change = {};
  /** A job kept for comparison: set it with `keep`. */
  pin: Change | undefined;
  /** What it is; `undefined` without one, or if it has mistakes. */
  own: Car | undefined;
  /** The same, its lines joined as `change` has them. */
  car: Car | undefined;
  /** Its mistakes, or why it cannot be read. */
  wrong: Answer<Car> | undefined;
  view: View;
  #root: HTMLElement;
  #written = "";

  constructor(core: Core, background: Background, views: View[], root: HTMLElement) {
    [this.core, this.background, this.views, this.#root] = [core, background, views, root];
    this.view = views[0]!;
    addEventListener("hashchange", () => this.#follow());
    for (const view of views) view.begun?.(this);
  }

  /** Takes another scenario. */
  load(text: string, file: string, change: Change = {}): void {
    this.#take(text, file, change);
    this.draw();
  }

  /** Begins with a scenario, at a view or as a link says; nothing is drawn before that. */
  begin(text: string, file: string, view: View, link: string): void {
    this.#take(text, file, {});
    this.#enter(view);
    if (link.length > 1) this.#read(link);
    this.draw();
  }

  #take(text: string, file: string, change: Change): void {
    [this.text, this.file, this.change, this.pin] = [text, file, {}, undefined];
    const answer = text ? this.ask({}) : undefined;
    this.own = this.car = answer && "ok" in answer ? answer.ok : undefined;
    this.wrong = answer && !("ok" in answer) ? answer : undefined;
    this.#change(change);
    this.background.giveUp();
    for (const view of this.views) view.carChanged?.(this);
  }

  #change(change: Change): void {
    const { split } = change;
    const told = split && split !== this.change.split ? this.ask({ split }) : undefined;
    if (told) this.car = "ok" in told ? told.ok : this.own;
    else if (!split) this.car = this.own;
    this.change = change;
  }

  #read(link: string): void {
    const shown = read(link, this.views.map((v) => v.word), this.car);
    this.#change(shown.change ?? {});
    this.pin = shown.pin;
    this.#enter(this.views.find((v) => v.word === shown.view) ?? this.view);
  }

  /** Takes what the link says, on the car that is loaded. */
  restore(): void {
    this.#written = "";
    this.#read(location.hash);
    this.draw();
  }

  /** Changes the job. */
  alter(change: Change): void {
    this.#change(change);
    this.draw();
  }

  /** Keeps a job for comparison, or none any more. */
  keep(pin: Change | undefined): void {
    this.pin = pin;
    this.draw();
  }

  /** What the car is, with another supply or joined otherwise. */
  ask(of: Pick<Change, "supply" | "split">): Answer<Car> {
    return this.core.ask<Car>({ ask: "car", text: this.text, file: this.file, ...of, ...MAP });
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
    // Only what has changed here: a link just followed is still to be heard of.
    if (link !== this.#written && link !== location.hash) showLink(link);
    this.#written = link;
  }

  #tab(view: View): TemplateResult {
    const current = view === this.view ? "page" : nothing;
    // In a frame without an address of its own the link would lead out of it.
    const go = (e: Event) => {
      if (location.protocol !== "about:") return;
      e.preventDefault();
      this.show(view);
    };
    return html`<a class="tab" href=${this.#link(view)} aria-current=${current} @click=${go}><span class="wide">${view.name}</span><span class="narrow">${view.short}</span></a>`;
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
