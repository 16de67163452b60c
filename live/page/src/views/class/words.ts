// Figures and sentences of the class.
import type { Amount, Choice, Class, Said, Stretch } from "./asked.ts";

const whole = (x: number): string => (x > 0 && x < 0.5 ? "<1" : x.toFixed(0));

/** A volume as it is said. */
export const ml = (x: number): string => `${Math.abs(x) < 9.95 && Math.abs(x) >= 0.05 ? x.toFixed(1).replace(/\.0$/, "") : whole(x)} mL`;

/** A figure with its unit. */
export const amount = (x: number, unit: string): string => `${figure(x, unit)} ${unit}`;

export const figure = (x: number, unit: string): string => (Math.abs(x) < 9.95 && unit !== "s" ? x.toFixed(1).replace(/\.0$/, "") : whole(x));

/** Minutes and seconds. */
export function clock(seconds: number): string {
  const s = Math.round(seconds);
  return `${Math.floor(s / 60)}:${String(s % 60).padStart(2, "0")}`;
}

/** Halves as they are written. */
export function points(sum: number): string {
  const full = Math.floor(sum);
  return sum === full ? String(full) : `${full || ""}½`;
}

/** What orders are compared by, of one of them. */
export const compared = (c: Class, i: number): number => {
  const order = c.orders[i]!;
  return c.compared_by === "drained" ? order.drained_ml : order.old_left_ml;
};

export function headline(c: Class): string {
  if (!c.apart) return "There is but one order here.";
  const of = c.compared_by === "old_left" ? " of old fluid" : "";
  if (!c.told_apart) return `Far first or near first: too close to tell.`;
  return `Far first or near first: ${ml(Math.abs(c.apart.ml))}${of} apart.`;
}

const ROUND = [1, 1.5, 2, 3, 4, 5, 6, 8, 10];

/** The round figure that is nearest. */
export function round(x: number): number {
  const unit = 10 ** Math.floor(Math.log10(x));
  return unit * ROUND.reduce((best, r) => (Math.abs(r * unit - x) < Math.abs(best * unit - x) ? r : best));
}

/** What may be guessed: under a thirtieth of the whole, up to a sixth, more. */
export function bins(total: number): { words: string; from: number; to: number }[] {
  const [low, high] = [round(Math.max(total, 1) / 30), round(Math.max(total, 1) / 6)];
  return [
    { words: `under ${low} mL`, from: 0, to: low },
    { words: `${low} to ${high} mL`, from: low, to: high },
    { words: `over ${high} mL`, from: high, to: Infinity },
  ];
}

/** Ticks of an axis: four to eight round figures. */
export function ticks(least: number, most: number): number[] {
  const step = [0.5, 1, 2, 5, 10, 20, 25, 50, 100, 200, 250, 500, 1000, 2000, 5000].find((s) => (most - least) / s <= 7) ?? (most - least) / 5;
  const all = [];
  for (let x = least; x <= most + 1e-9; x += step) all.push(x);
  return all;
}

/** How fine an axis is answered on. */
export const step = (most: number): number => (most <= 20 ? 0.1 : most <= 60 ? 0.5 : 1);

export function said(answer: Amount | Choice, what: Said): string {
  if (what === "too_close") return "too close to tell";
  if ("amount" in what) return answer.sort === "amount" ? amount(what.amount, answer.unit) : "";
  return answer.sort === "choice" ? (answer.options[what.option] ?? "") : "";
}

export function right(answer: Amount | Choice): string {
  if (answer.too_close) return "too close to tell";
  return answer.sort === "amount" ? amount(answer.value, answer.unit) : (answer.options[answer.right] ?? "");
}

const DOES: Record<string, string> = {
  "set up": "Set up",
  "move on": "Go to the next wheel",
  finish: "End the job",
  syringe: "Syringe out of the reservoir",
  "top up": "Top up the reservoir",
  load: "Load the supply",
  "re-pump": "Pump up the supply",
  wait: "Wait",
  "work modulator": "Work the modulator",
  relieve: "Let the pressure off",
  "set level": "Set the level",
};

/** What is done, without the names. */
export const does = (s: Stretch): string => (s.doing === "open" ? "Open" : (DOES[s.doing] ?? s.doing));
