// In which order the bleeders are opened, tap by tap.

/** What the order becomes when a wheel is tapped: its bleeder comes next, or all that are opened together with it. */
export function tap(order: readonly string[], wheel: readonly string[], all: number): string[] {
  if (order.length >= all) return [...wheel];
  if (wheel.some((name) => order.includes(name))) return order.filter((name) => !wheel.includes(name));
  return [...order, ...wheel];
}

const same = (a: readonly string[], b: readonly string[]): boolean =>
  a.length === b.length && a.every((name, i) => name === b[i]);

/** Whether two orders open the same wheels one after another, whichever of those opened together is named first. */
export function alike(a: readonly string[], b: readonly string[], wheels: readonly (readonly string[])[]): boolean {
  const turns = (order: readonly string[]) => [...new Set(order.map((name) => String(wheels.findIndex((w) => w.includes(name)))))];
  return same(turns(a), turns(b));
}
