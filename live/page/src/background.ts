// Questions that take long: asked of a worker, one after another; one that is no longer wanted ends with its worker.
import type { Answer } from "./core.ts";

export class Background {
  readonly #module: WebAssembly.Module;
  readonly #script: string;
  #worker: Worker | undefined;
  #asked = 0;
  #waiting = new Map<number, (answer: Answer<unknown>) => void>();

  constructor(module: WebAssembly.Module, script: string) {
    this.#module = module;
    this.#script = script;
  }

  /** Asks; `undefined` if it was given up meanwhile. */
  ask<T>(question: object): Promise<Answer<T> | undefined> {
    const id = ++this.#asked;
    return new Promise((told) => {
      this.#waiting.set(id, told as (answer: Answer<unknown>) => void);
      this.#begun().postMessage({ id, question });
    });
  }

  /** Gives up all that has been asked and not answered. */
  giveUp(): void {
    if (this.#waiting.size === 0) return;
    this.#worker?.terminate();
    this.#worker = undefined;
    for (const told of this.#waiting.values()) (told as (answer?: Answer<unknown>) => void)(undefined);
    this.#waiting.clear();
  }

  #begun(): Worker {
    if (this.#worker) return this.#worker;
    const address = URL.createObjectURL(new Blob([this.#script], { type: "text/javascript" }));
    const worker = new Worker(address);
    URL.revokeObjectURL(address);
    worker.onmessage = ({ data }: MessageEvent<{ id: number; answer: Answer<unknown> }>) => {
      this.#waiting.get(data.id)?.(data.answer);
      this.#waiting.delete(data.id);
    };
    worker.postMessage({ module: this.#module });
    this.#worker = worker;
    return worker;
  }
}
