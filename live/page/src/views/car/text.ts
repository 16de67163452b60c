// The scenario's text with its mistakes, as the program words them.
import { html, nothing, type TemplateResult } from "lit-html";
import { live } from "lit-html/directives/live.js";
import type { App } from "../../app.ts";
import type { Mistake } from "../../core.ts";
import { count, place, unix } from "./lines.ts";
import { sentence, type State } from "./state.ts";

const FIELD = "car-text";
const field = () => document.getElementById(FIELD) as HTMLTextAreaElement | null;

export function text(app: App, state: State): TemplateResult {
  const shown = state.draft ?? unix(app.text);
  const changed = state.draft !== undefined && state.draft !== unix(app.text);
  const use = () => {
    const draft = state.draft;
    state.check(app);
    if (draft === undefined || !state.right) return;
    state.replace(app, draft, app.file || "car.toml");
    app.say("The car is now as its text says.");
    field()?.focus();
  };
  const drop = () => {
    state.carChanged(app);
    app.draw();
    app.say("Changes dropped.");
    field()?.focus();
  };
  return html`<div class="text">
    <label for=${FIELD}>The car as text: one value a line, as the program reads it</label>
    <div class="editor">
      <div class="lines" aria-hidden="true">${numbers(count(shown), state.mistakes.list)}</div>
      <textarea id=${FIELD} wrap="off" spellcheck="false" autocapitalize="off" autocomplete="off" aria-describedby="car-judged" aria-invalid=${!state.right && state.checked}
        .value=${live(shown)} @input=${(e: Event) => state.write(app, (e.target as HTMLTextAreaElement).value)} @scroll=${aligned}></textarea>
    </div>
    <p class="judged" id="car-judged"><strong class=${state.checked && !state.right ? "wrong" : ""}>${shown || changed ? state.judged : "Nothing here yet."}</strong>
      ${changed ? html`<span>Changed, not in use.</span>` : nothing}</p>
    ${mistakes(state, shown)}
    <div class="buttons"><button type="button" class="chief" ?disabled=${!changed || !state.right} @click=${use}>Use this</button>
    <button type="button" ?disabled=${!changed} @click=${drop}>Drop the changes</button></div>
  </div>`;
}

function aligned(event: Event): void {
  const area = event.target as HTMLTextAreaElement;
  const lines = area.previousElementSibling as HTMLElement;
  lines.scrollTop = area.scrollTop;
}

/** Numbers of the lines, those with a mistake marked. */
function numbers(lines: number, list: Mistake[]): (string | TemplateResult)[] {
  const bad = [...new Set(list.map((m) => m.line))].filter((l) => l > 0 && l <= lines).sort((a, b) => a - b);
  const run = (from: number, to: number) => Array.from({ length: Math.max(0, to - from) }, (_, n) => `${from + n}\n`).join("");
  const all: (string | TemplateResult)[] = [];
  let from = 1;
  for (const line of bad) {
    all.push(run(from, line), html`<b>${line}${"\n"}</b>`);
    from = line + 1;
  }
  return [...all, run(from, lines + 1)];
}

function mistakes(state: State, shown: string): TemplateResult | typeof nothing {
  const { list, left_out } = state.mistakes;
  if (!list.length) return nothing;
  const said = shown.split("\n");
  const go = (m: Mistake) => {
    const area = field();
    if (!area) return;
    const at = place(area.value, m.line, m.column);
    area.focus();
    area.setSelectionRange(at, at);
    area.scrollTop = Math.max(0, m.line - 4) * parseFloat(getComputedStyle(area).lineHeight);
  };
  const one = (m: Mistake) => html`<li><button type="button" @click=${() => go(m)}>Line ${m.line}</button>
    <div><code title=${said[m.line - 1] ?? ""}><bdi>${said[m.line - 1] ?? ""}</bdi></code><p class="wrong">${sentence(m)}</p></div></li>`;
  return html`<ol class="mistakes" aria-label="Mistakes">${list.map(one)}${left_out ? html`<li>${left_out} more are not listed.</li>` : nothing}</ol>`;
}

/** What printing from here prints. */
export const sheet = (app: App, state: State): TemplateResult => html`<section class="sheet" aria-hidden="true">
  <h2><bdi>${app.file || "car.toml"}</bdi></h2>${state.draft !== undefined && state.draft !== unix(app.text) ? html`<p>Changed, not in use yet.</p>` : nothing}
  <pre>${state.draft ?? unix(app.text)}</pre></section>`;
