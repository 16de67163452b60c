// The core, compiled to WebAssembly: a question as an object in, its answer out.

/** A mistake in a scenario's text, as the program words it. */
export interface Mistake {
  line: number;
  column: number;
  what: string;
  remedy: string;
}

/** What the core answers: `ok`, or why not. */
export type Answer<T> = { ok: T } | { mistakes: { list: Mistake[]; left_out: number } } | { error: string };

interface Exports {
  memory: WebAssembly.Memory;
  reserve(bytes: number): number;
  answer(): number;
  answered(): number;
}

/** The core in this thread. What it keeps of jobs driven by hand is gone when it has to begin anew. */
export class Core {
  readonly module: WebAssembly.Module;
  readonly #imports: WebAssembly.Imports;
  #exports: Exports;

  private constructor(module: WebAssembly.Module, instance: WebAssembly.Instance, imports: WebAssembly.Imports) {
    [this.module, this.#imports] = [module, imports];
    this.#exports = instance.exports as unknown as Exports;
  }

  /** `progress` is told how many pieces of a study are done, of how many. */
  static async begin(module: WebAssembly.Module, progress = (_done: number, _of: number): void => {}): Promise<Core> {
    const imports = { page: { progress } };
    return new Core(module, await WebAssembly.instantiate(module, imports), imports);
  }

  /** Text in, text out. */
  askText(question: string): string {
    const bytes = new TextEncoder().encode(question);
    const core = this.#exports;
    // Memory may move when it grows: first the room, then a look at it.
    const room = core.reserve(bytes.length);
    new Uint8Array(core.memory.buffer, room, bytes.length).set(bytes);
    const length = core.answer();
    return new TextDecoder().decode(new Uint8Array(core.memory.buffer, core.answered(), length));
  }

  ask<T>(question: object): Answer<T> {
    try {
      return JSON.parse(this.askText(JSON.stringify(question))) as Answer<T>;
    } catch (why) {
      // A trap leaves the instance unusable: the next question finds a new one.
      this.#exports = new WebAssembly.Instance(this.module, this.#imports).exports as unknown as Exports;
      return { error: `The model stopped: ${String(why)}. What was asked is still here; change it and try again.` };
    }
  }
}
