// The questions: each with its answer or what is guessed, the open one with where to look and what it decides.
import { html, nothing, type TemplateResult } from "lit-html";
import { live } from "lit-html/directives/live.js";
import type { App } from "../../app.ts";
import { capital } from "../../words.ts";
import { plural, sentence, type State } from "./state.ts";
import type { Described, Listed } from "./told.ts";

export function questions(app: App, state: State): TemplateResult {
  if (state.byHand) return byHand(app, state);
  const { told } = state;
  if (!told) return html``;
  const asked = told.listed.filter((q) => !q.more);
  const further = told.listed.filter((q) => q.more);
  const answered = further.filter((q) => q.applies && q.answer !== null).length;
  return html`
    <div class="words" role="group" aria-label="Words of the trade">
      ${wording(app, state, false, "US words")}${wording(app, state, true, "UK words")}
    </div>
    <ol class="asked">${rows(app, state, asked, 0)}</ol>
    <h2 class="further"><button type="button" aria-expanded=${state.more} aria-controls="car-more" @click=${() => { state.more = !state.more; app.draw(); }}>
      <span>More questions</span> <span class="soft">${plural(told.more_guessed + answered, "question")} that move little: ${answered} answered</span></button></h2>
    <ol class="asked" id="car-more" ?hidden=${!state.more}>${state.more ? rows(app, state, further, asked.filter((q) => q.applies).length) : nothing}</ol>
    ${app.text ? guesses(told) : nothing}`;
}

function wording(app: App, state: State, uk: boolean, name: string): TemplateResult {
  return html`<button type="button" aria-pressed=${state.uk === uk} @click=${() => { state.uk = uk; app.draw(); }}>${name}</button>`;
}

function rows(app: App, state: State, list: Listed[], before: number): TemplateResult[] {
  let number = before;
  // One for each question, asked or not: so every element stays with its question, and the focus in it.
  return list.map((q) => (q.applies ? html`<li>${row(app, state, q, ++number)}</li>` : html`<li hidden></li>`));
}

function row(app: App, state: State, q: Listed, number: number): TemplateResult {
  const said = state.uk ? q.uk : q.us;
  const open = state.row === q.id;
  const toggle = () => {
    [state.row, state.wrong] = [open ? undefined : q.id, undefined];
    app.draw();
  };
  const value = q.answer !== null
    ? html`<bdi class="answer" title=${q.answer}>${q.choices.length ? capital(q.answer) : q.answer}</bdi>`
    : html`<span class="guess">${guess(q)}</span>`;
  return html`
    <button type="button" class="row" id="car-row-${q.id}" aria-expanded=${open} aria-controls="car-open-${q.id}" @click=${toggle}>
      <span class="number">${number}</span><span class="question">${said.asked}</span>${open ? html`<span class="value"></span>` : html`<span class="value">${value}</span>`}
    </button>
    <div class="open" id="car-open-${q.id}" role="group" aria-labelledby="car-row-${q.id}" ?hidden=${!open}>${open ? opened(app, state, q) : nothing}</div>`;
}

const guess = (q: Listed): string => q.otherwise || "usual for its kind";

function opened(app: App, state: State, q: Listed): TemplateResult {
  const said = state.uk ? q.uk : q.us;
  return html`
    <p class="help">${said.help} <span class="decides">Decides ${said.decides}.</span></p>
    ${q.choices.length ? choices(app, state, q) : field(app, state, q)}
    ${next(app, state, q)}`;
}

function dontKnow(app: App, state: State, q: Listed): TemplateResult {
  const give = () => {
    const input = fieldOf(q.id);
    if (input) input.value = "";
    state.answer(app, q.id, undefined);
  };
  return html`<button type="button" aria-pressed=${q.answer === null && app.text !== ""} @click=${give}><span>Don’t know</span> <small>we take ${guess(q)}</small></button>`;
}

function choices(app: App, state: State, q: Listed): TemplateResult {
  const one = ({ word, means }: Listed["choices"][number]) => html`<button type="button" aria-pressed=${q.answer === word} @click=${() => state.answer(app, q.id, word)}><span>${capital(word)}</span>${means ? html` <small>${means}</small>` : nothing}</button>`;
  return html`<div class="choices">${q.choices.map(one)}${dontKnow(app, state, q)}</div>${mistake(state, q)}`;
}

function field(app: App, state: State, q: Listed): TemplateResult {
  const wrong = state.wrong?.id === q.id;
  const give = (event: Event) => {
    event.preventDefault();
    const input = (event.currentTarget as HTMLFormElement).elements.namedItem("answer") as HTMLInputElement;
    if (input.value.trim()) state.answer(app, q.id, input.value.trim());
    else state.answer(app, q.id, undefined);
    if (state.wrong) input.focus();
  };
  const allowed = q.quantities.map((a) => `${a.dimension}: ${a.range}`).join(", or ");
  return html`<form class="field" @submit=${give} autocomplete="off">
      <label for="car-answer-${q.id}">For example ${q.example}</label>
      <input id="car-answer-${q.id}" name="answer" maxlength="60" spellcheck="false" .value=${wrong ? live(typed(q.id)) : (q.answer ?? "")} aria-invalid=${wrong} aria-describedby="car-allowed-${q.id}">
      <button type="submit" class="chief">Use</button>
      ${dontKnow(app, state, q)}
      <p class="allowed" id="car-allowed-${q.id}">${capital(allowed)}. ${q.quantities.length ? `Units: ${[...new Set(q.quantities.flatMap((a) => a.units))].join(", ")}.` : ""} ${mistake(state, q)}</p>
    </form>`;
}

/** What stands in the field now: what is wrong there is not taken away. */
const typed = (id: string): string => fieldOf(id)?.value ?? "";
const fieldOf = (id: string) => document.getElementById(`car-answer-${id}`) as HTMLInputElement | null;

function mistake(state: State, q: Listed): TemplateResult | typeof nothing {
  return state.wrong?.id === q.id ? html`<strong class="wrong">${sentence(state.wrong)}</strong>` : nothing;
}

/** The way on, once this one is answered. */
function next(app: App, state: State, q: Listed): TemplateResult | typeof nothing {
  const list = state.told?.listed.filter((l) => l.applies && (state.more || !l.more)) ?? [];
  const after = list.slice(list.findIndex((l) => l.id === q.id) + 1).find((l) => l.answer === null);
  if (!after || q.answer === null) return nothing;
  const go = () => {
    [state.row, state.wrong] = [after.id, undefined];
    app.draw();
    document.getElementById(`car-row-${after.id}`)?.focus();
  };
  return html`<p class="next"><button type="button" @click=${go}>Next: ${(state.uk ? after.uk : after.us).asked}</button></p>`;
}

function guesses(told: Described): TemplateResult {
  return html`<details class="guesses"><summary>${plural(told.guesses.length, "value")} in its text are guessed, each with a reason</summary>
    <dl>${told.guesses.map((g) => html`<div><dt><bdi>${g.says}</bdi></dt><dd>${capital(g.why)}</dd></div>`)}</dl></details>`;
}

function byHand(app: App, state: State): TemplateResult {
  if (app.wrong) return html`<div class="by-hand"><p>Its text has mistakes, so the questions can’t be read from it.</p><div class="buttons">${mend(app, state, "Mend its text")}</div></div>`;
  const again = state.described
    ? html`<p>It was described once, and changed by hand since. An answer here would write it anew, without those changes.</p>`
    : html`<p>It was not described with these questions, so there are no answers to change. Its text can be changed.</p>`;
  return html`<div class="by-hand">
    ${again}
    ${state.told?.wrong.map((w) => html`<p class="wrong">${sentence(w)}</p>`)}
    <div class="buttons">${mend(app, state, "Change its text")}
    <button type="button" @click=${() => state.describeAgain(app)}>${state.described ? "Go back to its answers" : "Describe a car anew"}</button></div>
    <p class="soft">The text as it is now would be set aside: a button “Back to” brings it again.</p></div>`;
}

function mend(app: App, state: State, name: string): TemplateResult {
  const go = () => {
    state.part = "text";
    app.draw();
    document.getElementById("car-text")?.focus();
  };
  return html`<button type="button" class="chief" @click=${go}>${name}</button>`;
}
