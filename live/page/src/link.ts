// What the page shows, as the end of its link: the view, the job as changed, the job pinned.
// Like `#try&order=RF,LF&eye=0.15&pin.order=RR,LR,RF,LF`: anything that makes no sense on this car is left out.
import type { Car, Change } from "./asked.ts";

export interface Shown {
  view: string;
  change: Change;
  pin: Change | undefined;
}

/** Puts a link where the browser shows it; a frame that has no address of its own takes none. */
export function show(link: string): void {
  try {
    history.replaceState(null, "", link);
  } catch {
    // What the page shows does not hang on it.
  }
}

/** Nobody's job needs more. */
const LONGEST = 8000;

const CONTROLS: [word: string, what: string][] = [
  ["eye", "what the eye accepts"],
  ["level", "level of the reservoir"],
  ["wear", "wear of the pads"],
  ["temperature", "temperature"],
  ["gauge", "gauge pressure"],
  ["lines", "bores and lengths of the lines"],
];

export function written({ view, change, pin }: Shown): string {
  return ["#" + encodeURIComponent(view), ...members(change, ""), ...(pin ? members(pin, "pin.") : [])].join("&");
}

function members(change: Change, before: string): string[] {
  const all: string[] = [];
  const add = (word: string, text: string) => all.push(`${before}${word}=${text}`);
  if (change.order?.length) add("order", change.order.map(encodeURIComponent).join(","));
  if (change.supply !== undefined) add("supply", encodeURIComponent(change.supply));
  if (change.syringed) add("syringed", "yes");
  if (change.split !== undefined) add("split", change.split);
  if (change.worked !== undefined) add("worked", change.worked ? "yes" : "no");
  for (const [what, value] of change.set ?? []) {
    const word = CONTROLS.find((c) => c[1] === what)?.[0];
    if (word) add(word, String(Number(value.toPrecision(9))));
  }
  return all;
}

/** What a link's fragment says; `car` is what it is about. */
export function read(fragment: string, views: string[], car: Car | undefined): Partial<Shown> {
  if (fragment.length > LONGEST) return {};
  const [view = "", ...pieces] = fragment.replace(/^#/, "").split("&");
  const said = new Map<string, string>();
  for (const piece of pieces) {
    const at = piece.indexOf("=");
    if (at > 0) said.set(piece.slice(0, at), piece.slice(at + 1));
  }
  const shown: Partial<Shown> = {};
  if (views.includes(view)) shown.view = view;
  if (!car) return shown;
  shown.change = changed(said, "", car);
  const pin = changed(said, "pin.", car);
  const whole = pin.order?.length === car.opened_together.flat().length;
  shown.pin = whole ? pin : undefined;
  return shown;
}

function changed(said: Map<string, string>, before: string, car: Car): Change {
  const change: Change = {};
  const order = orderOf(said.get(before + "order"), car);
  if (order) change.order = order;
  const supply = decoded(said.get(before + "supply"));
  if (supply !== undefined && car.supplies.includes(supply)) change.supply = supply;
  const syringes = car.controls.some((c) => c.what === "emptying the reservoir by syringe");
  if (syringes && said.get(before + "syringed") === "yes") change.syringed = true;
  const split = said.get(before + "split");
  if (car.split && (split === "II" || split === "X") && split !== car.split) change.split = split;
  const worked = said.get(before + "worked");
  if (car.modulator !== null && (worked === "yes" || worked === "no")) change.worked = worked === "yes";
  const set: [string, number][] = [];
  for (const [word, what] of CONTROLS) {
    const text = said.get(before + word);
    const control = car.controls.find((c) => c.what === what);
    if (!text || !control || !Number.isFinite(Number(text))) continue;
    const [least, most] = [Math.min(control.least, control.own), Math.max(control.most, control.own)];
    set.push([what, Math.min(Math.max(Number(text), least), most)]);
  }
  if (set.length) change.set = set;
  return change;
}

function orderOf(text: string | undefined, car: Car): string[] | undefined {
  const names = text?.split(",").map(decoded);
  const bleeders = car.opened_together.flat();
  const known = names?.every((n, i): n is string => n !== undefined && bleeders.includes(n) && names.indexOf(n) === i);
  return known && names?.length ? (names as string[]) : undefined;
}

function decoded(text: string | undefined): string | undefined {
  try {
    return text === undefined ? undefined : decodeURIComponent(text);
  } catch {
    return undefined;
  }
}
