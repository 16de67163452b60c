// The handle: pointer, Space and Enter hold it; what reads the page aloud can only click it, which is a tap.

export interface Handle {
  press(): void;
  release(): void;
  letGo(): void;
}

const keys = (e: KeyboardEvent): boolean => e.key === " " || e.key === "Enter";

/** What the button listens to. */
export function handle(on: Handle) {
  let byKey = false;
  let byPointer = false;
  return {
    pointerdown(e: PointerEvent): void {
      if (e.button !== 0) return;
      byPointer = true;
      (e.currentTarget as Element).setPointerCapture?.(e.pointerId);
      on.press();
    },
    pointerup: (): void => on.release(),
    pointercancel: (): void => on.letGo(),
    keydown(e: KeyboardEvent): void {
      if (!keys(e)) return;
      // No click comes of it, and no scrolling.
      e.preventDefault();
      if (e.repeat || byKey) return;
      byKey = true;
      on.press();
    },
    keyup(e: KeyboardEvent): void {
      if (!keys(e)) return;
      e.preventDefault();
      if (byKey) on.release();
      byKey = false;
    },
    blur(): void {
      if (byKey) on.letGo();
      byKey = false;
    },
    click(): void {
      // A click that no pointer made.
      if (!byPointer) {
        on.press();
        on.release();
      }
      byPointer = false;
    },
  };
}
