// Ten questions, one after another: drag on the axis, type or choose; then what it is, the points and one reason.
import { html, nothing, type TemplateResult } from "lit-html";
import type { Amount, Choice, Question, Said } from "./asked.ts";
import { axis } from "./axis.ts";
import { points, right, said as saidWords, step } from "./words.ts";

/** A question as far as it has been answered. */
export interface Asked {
  /** What is being said, before it is handed in. */
  draft: Said | undefined;
  /** What was said. */
  said: Said | undefined;
  points: number;
}

export interface Doing {
  draft(what: Said | undefined): void;
  /** Hands the answer in. */
  answer(what: Said): void;
  next(): void;
}

export interface Place {
  number: number;
  of: number;
  seed: number;
  /** Points so far, of how many answered. */
  sum: number;
  answered: number;
}

export function question(q: Question, asked: Asked, place: Place, size: TemplateResult, doing: Doing): TemplateResult {
  const told = asked.said !== undefined;
  const a = q.answer;
  return html`<div class="where"><p>Question ${place.number} of ${place.of} · set ${place.seed}</p>${place.answered ? html`<p>So far <b>${points(place.sum)} of ${place.answered}</b></p>` : nothing}${size}</div>
    <h1 class="asks" tabindex="-1">${q.asks}</h1>
    ${a.sort === "amount" ? figureOf(a, asked, doing) : chosen(a, asked, doing)}
    ${told ? verdict(q, asked, place, doing) : nothing}
    <p class="about">Within 10 %: one point. Within 25 %: half. “Too close to tell” counts where the sums cannot tell it either, and so does either side.</p>`;
}

const number = (said: Said | undefined): number | undefined => (said && said !== "too_close" && "amount" in said ? said.amount : undefined);

function figureOf(a: Amount, asked: Asked, doing: Doing): TemplateResult {
  const told = asked.said !== undefined;
  const at = number(asked.said ?? asked.draft);
  const typed = (event: Event): void => {
    const field = event.target as HTMLInputElement;
    const x = field.valueAsNumber;
    doing.draft(Number.isFinite(x) && x >= 0 ? { amount: x } : undefined);
  };
  const hand = (event: Event): void => {
    event.preventDefault();
    if (at !== undefined) doing.answer({ amount: at });
  };
  return html`${axis(a, at, told, (x) => doing.draft({ amount: x }))}
    ${told ? html`<p class="about">1 point in the inner band, ½ in the outer</p>` : html`<form class="hand" novalidate @submit=${hand}>
      <label>or type <input type="number" inputmode="decimal" min="0" step=${step(a.most)} .value=${at === undefined ? "" : String(at)} @input=${typed}> ${a.unit}</label>
      <button type="button" class="close" @click=${() => doing.answer("too_close")}>Too close to tell</button>
      <button type="submit" class="chief" ?disabled=${at === undefined}>Answer</button></form>`}`;
}

function chosen(c: Choice, asked: Asked, doing: Doing): TemplateResult {
  const told = asked.said !== undefined;
  const option = (words: string, what: Said, is: boolean): TemplateResult => {
    const you = told && JSON.stringify(asked.said) === JSON.stringify(what);
    const mark = told ? html`<small>${[is ? "it is" : "", you ? "you" : ""].filter(Boolean).join(", ")}</small>` : nothing;
    return html`<li><button type="button" class=${`option${told && is ? " is" : ""}${you ? " you" : ""}`} aria-disabled=${told ? "true" : nothing} @click=${() => !told && doing.answer(what)}><bdi title=${words}>${words}</bdi>${mark}</button></li>`;
  };
  return html`<ul class="options">${c.options.map((words, i) => option(words, { option: i }, !c.too_close && i === c.right))}${option("Too close to tell", "too_close", c.too_close)}</ul>`;
}

function verdict(q: Question, asked: Asked, place: Place, doing: Doing): TemplateResult {
  const you = saidWords(q.answer, asked.said!);
  return html`<div class="verdict"><b class="points">${points(asked.points)}</b>
    <p><strong>${right(q.answer)}.</strong> You said ${you}. ${q.reason}</p>
    <button type="button" class="chief next" @click=${doing.next}>${place.number === place.of ? "The result" : "Next"}</button></div>`;
}
