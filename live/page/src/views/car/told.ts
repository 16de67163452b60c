// What the core tells of describing a car and of how sure its figures are; live/core/src/describe.rs and sure.rs.

export interface Said {
  asked: string;
  help: string;
  decides: string;
}

export interface Listed {
  id: string;
  us: Said;
  uk: Said;
  /** Asked only of those who want to say more. */
  more: boolean;
  applies: boolean;
  answer: string | null;
  /** What is taken where nobody knows. */
  otherwise: string;
  choices: { word: string; means: string }[];
  example: string;
  quantities: { dimension: string; range: string; units: string[] }[];
}

export interface Wrong {
  id: string;
  what: string;
  remedy: string;
}

export interface Described {
  /** Each as `id = answer`. */
  answers: string[];
  wrong: Wrong[];
  answered: number;
  guessed: number;
  more_guessed: number;
  /** By line of the text what is guessed in it. */
  guesses: { line: number; says: string; why: string }[];
  listed: Listed[];
  /** Of a text that was asked about: whether it was made of answers, and is no longer what they make. */
  described: boolean;
  changed_by_hand: boolean | null;
  text: string;
}

export interface Example {
  title: string;
  file: string;
  text: string;
}

export interface Worth {
  quantity: string;
  why: string;
  share_of_drained: number;
  share_of_old_left: number;
}

type Quantile = "p10" | "p50" | "p90";

/** Ranges over draws of what nobody knows exactly. */
export interface Sure {
  draws: number;
  in_all: Record<`${"drained_ml" | "left_old_ml" | "bay_seconds"}_${Quantile}`, number | null> | null;
  default_spreads: boolean;
  worth: Worth[];
}
