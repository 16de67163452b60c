// What the core tells, as far as the page reads it; live/core/src/ is where it comes from.

export interface Area {
  x: number;
  y: number;
  wide: number;
  high: number;
}

export type Edge = "left" | "right" | "top" | "bottom";

export interface Shape {
  /** Place in `Car.parts`. */
  part: number;
  /** In the order in which they fill, each from an edge on. */
  pieces: { area: Area; from: Edge }[];
}

/** A bleeder's tire. */
export interface TireArea {
  /** Name of the bleeder. */
  name: string;
  area: Area;
  /** Place in `Car.parts` of what it bleeds, if that holds something. */
  part: number | null;
}

/** The car from above, front up. */
export interface CarMap {
  wide: number;
  high: number;
  area_per_ml: number;
  /** Width of pipes. */
  strip: number;
  body: Area;
  shapes: Shape[];
  /** Where lines meet and nothing is held. */
  joints: Area[];
  /** Lines that hold nothing; they lie beneath all else. */
  connectors: [number, number][][];
  tires: TireArea[];
  /** Volume of the square that tells the scale. */
  square_ml: number;
  left_out: number;
}

export interface Part {
  part: string;
  kind: string;
  volume_ml: number;
  old_fraction: number;
  sort: string;
  place: string | null;
  to: string | null;
}

export interface Region {
  name: string;
  parts: number[];
}

/** Something that can be set, in SI units. */
export interface Control {
  what: string;
  own: number;
  least: number;
  most: number;
}

export interface Car {
  title: string;
  spoken: Record<string, string | boolean | null>;
  /** Bleeders, those opened together in one row, in the scenario's own order. */
  opened_together: string[][];
  far_first: string[];
  near_first: string[];
  supplies: string[];
  supply: string | null;
  /** How its wheels hang on the chambers, if they can be joined otherwise: each has a line of its own. */
  split: Split | null;
  /** Whether its procedure works the hydraulic modulator; `null` without one. */
  modulator: boolean | null;
  controls: Control[];
  parts: Part[];
  regions: Region[];
  map: CarMap;
}

/** Front and rear, or diagonal. */
export type Split = "II" | "X";

/** What somebody changed in the job. */
export interface Change {
  set?: [string, number][];
  /** Whether the reservoir is emptied by syringe and filled again before all else. */
  syringed?: boolean;
  supply?: string;
  order?: string[];
  /** Whether the hydraulic modulator is worked. */
  worked?: boolean;
  split?: Split;
}

/** What lies where: by part its volume and its old fractions, along a line cell by cell. */
export interface Moment {
  at_s: number;
  /** Openings done so far. */
  openings: number;
  old_ml: number;
  old_fraction: number;
  volume_ml: number[];
  old: number[][];
}

export interface Opening {
  bleeder: string;
  drained_ml: number;
  opened_s: number;
  closed_s: number;
  seen_old_fraction: number;
  path_old_fraction: number;
  clean_at_ml: number | null;
}

export interface Run {
  record: {
    openings: Opening[];
    totals: { drained_ml: number; removed_ml: number; new_fluid_ml: number; flow_seconds: number; bay_seconds: number };
    left: { old_ml: number; old_fraction: number };
    warnings: { kind: string; text: string; stops_the_job: boolean }[];
  };
  moments: Moment[];
}
