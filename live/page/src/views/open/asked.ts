// What the core tells of a job driven by hand; live/core/src/by_hand/told.rs is where it comes from.
import type { Opening } from "../../asked.ts";

export interface Hose {
  bleeder: string;
  opened_s: number;
  drained_ml: number;
  flow_ml_per_s: number;
  seen_old_fraction: number;
}

export interface Supply {
  gauge_kpa: number;
  supply_ml: number | null;
  reservoir_ml: number;
  reservoir_old_fraction: number;
}

/** A part on the way from the reservoir to the bleeder. */
export interface PathPart {
  part: string;
  sort: string;
  volume_ml: number;
  old_ml: number;
  old_fraction: number;
}

/** Drained since the opening, old fraction seen, old fraction of the path. */
export type Point = [ml: number, seen: number, path: number];

/** What an opening came to. */
export interface Closed {
  opening: Opening & { threshold: number; closed_by: string };
  bottle_old_fraction: number | null;
  /** What the watched length of the clear hose holds. */
  watched_ml: number;
  path: PathPart[];
  curve: Point[];
  /** Had it stayed open. */
  on: Point[];
  /** Old fractions that what is seen would have fallen to, and when. */
  falls: [fraction: number, ml: number][];
  left: { old_ml: number; old_fraction: number };
}

/** How a job stands. */
export interface Now {
  job: number;
  hose: Hose | null;
  bottle_old_fraction: number | null;
  supply: Supply;
  gauge_limit_kpa: number | null;
  clock_s: number;
  drained_ml: number;
  ran_dry: boolean;
  /** How often somebody pumped up or topped up while the bleeder was open that is, or was last. */
  done_meanwhile: number;
  /** What the procedure does next beside opening. */
  upcoming: string | null;
  openings: number;
  /** If a bleeder has just been closed. */
  closed?: Closed;
}
