// In which order the bleeders are opened, tap by tap.

/** What the order becomes when a wheel is tapped: its bleeder comes next, or all that are opened together with it. */
export function tap(order: readonly string[], wheel: readonly string[], all: number): string[] {
  if (order.length >= all) return [...wheel];
  if (wheel.some((name) => order.includes(name))) return order.filter((name) => !wheel.includes(name));
  return [...order, ...wheel];
}

export const same = (a: readonly string[], b: readonly string[]): boolean =>
  a.length === b.length && a.every((name, i) => name === b[i]);
