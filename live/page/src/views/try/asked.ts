// What the core tells of many jobs; live/core/src/studies.rs is where it comes from.

export interface End {
  at: string;
  /** What leaves the system, at the bleeders and by syringe. */
  gone_ml: number;
  /** Of that by syringe. */
  removed_ml: number;
  old_left_ml: number;
}

/** Something from one end of what is usual to the other. */
export interface Lever {
  what: string;
  least: End;
  most: End;
  cleanest: End;
  dirtiest: End;
}

export interface ByOrder {
  best: string[];
  best_saves_ml: number;
  best_told_apart: boolean;
  worst: string[];
  worst_costs_ml: number;
  worst_told_apart: boolean;
  every_order: boolean;
  tried: number;
}

export interface Decides {
  own: End;
  /** Whether nothing looks at the fluid: then what changes shows in the old fluid left. */
  counted: boolean;
  levers: Lever[];
  stopped: string[];
  order: ByOrder | null;
}

export interface Difference {
  ml: number;
  told_apart: boolean;
}

/** A job less another of the same car. */
export interface Beside {
  gone: Difference;
  old_left: Difference;
  stopped: boolean;
}
