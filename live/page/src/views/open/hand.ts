// A job that the hand drives: which wheel, open or shut, what came of it. Knows no page and no clock.
import { whyNot } from "../../words.ts";
import type { Car, Change, Run } from "../../asked.ts";
import type { Answer } from "../../core.ts";
import type { Closed, Now } from "./asked.ts";

/** Who answers questions. */
export interface Asks {
  ask<T>(question: object): Answer<T>;
}

/** What the job is about. */
export interface Subject {
  text: string;
  file: string;
  change: Change;
  car: Car;
}

/** Shut; open as long as it is held; open until the next tap. */
export type State = "shut" | "held" | "locked";

/** Held for less, ms, it was a tap. */
export const TAP_MS = 300;

export class Hand {
  readonly subject: Subject;
  readonly #core: Asks;
  /** In the order in which they are proposed. */
  readonly bleeders: string[];
  state: State = "shut";
  /** The bleeder that is opened next, or is open. */
  wheel: string;
  now: Now | undefined;
  /** Every opening, in the order in which they were closed. */
  closed: Closed[] = [];
  /** Why it does not go on. */
  trouble: string | undefined;
  /** What the job comes to if it ends here, and what the program's own job does. */
  record: Run["record"] | undefined;
  own: Run["record"] | undefined;
  #pressed = 0;

  constructor(core: Asks, subject: Subject) {
    [this.#core, this.subject] = [core, subject];
    const all = subject.car.opened_together.flat();
    const first = (subject.change.order ?? []).filter((b) => all.includes(b));
    this.bleeders = [...first, ...all.filter((b) => !first.includes(b))];
    this.wheel = this.bleeders[0] ?? "";
    // The wheels are chosen here one by one: an order that is only begun would end the job early.
    const { order, ...rest } = subject.change;
    const change = order?.length === all.length ? subject.change : rest;
    this.#take(this.#ask({ do: "begin", text: subject.text, file: subject.file, change }));
    if (this.trouble) return;
    const own = core.ask<Run>({ ask: "run", text: subject.text, file: subject.file, change });
    this.own = "ok" in own ? own.ok.record : undefined;
  }

  get open(): boolean {
    return this.state !== "shut";
  }

  get last(): Closed | undefined {
    return this.closed.at(-1);
  }

  get dry(): boolean {
    return this.now?.ran_dry ?? false;
  }

  opened(bleeder: string): boolean {
    return this.closed.some((c) => c.opening.bleeder === bleeder);
  }

  /** Whether every bleeder was open once. */
  get done(): boolean {
    return this.bleeders.every((b) => this.opened(b));
  }

  choose(bleeder: string): void {
    if (!this.open && !this.dry) this.wheel = bleeder;
  }

  /** Down on the handle. */
  press(at_ms: number): void {
    if (this.state === "locked") return this.close();
    if (this.open || this.dry) return;
    this.trouble = undefined;
    this.#take(this.#ask({ do: "open", job: this.now?.job, bleeder: this.wheel }));
    if (this.trouble) return;
    [this.state, this.#pressed] = ["held", at_ms];
  }

  /** Off the handle: a short tap leaves it open. */
  release(at_ms: number): void {
    if (this.state !== "held") return;
    if (at_ms - this.#pressed < TAP_MS) this.state = "locked";
    else this.close();
  }

  /** What holds it open is no longer there, and was no tap. */
  letGo(): void {
    if (this.state === "held") this.close();
  }

  /** Lets it run for some seconds of its own time. */
  advance(seconds: number): void {
    if (!this.open || seconds < 1e-6) return;
    this.#take(this.#ask({ do: "advance_s", job: this.now?.job, seconds }));
  }

  close(): void {
    if (this.open) this.#take(this.#ask({ do: "close", job: this.now?.job }));
  }

  /** What the procedure does next beside opening. */
  step(): void {
    if (this.open || this.dry) return;
    this.#take(this.#ask({ do: "step", job: this.now?.job }));
    this.#sum();
  }

  drop(): void {
    if (this.now) this.#core.ask({ ask: "by_hand", do: "drop", job: this.now.job });
  }

  #ask(what: object): Answer<Now> {
    return this.#core.ask<Now>({ ask: "by_hand", ...what });
  }

  #take(answer: Answer<Now>): void {
    if (!("ok" in answer)) {
      this.trouble = whyNot(answer);
      this.state = "shut";
      return;
    }
    this.now = answer.ok;
    const { closed } = answer.ok;
    if (!closed) return;
    this.state = "shut";
    this.closed.push(closed);
    this.wheel = this.bleeders.find((b) => !this.opened(b)) ?? this.wheel;
    this.#sum();
  }

  #sum(): void {
    const answer = this.#core.ask<{ record: Run["record"] }>({ ask: "by_hand", do: "record", job: this.now?.job });
    if ("ok" in answer) this.record = answer.ok.record;
    else this.trouble = whyNot(answer);
  }
}
