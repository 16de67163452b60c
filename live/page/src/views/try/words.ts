// What the view Try says, of figures that the core gave.
import type { Run } from "../../asked.ts";
import { inUnits } from "../../units.ts";
import { capital } from "../../words.ts";
import type { Beside, ByOrder, Decides } from "./asked.ts";

/** Whole millilitres; what is there is never nothing. */
export const whole = (ml: number): string => String(ml > 0 ? Math.max(1, Math.round(ml)) : 0);

/** More or less than something else. */
export function signed(ml: number): string {
  const size = Math.round(Math.abs(ml));
  if (size === 0) return "0";
  return (ml < 0 ? "−" : "+") + size;
}

/** From where to where. */
export function range(least: number, most: number): string {
  const [from, to] = [signed(least), signed(most)];
  if (from === "0" && to === "0") return "under 1";
  if (from === "0") return to;
  if (to === "0" || from === to) return from;
  return `${from} to ${to}`;
}

export function percent(fraction: number): string {
  const x = 100 * fraction;
  if (x > 0 && x < 1) return "<1";
  return x < 10 ? x.toFixed(1) : x.toFixed(0);
}

export function clock(seconds: number): { figure: string; unit: string } {
  const s = Math.round(seconds);
  const two = (n: number) => String(n).padStart(2, "0");
  if (s < 3600) return { figure: `${Math.floor(s / 60)}:${two(s % 60)}`, unit: "min" };
  return { figure: `${Math.floor(s / 3600)}:${two(Math.floor(s / 60) % 60)}`, unit: "h" };
}

/** What a job uses: what leaves the system, at the bleeders and by syringe. */
export const used = (run: Run): number => run.record.totals.drained_ml + run.record.totals.removed_ml;

export interface Said {
  text: string;
  /** On what it rests. */
  basis: string;
}

/** Whether the order matters: at equal old fluid left, against far wheel first. */
export function headline(far: Decides | undefined): Said {
  const question = "Does the order matter?";
  if (!far) return { text: question, basis: "" };
  const by = far.order;
  if (!by) return { text: `${question} There is but one.`, basis: "" };
  const of = `mL of ${whole(far.own.gone_ml)}.`;
  if (by.best_told_apart) {
    return { text: `${question} Here: ${whole(by.best_saves_ml)} ${of}`, basis: `Best of ${orders(by)} against far wheel first, same old fluid left.` };
  }
  if (by.worst_told_apart) {
    return { text: `${question} Here: up to ${whole(by.worst_costs_ml)} ${of}`, basis: `Worst of ${orders(by)} against far wheel first, which none beats; same old fluid left.` };
  }
  return { text: `${question} Not here.`, basis: `${capital(orders(by))}, same old fluid left: none is told apart from far wheel first.` };
}

const orders = (by: ByOrder): string => (by.every_order ? `${by.tried} orders` : `${by.tried} orders that were tried`);

const ORDINALS = ["first", "second", "third", "fourth", "fifth", "sixth", "seventh", "eighth", "ninth", "tenth", "eleventh", "twelfth"];

/** What to tap next. */
export function prompt(done: number): string {
  if (done === 0) return "Tap the wheel you would open first.";
  return done < ORDINALS.length ? `Now the ${ORDINALS[done]}.` : `Now number ${done + 1}.`;
}

export const MEASURE = "This is far wheel first: what the others are measured against.";

/** From here on a bottle's marks show a difference, mL. */
const MARK_ML = 10;

/** Why a job has to be stopped. */
export function stops(run: Run): string | undefined {
  const text = run.record.warnings.find((w) => w.stops_the_job)?.text;
  return text && `${capital(inUnits(text))}.`;
}

/** A whole job beside far wheel first, each closed by its own stop rules. */
export function verdict(run: Run, beside: Beside, counted: boolean, orders: number): string {
  if (beside.stopped) return stops(run) ?? "Far wheel first cannot be done: there is nothing to measure this against.";
  const { gone, old_left } = beside;
  const any = orders === 2 ? "Any order. Both" : "Not told apart from far wheel first: both";
  if (counted) {
    const left = run.record.left.old_ml;
    if (!old_left.told_apart) return `${any} leave ${whole(left)} mL of old fluid.`;
    return `Leaves ${whole(Math.abs(old_left.ml))} mL ${old_left.ml < 0 ? "less" : "more"} old fluid than far wheel first.`;
  }
  if (!gone.told_apart) return `${any} use ${whole(used(run))} mL.`;
  const far = used(run) - gone.ml;
  // What the two figures differ by as they are shown.
  const ml = Math.max(1, Math.abs(Math.round(used(run)) - Math.round(far)));
  const uses = `Uses ${ml} mL ${gone.ml < 0 ? "less" : "more"} than far wheel first`;
  if (ml >= MARK_ML) return `${uses}.`;
  const share = Math.floor((100 * Math.abs(gone.ml)) / far) + 1;
  return `${uses}: under ${share} %. A bottle’s mark is coarser than that.`;
}
