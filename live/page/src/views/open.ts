// Open it yourself: hold a bleeder open, see what is to be seen, decide when to close.
import { html, nothing, type TemplateResult } from "lit-html";
import type { App, View } from "../app.ts";
import { nothingYet } from "./nothing.ts";
import { bench } from "./open/bench.ts";
import { clock } from "./open/clock.ts";
import { Hand } from "./open/hand.ts";
import { handle } from "./open/handle.ts";
import { sum } from "./open/sum.ts";
import { told } from "./open/told.ts";
import { headline, ranDry, remedy, startsWith } from "./open/words.ts";

/** How much faster than the clock; what only gravity or a foot pushes takes long. */
const FACTORS = [1, 5, 20];
const SLOW_FACTOR = 60;

let app: App;
let hand: Hand | undefined;
let factor = 5;
const time = clock(() => matchMedia("(prefers-reduced-motion: reduce)").matches);

const about = (a: App): string => JSON.stringify([a.text, a.change]);
let began = "";

function begin(): void {
  hand?.drop();
  time.stop();
  hand = app.car && new Hand(app.core, { text: app.text, file: app.file, change: app.change, car: app.car });
  began = about(app);
}

function startOver(): void {
  begin();
  app.say("Begun anew. Nothing has been opened.");
  app.draw();
  document.querySelector<HTMLElement>("main.open .handle")?.focus();
}

/** Does something with the job, says what came of it and draws. */
function act(what: (hand: Hand) => void): void {
  if (!hand) return;
  const before = hand.closed.length;
  const [state, dry] = [hand.state, hand.dry];
  what(hand);
  if (!hand.open) time.stop();
  if (hand.closed.length > before || hand.dry !== dry || hand.trouble) app.say(title(hand));
  else if (hand.state !== state) app.say(title(hand));
  app.draw();
}

const ticked = (seconds: number): void => act((h) => h.advance(seconds * factor));

const on = handle({
  press: () => act((h) => {
    if (h.open) h.advance(time.rest() * factor);
    h.press(performance.now());
    if (h.state === "held") time.begin(ticked);
  }),
  release: () => act((h) => {
    if (h.state === "held") h.advance(time.rest() * factor);
    h.release(performance.now());
  }),
  letGo: () => act((h) => h.letGo()),
});

/** With nothing in focus, the space bar holds the handle too. */
function listen(): void {
  const elsewhere = (e: KeyboardEvent) => e.key !== " " || app.view !== openView || document.activeElement !== document.body;
  addEventListener("keydown", (e) => elsewhere(e) || on.keydown(e));
  addEventListener("keyup", (e) => elsewhere(e) || on.keyup(e));
  addEventListener("blur", () => on.blur());
}

export const openView: View = {
  word: "open",
  name: "Open it yourself",
  short: "Open",
  carChanged() {
    hand?.drop();
    time.stop();
    hand = undefined;
  },
  // A bleeder that is locked open waits; one that is held is let go of.
  left() {
    hand?.letGo();
    time.stop();
  },
  entered() {
    if (hand?.open) time.begin(ticked);
  },
  draw(a) {
    if (!app) [app] = [a, listen()];
    app = a;
    if (!a.car) return nothingYet(a);
    // As long as nothing has been opened, what is changed elsewhere is simply taken.
    const untouched = hand && !hand.open && hand.closed.length === 0 && hand.now?.openings === 0;
    if (!hand || (untouched && began !== about(a))) begin();
    return page(hand!);
  },
};

/** The headline as one sentence. */
function title(h: Hand): string {
  if (h.trouble) return h.trouble;
  if (h.state === "held") return `${h.wheel} is open. Let go when you would close it.`;
  if (h.state === "locked") return `${h.wheel} is open. Tap again when you would close it.`;
  if (h.dry && h.last && h.now) {
    const { what, when } = ranDry(h.last, h.now);
    return what + when;
  }
  return h.last ? headline(h.last) : `Hold to open ${h.wheel}. Let go when you would close it.`;
}

function page(h: Hand): TemplateResult {
  const { now, last } = h;
  const shut = !h.open;
  const dry = h.dry && last && now ? ranDry(last, now) : undefined;
  const changed = began !== about(app);
  const lead = dry && shut && !h.trouble ? html`<span class="stop">${dry.what}</span>${dry.when}` : title(h);
  const results = shut && last && now;
  return html`<h1 class=${h.trouble ? "stop" : ""}><bdi>${lead}</bdi></h1>
    ${dry && now ? html`<p class="remedy">${remedy(now, least(h), h.own && h.own.totals.drained_ml + h.own.totals.removed_ml)}</p>` : nothing}
    ${changed ? html`<p class="about">The job was changed elsewhere on this page: “Start over” takes it.</p>` : nothing}
    <div class="two">
      <div class="left">
        ${bench(h)}
        <div class="driven">${button(h)}${choices(h)}${speed(h)}</div>
      </div>
      <div class=${`right ${results ? "results" : ""}`}>
        ${results ? told(last) : waiting(h)}
        ${results && !h.dry && !h.done ? html`<p class="next"><b>Next wheel:</b> <bdi>${h.wheel}</bdi> starts with ${startsWith(now.supply.reservoir_old_fraction)}.</p>` : nothing}
      </div>
      ${shut ? sum(h) : nothing}
    </div>`;
}

/** The load that the program's own job would have needed, if it runs dry too. */
function least(h: Hand): number | null | undefined {
  const own = h.own as { totals: { fluid?: { least_load_ml: number | null; loaded_ml: number } | null } } | undefined;
  const fluid = own?.totals.fluid;
  return fluid && fluid.least_load_ml !== null && fluid.least_load_ml > fluid.loaded_ml ? fluid.least_load_ml : undefined;
}

function waiting(h: Hand): TemplateResult {
  if (h.open) return html`<p class="watch">Watch the hose. Nobody tells you a percentage at a car either.</p>`;
  return html`<p class="watch">Old fluid comes first. When the hose looks clean to you, let go. Then see what is still old behind it.</p>
    <p class="about">A short tap keeps it open until the next tap. Space and Enter hold it too. What the job does before its first opening is done for you.</p>`;
}

function button(h: Hand): TemplateResult {
  const tap = html`<span class="by-touch">or tap to keep it open</span><span class="by-key">or the space bar</span>`;
  const first = h.closed.length === 0;
  const [what, how] = h.state === "held" ? ["Let go to close", "it is open as long as you hold"]
    : h.state === "locked" ? ["Tap to close", "it stays open by itself"]
    : h.dry ? ["Nothing flows any more", "start over below"]
    : h.opened(h.wheel) ? ["Hold to open again:", tap]
    : ["Hold to open", first ? tap : html`next in your order · ${tap}`];
  return html`<button type="button" class=${`handle ${h.state}`} aria-disabled=${h.dry ? "true" : "false"}
    @pointerdown=${on.pointerdown} @pointerup=${on.pointerup} @pointercancel=${on.pointercancel} @keydown=${on.keydown} @keyup=${on.keyup}
    @blur=${on.blur} @click=${on.click} @contextmenu=${(e: Event) => e.preventDefault()}>
    <span class="what">${what}${h.dry ? nothing : html` <bdi title=${h.wheel}>${h.wheel}</bdi>`}</span><span class="how">${how}</span></button>`;
}

function choices(h: Hand): TemplateResult {
  const still = h.open || h.dry;
  const one = (b: string) => html`<button type="button" aria-disabled=${still ? "true" : "false"} @click=${() => act((x) => x.choose(b))}><bdi title=${b}>${b}</bdi>${h.opened(b) ? " again" : ""}</button>`;
  const others = h.bleeders.filter((b) => b !== h.wheel);
  // All of one width, the longest name uncut if it is no novel.
  const wide = Math.min(20, Math.max(...others.map((b) => [...b].length + (h.opened(b) ? 6 : 0)), 4));
  const { upcoming } = h.now ?? {};
  const step = upcoming && h.closed.length > 0 ? html`<button type="button" class="wide" aria-disabled=${still ? "true" : "false"} @click=${() => act((x) => x.step())}>Next in this job: ${upcoming}</button>` : nothing;
  return html`<div class="choices" style=${`--letters:${wide}`} role="group" aria-label="Another wheel">${others.map(one)}${step}</div>`;
}

function speed(h: Hand): TemplateResult {
  const slow = h.now?.supply.gauge_kpa === 0;
  const factors = slow ? [...FACTORS, SLOW_FACTOR] : FACTORS;
  const one = (f: number) => html`<button type="button" aria-pressed=${f === factor ? "true" : "false"} @click=${() => act((x) => {
    if (x.open) x.advance(time.rest() * factor);
    factor = f;
  })}>${f}×</button>`;
  return html`<div class="speed"><div role="group" aria-label="How fast time runs">${factors.map(one)}</div>
    <p class="about">Time runs ${factor === 1 ? "as at the car" : `${factor} times as fast as at the car`}.</p>
    <button type="button" class=${h.dry ? "chief" : "plain"} @click=${startOver}>Start over</button></div>`;
}
