// Tires: native buttons over the drawing, or, where there is no room for so many, a numbered list below it.
import { html, nothing, type TemplateResult } from "lit-html";
import type { Car, TireArea } from "../asked.ts";
import type { Look, Tire } from "../map.ts";
import type { Lie } from "./lie.ts";

/** More bleeders than this stand in pairs, and on a narrow screen in a list. */
export const FEW = 4;

const ORDINAL = new Intl.PluralRules("en-US", { type: "ordinal" });
const ENDINGS: Record<string, string> = { one: "st", two: "nd", few: "rd", other: "th" };
const nth = (n: number) => `${n}${ENDINGS[ORDINAL.select(n)]}`;
const millilitres = (ml: number) => `${ml > 0 && ml < 0.5 ? "<1" : Math.round(ml)} mL`;

/** What somebody hears behind its name who does not see it. */
export function spoken(tire: Tire): string {
  const state =
    tire.state === "free" ? "not chosen" : tire.state === "coming" ? `to be opened ${nth(tire.turn ?? 1)}` : `opened ${nth(tire.turn ?? 1)}`;
  const ml = tire.ml === undefined ? "" : `, ${millilitres(tire.ml)}`;
  return `, ${state}${ml}${tire.said ? `, ${tire.said}` : ""}`;
}

function face(name: string, tire: Tire | undefined): TemplateResult {
  const turn = tire && html`<span class="turn" aria-hidden="true">${tire.state === "free" ? "?" : (tire.turn ?? "")}</span>`;
  return html`${turn ?? nothing}<bdi class="name" title=${name}>${name}</bdi>${tire ? html`<span class="unseen">${spoken(tire)}</span>` : nothing}`;
}

function one(t: TireArea, look: Look, pressed: boolean): TemplateResult {
  const tire = look.tires?.(t.name);
  const state = `tire ${tire?.state ?? "plain"}`;
  const { press } = look;
  const button = pressed && press && tire
    ? html`<button type="button" class=${state} data-bleeder=${t.name} @click=${() => press(t.name)}>${face(t.name, tire)}</button>`
    : press
      ? html`<span class=${state} aria-hidden="true">${face(t.name, tire)}</span>`
      : html`<span class=${state}>${face(t.name, tire)}</span>`;
  return html`${button}${tire?.ml === undefined ? nothing : html`<span class="ml" aria-hidden="true">${millilitres(tire.ml)}</span>`}`;
}

/** From one tire to the next of its side at least, in hundredths of the drawing's width. */
export function roomOf(car: Car, lies: Lie): number {
  const middles = car.map.tires.map(({ area: a }) => ({ right: a.x > car.map.wide / 2, along: a.y + a.high / 2 }));
  const gaps = middles.flatMap((a, i) => middles.slice(i + 1).filter((b) => b.right === a.right).map((b) => Math.abs(a.along - b.along)));
  return (100 * (Math.min(car.map.high, ...gaps) - 3)) / lies.wide;
}

/** Tires over the drawing. */
export function over(car: Car, look: Look, lies: Lie): TemplateResult[] {
  const pressed = look.landscape === true || car.map.tires.length <= FEW;
  return car.map.tires.map((t) => {
    const a = lies.tire(t.area);
    const first = look.landscape ? a.y < lies.high / 2 : a.x < lies.wide / 2;
    const at = `left:${((100 * (a.x + a.wide / 2)) / lies.wide).toFixed(3)}%;top:${((100 * (a.y + a.high / 2)) / lies.high).toFixed(3)}%`;
    return html`<div class="at ${first ? "first" : "last"}" style=${at}>${one(t, look, pressed)}</div>`;
  });
}

/** The same as a list, for narrow screens. */
export function list(car: Car, look: Look): TemplateResult | typeof nothing {
  if (look.landscape || !look.press || car.map.tires.length <= FEW) return nothing;
  return html`<ol class="tires">${car.map.tires.map((t) => html`<li>${one(t, look, true)}</li>`)}</ol>`;
}
