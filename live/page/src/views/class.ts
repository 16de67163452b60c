// Class: guess first, then two orders side by side; ten questions that are drawn by a seed.
import { html, nothing, type TemplateResult } from "lit-html";
import type { App, View } from "../app.ts";
import type { Car } from "../asked.ts";
import { whyNot } from "../words.ts";
import type { Class, Quiz, Said } from "./class/asked.ts";
import { nothingYet } from "./nothing.ts";
import { guess } from "./class/guess.ts";
import { bars, lying, maps, stepper } from "./class/orders.ts";
import { type Asked, question } from "./class/quiz.ts";
import { sheet } from "./class/sheet.ts";
import { time } from "./class/time.ts";
import { bins, compared, headline, points } from "./class/words.ts";

/** Sets have four figures: short enough to be called out. */
const SETS = 10_000;

/** Of what the answers are: another car, or another job, is another class. */
let about = "";
let both: Class | undefined;
let wrong = "";
let hands = [0, 0, 0];
let shown = false;
let after = 0;
let large: boolean | undefined;
let quiz: Quiz | undefined;
let asked: Asked[] = [];
/** Which question is shown; none: the two orders. */
let at: number | undefined;
let name = "";
let asking = false;

let watched = false;

/** Draws anew where the maps come to stand otherwise. */
function watch(app: App): void {
  if (watched) return;
  watched = true;
  lying.addEventListener("change", () => app.view === classView && app.draw());
}

export const classView: View = {
  word: "class",
  name: "Class",
  short: "Class",
  draw(app) {
    watch(app);
    large ??= matchMedia("(min-width: 1000px)").matches;
    return html`<div class=${large ? "class large" : "class"}>${app.car ? page(app, app.car) : nothingYet(app)}</div>`;
  },
};

/** The job of which the class speaks: an order that was tapped elsewhere is another matter. */
const change = (app: App): object => ({ ...app.change, order: undefined });

function page(app: App, car: Car): TemplateResult {
  const now = JSON.stringify([app.text, change(app)]);
  if (now !== about) {
    about = now;
    [both, wrong, hands, shown, after] = [undefined, "", [0, 0, 0], false, 0];
    [quiz, asked, at] = [undefined, [], undefined];
    void run(app);
  } else if (!both && !wrong) void run(app);
  if (wrong) return html`<h1>There is no answer.</h1><p>${wrong}</p>`;
  if (at !== undefined && quiz) return questions(app, quiz, at);
  return both ? orders(app, car, both) : html`<h1>Does the order matter?</h1><p class="about">Both orders are being run.</p>`;
}

async function ask<T>(app: App, what: object): Promise<T | undefined> {
  const of = about;
  const answer = await app.background.ask<T>({ ...what, text: app.text, file: app.file, change: change(app) });
  if (of !== about || !answer) return undefined;
  if ("ok" in answer) return answer.ok;
  wrong = whyNot(answer);
  return undefined;
}

/** Asks, again if it was given up meanwhile, as long as it is looked at. */
async function run(app: App): Promise<void> {
  if (asking) return;
  asking = true;
  both = await ask<Class>(app, { ask: "class" });
  asking = false;
  if (app.view === classView) app.draw();
}

async function begin(app: App, seed: number): Promise<void> {
  const drawn = await ask<Quiz>(app, { ask: "quiz", seed });
  if (drawn) {
    quiz = drawn;
    asked = drawn.questions.map(() => ({ draft: undefined, said: undefined, points: 0 }));
    go(app, 0);
  } else if (wrong) app.draw();
}

function orders(app: App, car: Car, c: Class): TemplateResult {
  const redraw = (): void => app.draw();
  const total = c.orders.length ? compared(c, 0) : 0;
  const apart = Math.abs(c.apart?.ml ?? 0);
  const what = c.compared_by === "old_left" ? "mL of old fluid left" : "mL drained";
  const choices = bins(total).map((b, i) => ({ words: b.words, hands: hands[i]!, right: apart >= b.from && apart < b.to }));
  const hand = (bin: number, by: number): void => {
    hands[bin] = Math.min(99, Math.max(0, hands[bin]! + by));
    redraw();
  };
  const show = (): void => {
    [shown, after] = [true, Math.max(after, 1)];
    redraw();
    app.say(headline(c));
  };
  const one = c.orders.length < 2;
  return html`<div class="head"><h1>${shown || one ? headline(c) : "Does the order matter?"}</h1>${size(app)}</div>
    ${one ? nothing : html`<div class="guess"><p><strong>${shown ? "We guessed." : "Guess first."}</strong> <span>How far apart are far wheel first and near wheel first, of ${total.toFixed(0)} ${what}?</span></p>${guess(choices, shown, hand)}</div>`}
    ${c.orders.flatMap((o) => o.stops).slice(0, 1).map((stop) => html`<p class="stops"><strong>As the scenario says, the job must be stopped:</strong> ${stop} The figures are those of a supply that holds enough.</p>`)}
    ${shown || one ? maps(car, c, after) : nothing}
    <div class="row">${shown || one ? stepper(c, after, (to) => {
      after = to;
      redraw();
    }) : nothing}
      <div class="doing">${one ? nothing : shown ? html`<button type="button" @click=${() => {
        shown = false;
        redraw();
      }}>Hide the answer</button>` : html`<button type="button" class="chief" @click=${show}>Show the answer</button>`}
      <button type="button" class=${shown || one ? "chief" : ""} @click=${() => (quiz ? go(app, next()) : void begin(app, draw()))}>${quiz ? "Back to the questions" : "Ten questions"}</button></div></div>
    ${shown || one ? html`${bars(c)}${time(c)}` : nothing}
    ${set(app)}`;
}

function size(app: App): TemplateResult {
  return html`<button type="button" class="size" aria-pressed=${large ? "true" : "false"} @click=${() => {
    large = !large;
    app.draw();
  }}>Large type</button>`;
}

/** A set can be asked for by its number, so that a whole class has the same one. */
function set(app: App): TemplateResult {
  const take = (event: Event): void => {
    event.preventDefault();
    const field = (event.target as HTMLFormElement).elements.namedItem("set") as HTMLInputElement;
    const seed = Number(field.value);
    field.setCustomValidity(Number.isInteger(seed) && seed >= 0 && seed < SETS && field.value !== "" ? "" : "A set is a number from 0 to 9999.");
    if (field.reportValidity()) void begin(app, seed);
  };
  return html`<form class="set" novalidate @submit=${take}><label>Questions of set <input name="set" type="number" inputmode="numeric" min="0" max=${SETS - 1} step="1" .value=${quiz ? String(quiz.seed) : ""} @input=${(e: Event) => (e.target as HTMLInputElement).setCustomValidity("")}></label><button type="submit">Take this set</button><span class="about">The same number gives everybody the same ten.</span></form>`;
}

const draw = (): number => crypto.getRandomValues(new Uint32Array(1))[0]! % SETS;
const next = (): number => {
  const open = asked.findIndex((a) => a.said === undefined);
  return open < 0 ? asked.length : open;
};

/** Goes to a question, or to the result behind the last; its heading is read out. */
function go(app: App, to: number | undefined): void {
  at = to;
  app.draw();
  scrollTo(0, 0);
  document.querySelector<HTMLElement>(".class .asks")?.focus();
}

function questions(app: App, q: Quiz, i: number): TemplateResult {
  const answered = asked.filter((a) => a.said !== undefined);
  const sum = answered.reduce((s, a) => s + a.points, 0);
  const foot = html`<p class="foot"><button type="button" class="plain" @click=${() => go(app, undefined)}>The two orders</button></p>`;
  if (q.questions.length === 0) return html`<h1>There is nothing to ask about this job.</h1>${foot}`;
  if (i >= q.questions.length) {
    return html`${sheet(q, asked, {
      name,
      title: app.car?.title ?? "",
      rename: (to) => {
        name = to;
        app.draw();
      },
      again: () => void begin(app, q.seed),
      others: () => void begin(app, draw()),
    })}${foot}`;
  }
  const current = asked[i]!;
  const place = { number: i + 1, of: q.questions.length, seed: q.seed, sum, answered: answered.length };
  return html`${question(q.questions[i]!, current, place, size(app), {
    draft(what) {
      current.draft = what;
      app.draw();
    },
    answer(what: Said) {
      const told = app.core.ask<{ points: number }>({ ask: "grade", answer: q.questions[i]!.answer, said: what });
      if (!("ok" in told)) {
        wrong = whyNot(told);
      } else [current.said, current.points] = [what, told.ok.points];
      app.draw();
      document.querySelector<HTMLElement>(".class .next")?.focus();
      app.say(`${points(current.points)} of 1.`);
    },
    next: () => go(app, i + 1),
  })}${foot}`;
}
