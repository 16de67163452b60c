// What the view Car knows besides the car itself: answers, what is open, what is being written.
import { MAP, type App } from "../../app.ts";
import type { Car } from "../../asked.ts";
import type { Answer, Mistake } from "../../core.ts";
import { read, written } from "../../link.ts";
import { Kept, type Shelf } from "./kept.ts";
import { unix } from "./lines.ts";
import { fileName, titled } from "./names.ts";
import type { Described, Sure, Wrong } from "./told.ts";

export type Part = "questions" | "text" | "files";

/** So many texts are set aside when another takes their place. */
const MOST_EARLIER = 20;
const DRAWS = 100;
/** Typing and tapping pause so long before what takes long is asked, ms. */
const PAUSE = 300;

export class State {
  part: Part = "questions";
  uk = false;
  more = false;
  /** Answers by question, those kept that are not asked after the others. */
  given = new Map<string, string>();
  told: Described | undefined;
  /** The question that is open. */
  row: string | undefined = "kind";
  /** What is wrong with what was typed into it last. */
  wrong: Wrong | undefined;
  /** Whether the car was written or changed by hand, so that an answer would write it over. */
  byHand = false;
  /** Whether a text by hand was described before. */
  described = false;
  /** The text as it is being written; `undefined` if it is the car's. */
  draft: string | undefined;
  /** What is wrong with the text in the field. */
  mistakes: { list: Mistake[]; left_out: number } = { list: [], left_out: 0 };
  error = "";
  checked = true;
  /** Texts whose place another took. */
  earlier: { text: string; file: string }[] = [];
  sure: Answer<Sure> | "asked" | undefined;
  /** A sentence about files, said until the next. */
  note = "";
  /** The text laid out to be copied by hand. */
  copy = false;
  /** The kept car that a second tap deletes. */
  deleting: string | undefined;
  #mine = false;
  /** The file's name, if it was given here. */
  #named = "";
  #check: ReturnType<typeof setTimeout> | undefined;
  #later: ReturnType<typeof setTimeout> | undefined;

  readonly #storage: () => Shelf | null | undefined;
  #kept: Kept | undefined;

  constructor(storage: () => Shelf | null | undefined) {
    this.#storage = storage;
  }

  /** What the browser keeps: tried when it is first to be seen. */
  get kept(): Kept {
    return (this.#kept ??= new Kept(this.#storage));
  }

  /** Another car was loaded, here or elsewhere. */
  carChanged(app: App): void {
    this.sure = undefined;
    [this.draft, this.checked] = [undefined, true];
    this.#judge(app.wrong);
    if (!this.#mine) this.#answersOf(app);
    this.askSure(app);
  }

  /** Answers a question, or with `undefined` says that nobody knows. Whether the answer was taken. */
  answer(app: App, id: string, text: string | undefined): boolean {
    const given = new Map(this.given);
    if (text === undefined) given.delete(id);
    else given.set(id, text);
    const told = this.#describe(app, given);
    const wrong = "ok" in told ? told.ok.wrong.find((w) => w.id === id) : { id, what: "error" in told ? told.error : "", remedy: "" };
    this.wrong = wrong;
    if (wrong || !("ok" in told)) {
      app.draw();
      app.say(wrong ? sentence(wrong) : "");
      return false;
    }
    if (this.draft !== undefined && this.draft !== unix(app.text)) this.#setAside(app);
    [this.given, this.told, this.byHand] = [given, told.ok, false];
    this.#mine = true;
    try {
      // The file's name follows the kind of car until somebody gives it another.
      const ours = !app.file || app.file === this.#named;
      if (ours) this.#named = titled(given.get("kind") ?? "car");
      this.take(app, told.ok.text, ours ? this.#named : app.file);
    } finally {
      this.#mine = false;
    }
    app.say(counted(told.ok));
    return true;
  }

  /** Takes a text as the car; what was changed in the job stays where it fits. */
  take(app: App, text: string, file: string): void {
    const { change, pin } = app;
    const before = written({ view: app.view.word, change, pin });
    app.load(text, file);
    if (!Object.keys(change).length && !pin) return;
    const kept = read(before, [], app.car);
    app.pin = kept.pin;
    app.alter(kept.change ?? {});
  }

  /** Takes a text in the place of another, which is set aside. */
  replace(app: App, text: string, file: string): void {
    if ((this.draft ?? app.text) !== text) this.#setAside(app);
    this.take(app, text, fileName(file));
  }

  /** Takes the text that was set aside last; that in its place goes behind all others. */
  back(app: App): void {
    const last = this.earlier.pop();
    if (!last) return;
    const text = this.draft ?? app.text;
    if (text) this.earlier.unshift({ text, file: app.file });
    this.take(app, last.text, last.file);
  }

  /** Keeps the text whose place another is to take, as it is being written. */
  #setAside(app: App): void {
    const text = this.draft ?? app.text;
    if (text) this.earlier = [...this.earlier, { text, file: app.file }].slice(-MOST_EARLIER);
  }

  /** Begins a description anew, or goes on with the answers that a text changed by hand was made of. */
  describeAgain(app: App): void {
    this.#setAside(app);
    this.byHand = false;
    [this.row, this.wrong] = ["kind", undefined];
    this.given.size ? this.answer(app, "kind", this.given.get("kind")) : app.draw();
  }

  /** The text as it is being written. */
  write(app: App, text: string): void {
    [this.draft, this.checked] = [text, false];
    clearTimeout(this.#check);
    this.#check = setTimeout(() => this.check(app), PAUSE);
    app.draw();
  }

  /** Looks the text over. */
  check(app: App): void {
    clearTimeout(this.#check);
    if (this.draft === undefined) return;
    const answer = app.core.ask<Car>({ ask: "car", text: this.draft, file: app.file || "car.toml", ...MAP });
    this.checked = true;
    this.#judge("ok" in answer ? undefined : answer);
    app.draw();
    app.say(this.judged);
  }

  /** Whether the text may be used. */
  get right(): boolean {
    return this.checked && !this.mistakes.list.length && !this.error;
  }

  get judged(): string {
    const n = this.mistakes.list.length + this.mistakes.left_out;
    if (!this.checked) return "Being looked over.";
    if (this.error) return this.error;
    return n === 0 ? "No mistakes." : n === 1 ? "1 mistake." : `${n} mistakes.`;
  }

  /** Ranges take many jobs: asked for once nobody has changed anything for a while, and only while they are to be seen. */
  askSure(app: App): void {
    clearTimeout(this.#later);
    if (!app.car || app.view.word !== "car" || (this.sure && this.sure !== "asked")) return;
    this.sure = "asked";
    const { text, file } = app;
    this.#later = setTimeout(async () => {
      const answer = await app.background.ask<Sure>({ ask: "sure", text, file, draws: DRAWS });
      if (text !== app.text) return;
      // Given up for something else: asked again when it is to be seen.
      this.sure = answer;
      app.draw();
    }, PAUSE);
  }

  #judge(wrong: Answer<unknown> | undefined): void {
    this.mistakes = wrong && "mistakes" in wrong ? wrong.mistakes : { list: [], left_out: 0 };
    this.error = wrong && "error" in wrong ? wrong.error : "";
  }

  #describe(app: App, given: Map<string, string>): Answer<Described> {
    return app.core.ask<Described>({ ask: "describe", answers: [...given].map(([id, text]) => `${id} = ${text}`) });
  }

  /** Takes the answers that the car was described with. */
  #answersOf(app: App): void {
    const of = app.text ? app.core.ask<Described>({ ask: "describe", text: app.text, file: app.file }) : undefined;
    const told = of && "ok" in of ? of.ok : undefined;
    this.described = told?.described ?? false;
    this.byHand = app.text !== "" && (!told?.described || told.changed_by_hand === true);
    const halves = (text: string): [string, string] => [text.slice(0, text.indexOf(" = ")), text.slice(text.indexOf(" = ") + 3)];
    this.given = new Map(told?.answers.map(halves));
    const fresh = this.#describe(app, this.given);
    this.told = told ?? ("ok" in fresh ? fresh.ok : undefined);
    [this.row, this.wrong] = [app.text ? undefined : "kind", undefined];
    if (app.wrong) this.part = "text";
  }
}

/** The headline: what was answered, what is guessed. */
export const counted = ({ answered, guessed }: Described): string =>
  `${plural(answered, "answer")}, ${plural(guessed, "guess", "guesses")}: enough to run.`;

export const plural = (n: number, one: string, many = `${one}s`): string => `${n === 0 ? "no" : n} ${n === 1 ? one : many}`;

/** What is wrong, and what would be right. */
export const sentence = ({ what, remedy }: { what: string; remedy: string }): string => (remedy ? `${what}; ${remedy}` : what);
