"use strict";
// The page: time, keys, panels.
(() => {
  const { data } = Film;
  const w = data.words;
  const $ = (id) => document.getElementById(id);
  const still = matchMedia("(prefers-reduced-motion: reduce)");
  const dark = matchMedia("(prefers-color-scheme: dark)");
  const clock = (s) => `${Math.floor(Math.round(s) / 60)}:${String(Math.round(s) % 60).padStart(2, "0")}`;
  const spoken = (s) => `${Math.floor(Math.round(s) / 60)} min ${Math.round(s) % 60} s`;
  const state = { t: 0, playing: false, other: 1, speed: 20, before: 0, jump: 0 };
  // While no bleeder is open nothing moves: that time passes so much faster, on the slider too.
  const HURRY = 12;
  // With reduced motion the picture jumps, this many seconds apart.
  const JUMP_S = 1.5;
  const hues = { reservoir: "#7a68c8", "master cylinder": "#d55e00", "shared line": "#0072b2", "own line": "#009e73", "hydraulic modulator": "#f0e442", "another circuit": "#52585e", "new fluid": "#9fd0ee" };
  const element = (tag, of, text) => {
    const e = document.createElement(tag);
    if (text !== undefined) e.textContent = text;
    of.append(e);
    return e;
  };

  /** One order on the page. */
  class Panel {
    constructor(run, second) {
      const node = $("panel").content.cloneNode(true);
      this.root = node.querySelector(".panel");
      this.second = second;
      for (const name of ["turns", "ways", "caption", "state", "sum", "rig", "curve", "origins", "parts", "pick"]) this[name] = node.querySelector("." + name);
      this.heading = node.querySelector("h2");
      this.heading.id = second ? "name-second" : "name-first";
      this.root.setAttribute("aria-labelledby", this.heading.id);
      this.who = node.querySelector(".who bdi");
      this.ml = node.querySelector("output");
      this.ml.setAttribute("aria-live", "off");
      if (!second || data.runs.length < 3) this.pick.remove();
      else {
        this.heading.className = "unseen";
        const select = this.pick.querySelector("select");
        data.runs.forEach((r, i) => { if (i) { const o = element("option", select, r.label); o.value = i; } });
        select.addEventListener("change", () => { state.other = Number(select.value); this.take(data.runs[state.other]); lay(); track(); compare(); tell(true); draw(); });
      }
      this.ways.addEventListener("pointermove", (e) => this.point(e.offsetX, e.offsetY));
      this.ways.addEventListener("pointerleave", () => this.point(-1, -1));
      this.parts.addEventListener("toggle", () => this.list());
      $("panels").append(node);
      this.take(run);
    }

    take(run) {
      this.run = run;
      this.focus = null;
      this.heading.textContent = run.label;
      this.turns.replaceChildren();
      this.buttons = run.openings.map((o) => {
        const b = element("button", element("li", this.turns), o.name + (o.pass > 1 ? ` (pass ${o.pass})` : ""));
        b.type = "button";
        b.dir = "auto";
        b.addEventListener("click", () => { this.focus = o; seek(o.open); });
        return b;
      });
      this.most = Math.max(1, ...run.openings.map((o) => o.drained));
      this.shown = null;
      this.text = {};
    }

    /** Sets text only where it changes. */
    set(node, key, text) {
      if (this.text[key] !== text) { this.text[key] = text; node.textContent = text; }
    }

    /** The opening that the station shows. */
    watched(t) {
      const begun = this.run.openings.filter((o) => Film.opened(o, t));
      const { focus } = this;
      // One that was asked for, until another is opened after it.
      if (focus && begun.includes(focus) && begun.every((o) => o.open < focus.close || o.close <= focus.open)) return focus;
      const open = this.open(t);
      if (open.length) return open[open.length - 1];
      return begun.length ? begun[begun.length - 1] : this.run.openings[0];
    }

    open(t) {
      return this.run.openings.filter((o) => Film.opened(o, t) && !Film.closed(o, t));
    }

    draw(t) {
      const { run } = this;
      Film.at(run, t);
      const open = this.open(t);
      const done = data.ways.map((_, way) => run.openings.some((o) => o.way === way && Film.closed(o, t)) && !open.some((o) => o.way === way));
      this.spots = Paint.ways(this.ways, run, open, done, t);
      const o = this.watched(t);
      run.openings.forEach((x, i) => {
        const kind = Film.closed(x, t) ? "done" : Film.opened(x, t) ? "on" : "";
        if (this.buttons[i].className !== kind) this.buttons[i].className = kind;
        const here = String(x === o);
        if (this.buttons[i].getAttribute("aria-current") !== here) this.buttons[i].setAttribute("aria-current", here);
      });
      if (!o) { this.set(this.who, "who", `no ${w.bleeder} is opened`); return; }
      const ml = Film.drained(o, t);
      this.set(this.who, "who", o.name);
      const going = open.includes(o);
      this.set(this.state, "state", going ? `open, ${Film.flow(o, t).toFixed(1)} mL/s` : Film.closed(o, t) ? `closed: ${o.by}` : "not open yet");
      this.set(this.ml, "ml", ml.toFixed(1));
      const strokes = o.strokes !== null && Film.closed(o, t) ? `, ${o.strokes} pedal strokes` : "";
      this.set(this.sum, "sum", `${Film.total(run, t).toFixed(1)} mL from all ${w.bleeders}${strokes}`);
      Instruments.rig(this.rig, run, o, t, this.most);
      Instruments.curve(this.curve, o, t);
      this.sources(o, ml);
    }

    sources(o, ml) {
      if (this.shown !== o) {
        this.shown = o;
        this.origins.replaceChildren();
        this.bars = o.origins.map((name, k) => {
          const li = element("li", this.origins);
          element("span", li, name.replace("line", w.tube));
          const bar = element("span", li);
          bar.className = "bar";
          const i = element("i", bar);
          i.style.background = hues[name] || "#cc79a7";
          const figure = element("span", li, "");
          figure.className = "figure";
          delete this.text["origin" + k];
          return { i, figure, key: "origin" + k };
        });
      }
      const now = Film.origins(o, ml);
      this.bars.forEach((b, k) => {
        b.i.style.transform = `scaleX(${Math.max(0, Math.min(1, now[k] / Math.max(o.drained, 1e-6))).toFixed(4)})`;
        this.set(b.figure, b.key, `${Math.abs(now[k]).toFixed(1)} mL`);
      });
    }

    point(x, y) {
      const spot = this.spots && this.spots.find((s) => x >= s.x && x <= s.x + s.w && y >= s.y && y <= s.y + s.h);
      this.caption.textContent = spot ? `${spot.name}: ${spot.ml.toFixed(1)} mL, ${(100 * spot.old).toFixed(0)} % old` : "Length is volume, and area is too: the reservoir to the left is to the same scale.";
    }

    /** What a screen reader is told of the pictures, and the parts if they are asked for. */
    settle(t) {
      const { run } = this;
      const o = this.watched(t);
      const now = Film.at(run, t);
      this.ways.setAttribute("aria-label", `Ways from the reservoir to ${data.ways.length} ${w.bleeders} at ${spoken(t)}. Reservoir ${(100 * now.reservoir).toFixed(0)} % old. ${this.ends()}`);
      if (o) {
        const on = Film.opened(o, t);
        this.rig.setAttribute("aria-label", `Clear hose of ${o.name}: ${on ? (100 * Film.seen(o, t)).toFixed(0) + " % old" : "not on yet"}; catch bottle ${Film.drained(o, t).toFixed(1)} mL; gauge ${data.us ? (Film.gauge(run, t) / 6.894757293168).toFixed(1) + " psi" : Film.gauge(run, t).toFixed(0) + " kPa"}.`);
        this.curve.setAttribute("aria-label", `Clearing curve of ${o.name}: looks clean ${o.looks_at === null ? "never" : "from " + o.looks_at.toFixed(0) + " mL"}; the way behind it is clean ${o.is_at === null ? "not at the close" : "from " + o.is_at.toFixed(0) + " mL"}.`);
      }
      this.point(-1, -1);
      this.list();
    }

    ends() {
      return data.rows.flatMap((r) => r.ends.map((e) => {
        const piece = r.pieces.filter((p) => p.x < e.x - 1e-6).pop();
        const part = piece && data.parts[piece.part];
        return part ? `At ${data.ways[e.way]} ${(100 * this.run.now.cells[part.first + part.cells - 1]).toFixed(0)} % old.` : "";
      })).join(" ");
    }

    list() {
      if (!this.parts.open) return;
      const body = this.parts.querySelector(".body");
      body.replaceChildren();
      const table = element("table", body);
      const head = element("tr", element("thead", table));
      for (const h of ["part", "holds", "old fluid"]) element("th", head, h).scope = "col";
      const rows = element("tbody", table);
      const { now } = this.run;
      const line = (name, ml, old) => {
        const tr = element("tr", rows);
        const th = element("th", tr);
        th.scope = "row";
        element("bdi", th, name);
        element("td", tr, `${ml.toFixed(1)} mL`);
        const td = element("td", tr);
        const i = element("i", td);
        i.className = "swatch";
        i.style.background = Paint.shade(old);
        td.append(`${(100 * old).toFixed(0)} %`);
      };
      line("reservoir", now.level, now.reservoir);
      for (const p of data.parts) {
        let sum = 0;
        for (let k = 0; k < p.cells; k++) sum += now.cells[p.first + k];
        line(p.name, p.ml, sum / p.cells);
      }
    }
  }

  const panels = [new Panel(data.runs[0], false)];
  if (data.runs.length > 1) {
    panels.push(new Panel(data.runs[1], true));
    $("panels").classList.add("two");
  }
  const time = $("time");

  // Time as the slider has it: seconds with a bleeder open, and the others by HURRY.
  const real = [], slid = [];
  function lay() {
    const spans = panels.flatMap((p) => p.run.openings.map((o) => [o.open, o.close])).sort((a, b) => a[0] - b[0]);
    real.length = slid.length = 0;
    real.push(0);
    slid.push(0);
    const reach = (t, rate) => {
      const i = real.length - 1;
      if (t > real[i]) { real.push(t); slid.push(slid[i] + (t - real[i]) / rate); }
    };
    for (const [open, close] of spans) { reach(open, HURRY); reach(close, 1); }
    reach(Film.end, HURRY);
    time.max = slid[slid.length - 1];
  }
  const toSlider = (t) => Film.read(real, slid, t);
  const fromSlider = (x) => Film.read(slid, real, x);

  /** The openings of each order as blocks below the slider. */
  function track() {
    $("track").replaceChildren();
    for (const p of panels) {
      const row = element("div", $("track"));
      // Those that are open together lie one above the other.
      const lanes = [];
      p.blocks = p.run.openings.map((o) => {
        const b = element("b", row, o.name);
        b.dataset.name = o.name;
        let lane = lanes.findIndex((end) => end <= o.open);
        if (lane < 0) lane = lanes.length;
        lanes[lane] = o.close;
        b.style.top = `${13 * lane}px`;
        const [from, to] = [toSlider(o.open), toSlider(o.close)];
        b.style.left = `${100 * from / time.max}%`;
        b.style.width = `${Math.max(0.4, 100 * (to - from) / time.max)}%`;
        return b;
      });
      row.className = lanes.length > 1 ? "several" : "";
      row.style.height = lanes.length > 1 ? `${13 * lanes.length}px` : "";
    }
    letter();
  }

  /** Names of the blocks, but for those too narrow for a few letters. */
  function letter() {
    for (const b of document.querySelectorAll("#track b")) {
      b.textContent = b.dataset.name;
      if (b.scrollWidth > b.clientWidth && b.clientWidth < 36) b.textContent = "";
    }
  }

  function compare() {
    const table = $("difference");
    if (!table) return;
    $("other-name").textContent = data.runs[state.other].label;
    for (const td of table.querySelectorAll("[data-figure]")) td.textContent = data.comparisons[td.dataset.figure].figures[state.other];
    for (const td of table.querySelectorAll("[data-difference]")) td.textContent = data.comparisons[td.dataset.difference].differences[state.other];
  }

  function draw() {
    const t = state.t;
    for (const p of panels) {
      p.draw(t);
      p.run.openings.forEach((o, i) => {
        const kind = Film.closed(o, t) ? "done" : Film.opened(o, t) ? "on" : "";
        if (p.blocks[i].className !== kind) p.blocks[i].className = kind;
      });
    }
    time.value = toSlider(t);
    $("clock").textContent = clock(t);
    const over = t >= Film.end - 1e-6;
    if ($("difference") && $("difference").hidden === over) {
      $("difference").hidden = $("apart").hidden = !over;
      $("wait").hidden = over;
    }
  }

  /** What goes on at time t in one order, in words. */
  function summary(run, t) {
    const open = run.openings.filter((o) => Film.opened(o, t) && !Film.closed(o, t));
    if (t >= run.end - 1e-6) return `${run.label}: done, ${Film.total(run, t).toFixed(0)}\u00a0mL drained.`;
    if (open.length > 2) return `${run.label}: ${open.length} ${w.bleeders} open, ${open.map((o) => o.name).join(", ")}; ${open.reduce((sum, o) => sum + Film.drained(o, t), 0).toFixed(0)}\u00a0mL out of them so far.`;
    if (open.length) return `${run.label}: ${open.map((o) => `${o.name} open, ${Film.drained(o, t).toFixed(0)}\u00a0mL, ${100 * Film.seen(o, t) < 0.5 ? 0 : (100 * Film.seen(o, t)).toFixed(0)}\u00a0% old in the hose`).join("; ")}.`;
    const over = run.openings.filter((o) => Film.closed(o, t));
    const step = run.steps.filter((s) => s.at <= t && s.at > (over.length ? over[over.length - 1].close : 0) - 1e-6).pop();
    if (!over.length) return `${run.label}: ${step ? step.text : "setting up"}.`;
    const last = over[over.length - 1];
    return `${run.label}: ${last.name} closed at ${last.drained.toFixed(0)}\u00a0mL${over.length < run.openings.length ? ", on to the next" : ", finishing"}.`;
  }

  let key = "";
  /** Says what has happened, in words: at events while it plays, at once when time is set by hand. */
  function tell(now) {
    const t = state.t;
    const happened = panels.map((p) => p.run.openings.map((o) => (Film.closed(o, t) ? 3 : Film.opened(o, t) ? (o.looks_at !== null && Film.drained(o, t) >= o.looks_at ? 2 : 1) : 0)).join("")).join("/") + (t >= Film.end - 1e-6);
    if (!now && happened === key) return;
    key = happened;
    $("told").textContent = panels.map((p) => summary(p.run, t)).join(" ");
    time.setAttribute("aria-valuetext", `${spoken(t)}. ${summary(panels[0].run, t)}`);
    for (const p of panels) p.settle(t);
  }

  function seek(t) {
    state.t = Math.max(0, Math.min(Film.end, t));
    draw();
    tell(true);
  }

  function play(on) {
    if (on && state.t >= Film.end - 1e-6) state.t = 0;
    state.playing = on;
    state.before = state.jump = 0;
    $("play").setAttribute("aria-pressed", String(on));
    $("play").querySelector(".word").textContent = on ? "Pause" : "Play";
    if (on) requestAnimationFrame(frame);
    else { draw(); tell(true); }
  }

  function frame(at) {
    if (!state.playing) return;
    const seconds = state.before ? Math.min(0.25, (at - state.before) / 1000) : 0;
    state.before = at;
    let step = seconds;
    if (still.matches) {
      state.jump += seconds;
      step = state.jump >= JUMP_S ? JUMP_S : 0;
      if (step) state.jump = 0;
    }
    if (step || !still.matches) {
      state.t = Math.min(Film.end, fromSlider(toSlider(state.t) + step * state.speed));
      draw();
      tell(false);
    }
    if (state.t >= Film.end) play(false);
    else requestAnimationFrame(frame);
  }

  /** The opening before or after now, in either order. */
  function opening(forward) {
    const at = panels.flatMap((p) => p.run.openings.map((o) => o.open)).sort((a, b) => a - b);
    seek(forward ? at.find((x) => x > state.t + 0.01) ?? Film.end : at.reverse().find((x) => x < state.t - 0.01) ?? 0);
  }

  $("play").addEventListener("click", () => play(!state.playing));
  $("before").addEventListener("click", () => opening(false));
  $("after").addEventListener("click", () => opening(true));
  if ($("finish")) $("finish").addEventListener("click", () => seek(Film.end));
  $("speed").addEventListener("change", (e) => { state.speed = Number(e.target.value); });
  time.addEventListener("input", () => { seek(fromSlider(Number(time.value))); });
  document.addEventListener("keydown", (e) => {
    if (e.ctrlKey || e.metaKey || e.altKey) return;
    const on = e.target;
    const own = on.matches("select, textarea, input:not(#time)");
    const presses = on.matches("button, summary, a");
    const jobs = { " ": () => play(!state.playing), ArrowRight: () => seek(state.t + 5), ArrowLeft: () => seek(state.t - 5), PageDown: () => opening(true), PageUp: () => opening(false), Home: () => seek(0), End: () => seek(Film.end) };
    if (on === time) Object.assign(jobs, { ArrowUp: jobs.ArrowRight, ArrowDown: jobs.ArrowLeft });
    if (own || !jobs[e.key] || (e.key === " " && presses)) return;
    e.preventDefault();
    jobs[e.key]();
  });
  const dress = () => { Paint.dress(); draw(); for (const p of panels) p.list(); };
  dark.addEventListener("change", dress);
  new ResizeObserver(() => { letter(); draw(); }).observe($("panels"));

  $("of").textContent = `of ${clock(Film.end)}`;
  lay();
  track();
  compare();
  Paint.dress();
  seek(0);
  // Canvases letter with the page's own faces once these are read.
  Promise.all([400, 700].map((weight) => document.fonts.load(`${weight} 13px Page`))).then(() => { letter(); draw(); }, () => {});
  // For whoever tests the page.
  window.lesson = { seek, draw, play, state, panels };
})();
