// What somebody changes in the job.
import { html, nothing, type TemplateResult } from "lit-html";
import { live } from "lit-html/directives/live.js";
import type { Car, Change, Control, Split } from "../../asked.ts";
import { inUnits, isUs, PSI_KPA } from "../../units.ts";

/** How a control is shown: figures of its own, `si` of which make one of the core's. */
interface Scale {
  name: string;
  step: number;
  from(si: number): number;
  to(shown: number): number;
  say(si: number): string;
}

const PSI = 1000 * PSI_KPA;
const ZERO_CELSIUS_K = 273.15;
const percents = (name: string, step: number, say: (x: number) => string): Scale =>
  ({ name, step, from: (si) => 100 * si, to: (x) => x / 100, say: (si) => say(Math.round(100 * si)) });

const SCALES = new Map<string, Scale>([
  ["what the eye accepts", percents("Clean to my eye at", 1, (x) => `${x} % old`)],
  ["gauge pressure", { name: "Gauge", step: 0.5, from: (si) => si / PSI, to: (x) => x * PSI, say: (si) => `${Number((si / PSI).toFixed(1))} psi${isUs() ? "" : `, ${(si / 1000).toFixed(0)} kPa`}` }],
  ["level of the reservoir", { name: "Level at start", step: 5, from: (si) => 1e6 * si, to: (x) => x / 1e6, say: (si) => `${(1e6 * si).toFixed(0)} mL` }],
  ["wear of the pads", percents("Pad wear", 5, (x) => `${x} %`)],
  ["temperature", { name: "Temperature", step: 1, from: (si) => si - ZERO_CELSIUS_K, to: (x) => x + ZERO_CELSIUS_K, say: (si) => inUnits(`${(si - ZERO_CELSIUS_K).toFixed(0)} °C`) }],
  ["bores and lengths of the lines", percents("Bores and lengths of the lines", 10, (x) => (x === 0 ? "as they are" : x < 0 ? `${-x} % toward narrow and short` : `${x} % toward wide and long`))],
]);
/** Those that are always in sight. */
const FIRST = ["what the eye accepts", "gauge pressure"];

/** The value of a control in a job. */
export const valueOf = (control: Control, change: Change): number =>
  change.set?.find(([what]) => what === control.what)?.[1] ?? control.own;

/** The change with a control set; where it stands on the car, nothing is set. */
export function withSet(change: Change, control: Control, shown: number): Change {
  const scale = SCALES.get(control.what)!;
  const [least, most] = [Math.min(control.least, control.own), Math.max(control.most, control.own)];
  const back = Math.abs(shown - scale.from(control.own)) <= scale.step / 2 + 1e-9;
  const value = Math.min(Math.max(scale.to(shown), least), most);
  const others = (change.set ?? []).filter(([what]) => what !== control.what);
  const { set: _, ...rest } = change;
  const set: [string, number][] = back ? others : [...others, [control.what, value]];
  return set.length ? { ...rest, set } : rest;
}

const SPLITS: Split[] = ["II", "X"];

export interface Take {
  (change: Change, said: string): void;
}

export function controls(car: Car, all: readonly Control[], change: Change, take: Take): TemplateResult {
  const known = all.filter((c) => SCALES.has(c.what));
  const first = FIRST.flatMap((what) => known.filter((c) => c.what === what));
  const rest = known.filter((c) => !FIRST.includes(c.what));
  const slide = (c: Control) => slider(c, change, take);
  const syringes = car.controls.some((c) => c.what === "emptying the reservoir by syringe");
  return html`<div class="sliders">${first.map(slide)}</div>
    ${syringes ? choice("Reservoir", ["as found", "syringed out first"], change.syringed ? 1 : 0, (i) => take(without(change, "syringed", i === 1 || undefined), "")) : nothing}
    <details class="more"><summary>More to change</summary>
      <div class="sliders">${rest.map(slide)}</div>
      ${car.supplies.length > 1 ? supplies(car, change, take) : nothing}
      ${car.split ? choice("Brake split", ["front and rear", "diagonal"], SPLITS.indexOf(change.split ?? car.split), (i) => take(without(change, "split", SPLITS[i] === car.split ? undefined : SPLITS[i]), "")) : nothing}
      ${car.modulator === null ? nothing : choice("Hydraulic modulator", ["not worked", "worked"], (change.worked ?? car.modulator) ? 1 : 0, (i) => take(without(change, "worked", (i === 1) === car.modulator ? undefined : i === 1), ""))}
      <button type="button" @click=${() => take(change.order ? { order: change.order } : {}, "As the car was found.")}>As it was found</button>
    </details>`;
}

/** The change with one of its members otherwise, or left out. */
function without<K extends "syringed" | "worked" | "supply" | "split">(change: Change, key: K, value: Change[K]): Change {
  const { [key]: _, ...rest } = change;
  return (value === undefined ? rest : { ...rest, [key]: value }) as Change;
}

function slider(control: Control, change: Change, take: Take): TemplateResult {
  const scale = SCALES.get(control.what)!;
  const value = valueOf(control, change);
  const [least, most] = [Math.min(control.least, control.own), Math.max(control.most, control.own)];
  const tidy = (x: number) => Number(x.toFixed(6));
  const slid = (e: Event) => take(withSet(change, control, (e.target as HTMLInputElement).valueAsNumber), "");
  return html`<label class="slider"><span>${scale.name}</span> <span class="value" aria-hidden="true">${scale.say(value)}</span>
    <input type="range" min=${tidy(scale.from(least))} max=${tidy(scale.from(most))} step=${scale.step}
      .value=${live(String(tidy(scale.from(value))))} aria-valuetext=${scale.say(value)} @input=${slid}></label>`;
}

function choice(name: string, words: [string, string], chosen: number, take: (i: number) => void): TemplateResult {
  const one = (word: string, i: number) => html`<label><input type="radio" name=${name} .checked=${live(chosen === i)} @change=${() => take(i)}><span>${word}</span></label>`;
  return html`<fieldset class="choice"><legend>${name}</legend>${words.map(one)}</fieldset>`;
}

function supplies(car: Car, change: Change, take: Take): TemplateResult {
  const now = change.supply ?? car.supply ?? "";
  const chosen = (e: Event) => {
    const name = (e.target as HTMLSelectElement).value;
    const { set = [], ...rest } = change;
    // Another supply has another gauge.
    const others = set.filter(([what]) => what !== "gauge pressure");
    take(without(others.length ? { ...rest, set: others } : rest, "supply", name === car.supply ? undefined : name), "");
  };
  return html`<label class="pick"><span>Supply</span> <select @change=${chosen}>${car.supplies.map((name) => html`<option value=${name} ?selected=${name === now}>${name}</option>`)}</select></label>`;
}
