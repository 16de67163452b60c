// Questions that take long: asked of a worker, one after another; one that is no longer wanted ends with its worker.
import type { Answer } from "./core.ts";

/** Who waits for an answer, and is told how far it is. */
interface Waiting {
  told(answer?: Answer<unknown>): void;
  progress?: Progress | undefined;
}

/** So many pieces of what was asked are done, of so many. */
export type Progress = (done: number, of: number) => void;

export class Background {
  readonly #module: WebAssembly.Module;
  readonly #script: string;
  #worker: Worker | undefined;
  #asked = 0;
  #waiting = new Map<number, Waiting>();

  constructor(module: WebAssembly.Module, script: string) {
    this.#module = module;
    this.#script = script;
  }

  /** Asks; `undefined` if it was given up meanwhile. */
  ask<T>(question: object, progress?: Progress): Promise<Answer<T> | undefined> {
    const id = ++this.#asked;
    return new Promise((told) => {
      this.#waiting.set(id, { told: told as Waiting["told"], progress });
      this.#begun().postMessage({ id, question });
    });
  }

  /** Gives up all that has been asked and not answered. */
  giveUp(): void {
    if (this.#waiting.size === 0) return;
    this.#worker?.terminate();
    this.#worker = undefined;
    for (const { told } of this.#waiting.values()) told();
    this.#waiting.clear();
  }

  #begun(): Worker {
    if (this.#worker) return this.#worker;
    const address = URL.createObjectURL(new Blob([this.#script], { type: "text/javascript" }));
    const worker = new Worker(address);
    URL.revokeObjectURL(address);
    worker.onmessage = ({ data }: MessageEvent<{ id: number; answer?: Answer<unknown>; done: number; of: number }>) => {
      const waiting = this.#waiting.get(data.id);
      if (!data.answer) return waiting?.progress?.(data.done, data.of);
      this.#waiting.delete(data.id);
      waiting?.told(data.answer);
    };
    worker.postMessage({ module: this.#module });
    this.#worker = worker;
    return worker;
  }
}
