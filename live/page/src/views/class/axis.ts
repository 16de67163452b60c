// The axis on which a figure is looked for, with what was said and what it is.
import { html, nothing, type TemplateResult } from "lit-html";
import type { Amount } from "./asked.ts";
import { figure, step, ticks } from "./words.ts";

/** `told`: the answer is shown, and nothing can be moved any more. */
export function axis(a: Amount, said: number | undefined, told: boolean, move: (to: number) => void): TemplateResult {
  const at = (x: number): number => (100 * (Math.min(Math.max(x, a.least), a.most) - a.least)) / (a.most - a.least);
  const band = (name: string, [from, to]: [number, number]): TemplateResult => html`<i class=${name} style=${`left:${at(from)}%;width:${at(to) - at(from)}%`}></i>`;
  const mark = (name: string, x: number, words: string): TemplateResult => html`<span class=${`mark ${name}`} style=${`left:${at(x)}%`}><b class=${at(x) < 12 ? "starts" : at(x) > 88 ? "ends" : ""}>${words}</b></span>`;
  const moved = (event: Event): void => move(Number((event.target as HTMLInputElement).value));
  const shown = said === undefined ? undefined : figure(said, a.unit);
  return html`<div class=${told ? "look told" : "look"}>
    <div class="above">${told ? html`${band("half", a.half)}${band("whole", a.whole)}${mark("is", a.value, `it is ${figure(a.value, a.unit)}`)}` : nothing}
      ${shown === undefined ? nothing : mark("you", said!, `you: ${shown}`)}</div>
    <div class="line">${told ? nothing : html`<input type="range" aria-label=${`Your answer in ${a.unit}`} aria-valuetext=${shown === undefined ? "nothing yet" : `${shown} ${a.unit}`} class=${said === undefined ? "unset" : ""} min=${a.least} max=${a.most} step=${step(a.most)} .value=${String(said ?? (a.least + a.most) / 2)} @input=${moved}>`}</div>
    <div class="ticks" aria-hidden="true">${ticks(a.least, a.most).map((t) => html`<span style=${`left:${at(t)}%`}>${t}</span>`)}<span class="unit">${a.unit}</span></div>
  </div>`;
}
