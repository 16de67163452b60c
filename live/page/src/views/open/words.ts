// What the view says of an opening, of figures that the core gave.
import { PSI_KPA } from "../../units.ts";
import { percent, whole } from "../try/words.ts";

export { whole };
import type { Closed, Now, PathPart } from "./asked.ts";

export const psi = (kpa: number): number => kpa / PSI_KPA;

/** From here on more than was needed is worth a word, mL. */
const WORTH_ML = 10;
const COUNTS = ["", "", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten"];

/** How much of the path is old, in words. */
export function share(old: number): string {
  if (old >= 0.95) return "Nearly all of it is still old.";
  if (old >= 0.6) return "Most of it is still old.";
  if (old >= 0.4) return "Half of it is still old.";
  const one = Math.round(1 / Math.max(old, 1e-9));
  if (one > 50) return "Hardly any old fluid is left on the way.";
  return `One mL in ${COUNTS[one] ?? one} is still old.`;
}

export const percentOf = (fraction: number): string => `${percent(fraction)} %`;

/** The headline of an opening. */
export function headline({ opening, watched_ml }: Closed): string {
  const { drained_ml, seen_old_fraction, path_old_fraction, threshold, clean_at_ml } = opening;
  if (opening.closed_by === "no flow") return "Nothing flowed.";
  if (drained_ml < watched_ml) return "You closed before anything came through the hose.";
  if (seen_old_fraction > threshold) return `You stopped early: the hose was ${percentOf(seen_old_fraction)} old.`;
  const more = clean_at_ml === null ? 0 : drained_ml - clean_at_ml;
  if (clean_at_ml !== null && more >= WORTH_ML) return `Clean from ${whole(clean_at_ml)} mL. You let ${whole(more)} more go.`;
  return `It looked clean. ${share(path_old_fraction)}`;
}

/** That the supply ran dry: where, and after how much of the whole job. */
export const ranDry = (closed: Closed, now: Now): { what: string; when: string } =>
  ({ what: `Runs dry at ${closed.opening.bleeder},`, when: ` ${whole(now.drained_ml)} mL into the job.` });

/** What to do about it. `least_ml` is the load that the program's own job takes, if that would run dry too. */
export function remedy(now: Now, least_ml: number | null | undefined, own_ml: number | undefined): string {
  const air = "Air may be in the line: in a real car you would bleed this wheel again from the start.";
  if (now.supply.supply_ml === null) return `Top up the reservoir sooner. ${air}`;
  if (least_ml != null) return `Load ${Math.ceil(least_ml)} mL or more. ${air}`;
  return `Load more, or let less go${own_ml === undefined ? "" : `: the program’s own job uses ${whole(own_ml)} mL`}. ${air}`;
}

/** What the next wheel begins with. */
export function startsWith(old: number): string {
  if (old < 0.01) return "a reservoir of new fluid";
  for (const [of, word] of [[0.25, "a quarter"], [0.33, "a third"], [0.5, "half"]] as const) {
    if (Math.abs(old - of) < 0.03) return `a reservoir ${word} old`;
  }
  return `a reservoir that is ${percentOf(old)} old`;
}

export const minutes = (seconds: number): string => {
  const s = Math.floor(Math.max(0, seconds));
  return `${Math.floor(s / 60)}:${String(s % 60).padStart(2, "0")}`;
};

/** A row of “It is, part by part”: a part, or lines and hoses that follow one another. */
export interface Row {
  word: string;
  /** The part's own name, where it is that of a brake. */
  name: string;
  volume_ml: number;
  old_ml: number;
}

const SORTS: Record<string, string> = {
  reservoir: "reservoir", master_cylinder: "master cylinder", modulator: "modulator", caliper: "caliper", wheel_cylinder: "wheel cylinder", clutch: "clutch",
};

const several = (count: number, word: string): string => (count === 0 ? "" : count === 1 ? word : `${count} ${word}s`);

/** Parts on the way, lines and hoses that follow one another taken together. */
export function rows(path: PathPart[]): Row[] {
  const told: (Row & { lines: number; hoses: number })[] = [];
  for (const p of path) {
    const pipe = p.sort === "line" || p.sort === "hose";
    let row = pipe ? told.at(-1) : undefined;
    if (!row || row.lines + row.hoses === 0) {
      const name = p.sort === "caliper" || p.sort === "wheel_cylinder" ? p.part : "";
      row = { word: SORTS[p.sort] ?? p.sort, name, volume_ml: 0, old_ml: 0, lines: 0, hoses: 0 };
      told.push(row);
    }
    row.volume_ml += p.volume_ml;
    row.old_ml += p.old_ml;
    if (!pipe) continue;
    if (p.sort === "line") row.lines += 1;
    else row.hoses += 1;
    row.word = [several(row.lines, "line"), several(row.hoses, "hose")].filter(Boolean).join(" + ");
  }
  return told.map(({ word, name, volume_ml, old_ml }) => ({ word, name, volume_ml, old_ml }));
}
