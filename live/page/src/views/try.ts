// Try: tap the wheels in the order in which you would open them.
import { html, nothing, type TemplateResult } from "lit-html";
import type { App, View } from "../app.ts";
import type { Car, Change, Control, Run } from "../asked.ts";
import type { Answer } from "../core.ts";
import { legend, map } from "../map.ts";
import { inUnits } from "../units.ts";
import { whyNot } from "../words.ts";
import { nothingYet } from "./nothing.ts";
import { drawn as barsDrawn, trying } from "./try/bars.ts";
import { controls } from "./try/controls.ts";
import { figures } from "./try/figures.ts";
import { besideOf, decidesOf, Studies } from "./try/studies.ts";
import { alike, tap } from "./try/taps.ts";
import { tire, wheelsOf } from "./try/wheels.ts";
import { headline, MEASURE, prompt, stops, verdict, whole } from "./try/words.ts";

const studies = new Studies();
/** Runs that are kept, by what was changed. */
let runs = new Map<string, Answer<Run>>();
const KEPT = 6;
/** By supply what can be set. */
let settable = new Map<string, Control[]>();
/** The moment that is shown, if not the last. */
let moment: number | undefined;
let allBars = false;
/** From here on the car lies, front left. */
const lies = (): boolean => innerWidth >= 700;

export const tryView: View = {
  word: "try",
  name: "Try",
  short: "Try",
  carChanged() {
    studies.forget();
    [runs, settable, moment] = [new Map(), new Map(), undefined];
  },
  begun: (app) => addEventListener("resize", () => { if (app.view === tryView && app.car) app.draw(); }),
  left: () => studies.rest(),
  draw: (app) => (app.car ? page(app, app.car) : nothingYet(app)),
};

function run(app: App, change: Change): Answer<Run> {
  const key = JSON.stringify(change);
  const answer = runs.get(key) ?? app.run(change);
  runs.delete(key);
  runs.set(key, answer);
  if (runs.size > KEPT) runs.delete(runs.keys().next().value!);
  return answer;
}

function controlsOf(app: App, car: Car): Control[] {
  const { supply } = app.change;
  if (supply === undefined) return car.controls;
  if (!settable.has(supply)) {
    const answer = app.ask({ supply });
    settable.set(supply, "ok" in answer ? answer.ok.controls : car.controls);
  }
  return settable.get(supply)!;
}

function page(app: App, car: Car): TemplateResult {
  const { order: tapped = [], ...job } = app.change;
  const bleeders = car.opened_together.flat();
  const done = tapped.length === bleeders.length;
  const far: Change = { ...job, order: car.far_first };
  const yours: Change = { ...job, order: tapped };
  const isFar = done && alike(tapped, car.far_first, car.opened_together);
  const told = run(app, yours);
  if (!("ok" in told)) return broken(app, car, whyNot(told));
  const pinned = app.pin && run(app, app.pin);
  const wanted = [decidesOf(far)];
  if (done && !isFar) wanted.unshift(besideOf(yours, far), decidesOf(yours));
  studies.want(app, wanted);
  const base = studies.decides("far", far);
  const bars = done && !isFar ? studies.decides("yours", yours) : base;
  const head = headline(base.answer);
  const now = told.ok;
  return html`
    <div class="head"><h1 class=${base.late ? "late" : ""}>${head.text}</h1> <p class="basis">${base.error || head.basis}</p></div>
    <section class="picture" aria-label="The car" style="--ratio:${(car.map.high / car.map.wide).toFixed(3)}">${left(app, car, now, tapped)}</section>
    <section class="job" aria-label="The job">
      ${verdictOf(app, now, tapped, { done, isFar, yours, far })}
      ${figures(tapped.length ? now : undefined, done, pinned && "ok" in pinned ? pinned.ok : undefined)}
      ${tapped.length ? warnings(now) : nothing}
      <h2>${base.answer?.counted ? "What decides how much old fluid stays" : "What decides how much you use"}</h2>
      ${bars.answer ? barsDrawn(bars.answer, { late: bars.late, zero: done || car.opened_together.length === 1 ? "your job" : "far first", trying: trying(car, studies.progress), all: allBars, toggle: () => { allBars = !allBars; app.draw(); } }) : html`<p class="about late">${bars.error || trying(car, studies.progress)}</p>`}
      <h2>Change the job</h2>
      ${controls(car, controlsOf(app, car), app.change, (change, said) => changeTo(app, change, said))}
    </section>`;
}

interface Verdict {
  done: boolean;
  isFar: boolean;
  yours: Change;
  far: Change;
}

let saidLast = "";

function verdictOf(app: App, now: Run, tapped: readonly string[], { done, isFar, yours, far }: Verdict): TemplateResult {
  const said = (text: string, basis: string, state = "") => html`<h2 class="verdict ${state}">${text}</h2><p class="basis">${basis}</p>`;
  const why = stops(now);
  if (why) return said(why, "", "stop");
  const { length: wheels } = app.car!.opened_together;
  if (!done) return said(wheels === 1 ? "Tap to open: there is but one order." : prompt(wheelsDone(app, tapped)), "");
  if (isFar) return said(wheels === 1 ? "This is the whole job." : MEASURE, "");
  const beside = studies.beside(yours, far);
  const all = studies.decides("far", far).answer;
  if (!beside.answer) return said(beside.error || "Comparing with far wheel first.", "", beside.error ? "" : "late");
  const text = verdict(now, beside.answer, all?.counted ?? false, all?.order?.tried ?? 0);
  if (!beside.late && text !== saidLast) {
    saidLast = text;
    queueMicrotask(() => app.say(text));
  }
  return said(text, all?.counted ? "As counted: each opening by its millilitres." : "By eye: each opening until it looks clean.", beside.late ? "late" : "");
}

const wheelsDone = (app: App, tapped: readonly string[]): number =>
  app.car!.opened_together.filter((g) => g.some((name) => tapped.includes(name))).length;

function warnings(now: Run): TemplateResult | typeof nothing {
  const all = now.record.warnings;
  return all.length ? html`<details class="warnings"><summary>${all.length === 1 ? "One warning" : `${all.length} warnings`}</summary><ul>${all.map((w) => html`<li>${inUnits(w.text)}</li>`)}</ul></details>` : nothing;
}

function broken(app: App, car: Car, why: string): TemplateResult {
  return html`<h1>This job cannot be run.</h1><p>${why}</p>
    ${controls(car, controlsOf(app, car), app.change, (change, said) => changeTo(app, change, said))}`;
}

function left(app: App, car: Car, now: Run, tapped: readonly string[]): TemplateResult {
  const last = now.moments.length - 1;
  const shown = Math.min(moment ?? last, last);
  const at = now.moments[shown]!;
  const drained: Run | undefined = tapped.length ? now : undefined;
  const all = wheelsOf(car.opened_together, tapped, drained);
  const order = (o: readonly string[], said: string) => () => changeTo(app, withOrder(app.change, o), said);
  const { length: bleeders } = car.opened_together.flat();
  const whole = tapped.length === bleeders;
  return html`
    ${stepper(app, now, shown, whole ? undefined : bleeders)}
    ${map(car, at, { landscape: lies(), scale: scale(car), caption: "The car from above", tires: (name) => tire(all, name), press: (name) => tappedOn(app, car, car.opened_together.find((g) => g.includes(name)) ?? [name]) })}
    ${legend(car)}
    <div class="buttons">
      <button type="button" @click=${order([], "Nothing is opened yet.")}>Start over</button>
      <button type="button" @click=${order(car.far_first, "Far wheel first.")}>Far first</button>
      <button type="button" @click=${order(car.near_first, "Near wheel first.")}>Near first</button>
      <button type="button" class="pin" aria-disabled=${!app.pin && !whole} @click=${() => pin(app, whole)}>${app.pin ? "Unpin" : "Pin"}</button>
    </div>`;
}

/** Pixels of the map's unit, as style/try.css lays it out. */
function scale({ map: { wide, high } }: Car): number {
  const column = innerWidth < 1000 ? innerWidth - (innerWidth < 760 ? 32 : 64) : 0.545 * (Math.min(innerWidth, 1600) - 112);
  if (!lies()) return Math.min(520, column) / wide;
  const most = innerWidth < 1000 ? column : Math.max(420, ((innerHeight - 390) * high) / wide);
  return Math.min(column, most, 1.5 * high) / high;
}

/** Which moment of a job the map shows. */
function when(now: Run, shown: number, all: number | undefined): string {
  const last = now.moments.length - 1;
  if (shown === 0) return "Before the first";
  if (all === undefined && shown === last) return "When you have finished";
  const opened = now.moments[shown]!.openings;
  return `After ${now.record.openings[opened - 1]?.bleeder ?? ""}, ${opened} of ${all ?? now.record.openings.length}`;
}

/** `all` bleeders are opened in the whole job, of which this one is a part; nothing if it is the whole. */
function stepper(app: App, now: Run, shown: number, all: number | undefined): TemplateResult {
  const last = now.moments.length - 1;
  const step = (by: number) => () => {
    moment = Math.min(Math.max(shown + by, 0), last);
    app.say(when(now, moment, all));
    app.draw();
  };
  const text = when(now, shown, all);
  return html`<div class="stepper" role="group" aria-label="Moment that the map shows">
    <button type="button" aria-label="Earlier" aria-disabled=${shown === 0} @click=${step(-1)}>‹</button>
    <span><bdi title=${text}>${text}</bdi><br><span class="about">${shown === 0 ? "what is old, in %" : "what is still old, in %"}</span></span>
    <button type="button" aria-label="Later" aria-disabled=${shown === last} @click=${step(1)}>›</button>
  </div>`;
}

const withOrder = ({ order: _, ...rest }: Change, order: readonly string[]): Change => (order.length ? { ...rest, order: [...order] } : rest);

function tappedOn(app: App, car: Car, names: string[]): void {
  const order = tap(app.change.order ?? [], names, car.opened_together.flat().length);
  const change = withOrder(app.change, order);
  changeTo(app, change, "");
  const { order: now = [] } = app.change;
  const done = wheelsDone(app, now);
  const answer = run(app, { ...change, order: now });
  const opened = "ok" in answer ? answer.ok.record.openings.filter((o) => names.includes(o.bleeder)) : [];
  const drained = opened.length ? `${names.join(", ")}: ${whole(opened.reduce((sum, o) => sum + o.drained_ml, 0))} mL. ` : `${names.join(", ")}: not opened. `;
  app.say(drained + (done === car.opened_together.length ? "" : prompt(done)));
}

function changeTo(app: App, change: Change, said: string): void {
  if (change.order !== app.change.order) moment = undefined;
  app.alter(change);
  if (said) app.say(said);
}

function pin(app: App, whole: boolean): void {
  if (app.pin) {
    app.keep(undefined);
    app.say("No job is pinned.");
  } else if (whole) {
    app.keep(app.change);
    app.say("Pinned: its figures stand beneath.");
  } else {
    app.say("Open every bleeder first: a half-done job cannot be pinned.");
  }
}
