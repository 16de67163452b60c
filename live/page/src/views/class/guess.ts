// Guess first: hands in bins. Tap adds one, a long press, the minus button or a key takes one away.
import { html, nothing, type TemplateResult } from "lit-html";

const LONG_MS = 550;
const MOST_DOTS = 30;

let timer: ReturnType<typeof setTimeout> | undefined;
/** A long press ends as a tap too: that one is not a hand. */
let taken = false;

export interface Bin {
  words: string;
  hands: number;
  right: boolean;
}

export function guess(bins: Bin[], shown: boolean, change: (bin: number, by: number) => void): TemplateResult {
  return html`<div class=${shown ? "bins" : "bins open"} role="group" aria-label="What we guess">${bins.map((bin, i) => one(bin, i, shown, change))}</div>`;
}

function one(bin: Bin, i: number, shown: boolean, change: (bin: number, by: number) => void): TemplateResult {
  const press = (): void => {
    taken = false;
    timer = setTimeout(() => {
      taken = true;
      change(i, -1);
    }, LONG_MS);
  };
  const release = (): void => clearTimeout(timer);
  const tap = (): void => {
    if (!taken) change(i, 1);
    taken = false;
  };
  const key = (event: KeyboardEvent): void => {
    if (!["Delete", "Backspace", "-"].includes(event.key)) return;
    event.preventDefault();
    change(i, -1);
  };
  const hands = bin.hands === 1 ? "1 hand" : `${bin.hands} hands`;
  const is = shown && bin.right;
  return html`<div class=${is ? "bin is" : "bin"}>
    <button type="button" class="add" aria-label=${`${bin.words}, ${hands}${is ? ", this is it" : ""}: one hand more`}
      @pointerdown=${press} @pointerup=${release} @pointerleave=${release} @pointercancel=${release} @contextmenu=${(e: Event) => e.preventDefault()} @click=${tap} @keydown=${key}>
      <span>${bin.words}</span><span class="dots" aria-hidden="true">${"●".repeat(Math.min(bin.hands, MOST_DOTS))}</span><b class="hands" aria-hidden="true">${bin.hands || nothing}</b>
    </button>
    <button type="button" class="less" aria-label=${`One hand fewer for ${bin.words}`} ?disabled=${bin.hands === 0} @click=${() => change(i, -1)}>−</button>
  </div>`;
}
