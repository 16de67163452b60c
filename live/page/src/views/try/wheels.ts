// What the wheels on the map say.
import type { Run } from "../../asked.ts";
import type { Tire } from "../../map.ts";

/** Wheels whose bleeders are opened together, each with its place in the order and what it drained. */
export interface Wheel {
  names: string[];
  place: number | undefined;
  drained_ml: number | undefined;
}

export function wheelsOf(groups: readonly string[][], order: readonly string[], run: Run | undefined): Wheel[] {
  const places = groups.map((g) => order.findIndex((name) => g.includes(name)));
  const taken = places.filter((p) => p >= 0).sort((a, b) => a - b);
  return groups.map((names, i) => {
    const openings = run?.record.openings.filter((o) => names.includes(o.bleeder)) ?? [];
    const place = places[i]! < 0 ? undefined : taken.indexOf(places[i]!) + 1;
    return { names, place, drained_ml: openings.length ? openings.reduce((sum, o) => sum + o.drained_ml, 0) : undefined };
  });
}

/** What a tire on the map says. */
export function tire(all: readonly Wheel[], name: string): Tire {
  const wheel = all.find((w) => w.names.includes(name));
  if (wheel?.place === undefined) return { state: "free" };
  const { place: turn, drained_ml: ml } = wheel;
  return ml === undefined ? { state: "coming", turn } : { state: "done", turn, ml };
}
