// What the core tells a class; live/core/src/class.rs is where it comes from.
import type { Moment } from "../../asked.ts";

export interface Stretch {
  doing: string;
  start_s: number;
  end_s: number;
  /** Pass and step of the procedure; `null` beside it. */
  place: [number, number] | null;
  bleeders: string[];
  moved_ml: number;
  chambers: string[];
}

export interface Drained {
  bleeder: string;
  pass: number;
  drained_ml: number;
  old_ml: number;
  reservoir_ml: number;
  new_ml: number;
}

export interface InOrder {
  named: string[];
  order: string[];
  openings: Drained[];
  drained_ml: number;
  old_left_ml: number;
  flow_seconds: number;
  bay_seconds: number;
  time_line: Stretch[];
  stops: string[];
}

/** Far first, then near first; one order if they come to the same. */
export interface Class {
  compared_by: "drained" | "old_left";
  orders: InOrder[];
  apart: { ml: number; unsure_ml: number | null } | null;
  told_apart: boolean;
  /** Of each order, before the first step and after each opening. */
  moments: Moment[][];
}

export interface Amount {
  sort: "amount";
  value: number;
  unit: string;
  least: number;
  most: number;
  whole: [number, number];
  half: [number, number];
  too_close: boolean;
}

export interface Choice {
  sort: "choice";
  options: string[];
  right: number;
  too_close: boolean;
}

export interface Question {
  about: string;
  asks: string;
  answer: Amount | Choice;
  reason: string;
}

export interface Quiz {
  seed: number;
  questions: Question[];
}

export type Said = { amount: number } | { option: number } | "too_close";
