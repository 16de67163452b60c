// What takes many jobs: asked in the background once nothing has been touched for a while, kept as long as the car stays.
import type { App } from "../../app.ts";
import type { Change } from "../../asked.ts";
import type { Beside, Decides } from "./asked.ts";

/** So long nothing may be touched, ms. */
const PAUSE_MS = 250;
/** Answers that are kept. */
const KEPT = 60;

/** An answer, whether it is of what is asked now or of what was asked before, or why there is none. */
export interface Told<T> {
  answer: T | undefined;
  late: boolean;
  error: string;
}

export class Studies {
  #known = new Map<string, { ok: unknown } | { error: string }>();
  /** By kind what was told last. */
  #last = new Map<string, unknown>();
  /** What is being asked, or will be after the pause. */
  #asking = new Set<string>();
  #timer: ReturnType<typeof setTimeout> | undefined;
  /** How far what is being asked is: ", 41 of 62 done"; nothing as long as nobody knows. */
  progress = "";

  /** Forgets all of it: another car. */
  forget(): void {
    this.rest();
    this.#known.clear();
    this.#last.clear();
  }

  /** Asks for nothing more. */
  rest(): void {
    clearTimeout(this.#timer);
    this.#asking = new Set();
    this.progress = "";
  }

  /** What decides; `kind` tells one use from the other. */
  decides(kind: string, change: Change): Told<Decides> {
    return this.#told(kind, decidesOf(change));
  }

  /** The job beside another. */
  beside(change: Change, other: Change): Told<Beside> {
    return this.#told("beside", besideOf(change, other));
  }

  #told<T>(kind: string, question: object): Told<T> {
    const known = this.#known.get(JSON.stringify(question));
    if (known && "ok" in known) this.#last.set(kind, known.ok);
    if (known && "error" in known) return { answer: undefined, late: false, error: known.error };
    return { answer: this.#last.get(kind) as T | undefined, late: !known, error: "" };
  }

  /** Sees to it that all of these come to be known, in this order. */
  want(app: App, questions: object[]): void {
    const missing = questions.filter((q) => !this.#known.has(JSON.stringify(q)));
    if (missing.every((q) => this.#asking.has(JSON.stringify(q)))) return;
    clearTimeout(this.#timer);
    const asking = new Set(missing.map((q) => JSON.stringify(q)));
    this.#asking = asking;
    this.#timer = setTimeout(() => void this.#ask(app, missing, asking), PAUSE_MS);
  }

  async #ask(app: App, questions: object[], asking: Set<string>): Promise<void> {
    app.background.giveUp();
    for (const question of questions) {
      const answer = await app.background.ask({ ...question, text: app.text, file: app.file }, (done, of) => {
        if (this.#asking !== asking) return;
        this.progress = `, ${done} of ${of} done`;
        app.draw();
      });
      if (this.#asking !== asking) return;
      this.progress = "";
      // Given up by somebody else: to be asked again when it is wanted again.
      if (!answer) return this.rest();
      const kept = "mistakes" in answer ? { error: "The scenario has mistakes." } : answer;
      this.#known.set(JSON.stringify(question), kept);
      if (this.#known.size > KEPT) this.#known.delete(this.#known.keys().next().value!);
      app.draw();
    }
  }
}

export const decidesOf = (change: Change): object => ({ ask: "decides", change });
export const besideOf = (change: Change, other: Change): object => ({ ask: "beside", change, other });
