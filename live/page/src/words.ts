// Words that several views have.
import type { Answer } from "./core.ts";

export const capital = (text: string): string => text.slice(0, 1).toUpperCase() + text.slice(1);

/** Why there is no answer. */
export const whyNot = (answer: Answer<unknown>): string => ("error" in answer ? answer.error : "The scenario has mistakes: the view Car shows them.");

/** A round step that makes three to six of them up to there. */
export function each(most: number): number {
  const rough = most / 4;
  const ten = 10 ** Math.floor(Math.log10(rough));
  return [1, 2, 5, 10].map((n) => n * ten).find((n) => n >= rough) ?? 10 * ten;
}
