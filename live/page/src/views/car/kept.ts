// Cars kept in this browser, only when somebody asks for it.
import { free } from "./names.ts";

/** As much of the browser's storage as is used. */
export interface Shelf {
  readonly length: number;
  key(at: number): string | null;
  getItem(name: string): string | null;
  setItem(name: string, value: string): void;
  removeItem(name: string): void;
}

const BEFORE = "farwheel car ";

export class Kept {
  #storage: Shelf | undefined;

  /** Tries whether anything stays: a browser may refuse at the first look, or at the first word written. */
  constructor(of: () => Shelf | undefined | null) {
    try {
      const storage = of();
      const probe = "farwheel tries";
      storage?.setItem(probe, "1");
      if (storage?.getItem(probe) === "1") this.#storage = storage;
      storage?.removeItem(probe);
    } catch {
      this.#storage = undefined;
    }
  }

  get works(): boolean {
    return this.#storage !== undefined;
  }

  names(): string[] {
    const all: string[] = [];
    try {
      for (let at = 0; at < (this.#storage?.length ?? 0); at++) {
        const name = this.#storage?.key(at);
        if (name?.startsWith(BEFORE)) all.push(name.slice(BEFORE.length));
      }
    } catch {
      // Refused meanwhile: nothing can be listed.
    }
    return all.sort();
  }

  text(name: string): string | undefined {
    try {
      return this.#storage?.getItem(BEFORE + name) ?? undefined;
    } catch {
      return undefined;
    }
  }

  /** Keeps it under this name, or if that is taken by another text, under one beside it; `undefined` if it did not stay. */
  keep(name: string, text: string): string | undefined {
    try {
      const as = this.text(name) === text ? name : free(name, this.names());
      this.#storage?.setItem(BEFORE + as, text);
      return this.text(as) === text ? as : undefined;
    } catch {
      return undefined;
    }
  }

  remove(name: string): void {
    try {
      this.#storage?.removeItem(BEFORE + name);
    } catch {
      // Refused meanwhile: the list shows that it is still there.
    }
  }
}
