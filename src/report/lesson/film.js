"use strict";
// The film as recorded: what lies where, what is drained, at any time of the job. Nothing is computed here but
// straight lines between recorded moments.
const Film = (() => {
  const data = JSON.parse(document.getElementById("film").textContent);
  const size = data.parts.reduce((sum, p) => sum + p.cells, 0);

  for (const run of data.runs) {
    const text = atob(run.frames.cells);
    const bytes = new Uint8Array(text.length);
    for (let i = 0; i < text.length; i++) bytes[i] = text.charCodeAt(i);
    run.frames.cells = bytes;
    run.now = { cells: new Float32Array(size), level: 0, reservoir: 1 };
  }

  /** The last place in a rising column that is not after x; -1 before the first. */
  function last(column, x) {
    let low = 0, high = column.length;
    while (low < high) {
      const middle = (low + high) >> 1;
      if (column[middle] <= x) low = middle + 1; else high = middle;
    }
    return low - 1;
  }

  /** A column read at x of another, along straight lines. */
  function read(xs, ys, x) {
    const i = last(xs, x);
    if (i < 0) return ys.length ? ys[0] : 0;
    if (i + 1 >= xs.length) return ys[ys.length - 1];
    return ys[i] + (ys[i + 1] - ys[i]) * (x - xs[i]) / (xs[i + 1] - xs[i]);
  }

  /** Fills `run.now` with what lies where at time t. */
  function at(run, t) {
    const { frames, now } = run;
    const n = frames.t.length;
    const i = Math.min(Math.max(last(frames.t, t), 0), n - 1);
    const j = Math.min(i + 1, n - 1);
    const f = j > i && t > frames.t[i] ? (t - frames.t[i]) / (frames.t[j] - frames.t[i]) : 0;
    const a = i * size, b = j * size;
    for (let k = 0; k < size; k++) {
      const from = frames.cells[a + k];
      now.cells[k] = (from + (frames.cells[b + k] - from) * f) / 255;
    }
    now.level = frames.level[i] + (frames.level[j] - frames.level[i]) * f;
    now.reservoir = frames.reservoir[i] + (frames.reservoir[j] - frames.reservoir[i]) * f;
    return now;
  }

  const opened = (o, t) => t >= o.open;
  const closed = (o, t) => t >= o.close;
  /** Drained in an opening by time t, mL. */
  function drained(o, t) {
    if (!opened(o, t)) return 0;
    return closed(o, t) ? o.drained : read(o.t, o.ml, t);
  }
  const total = (run, t) => run.openings.reduce((sum, o) => sum + drained(o, t), 0);
  const seen = (o, t) => read(o.t, o.seen, t);
  const path = (o, t) => read(o.t, o.path, t);
  const flow = (o, t) => (opened(o, t) && !closed(o, t) ? read(o.t, o.flow, t) : 0);
  /** Millilitres by origin when `ml` were drained. */
  function origins(o, ml) {
    const i = Math.min(Math.max(last(o.grown, ml), 0), o.grown.length - 1);
    const j = Math.min(i + 1, o.grown.length - 1);
    const f = j > i ? (ml - o.grown[i]) / (o.grown[j] - o.grown[i]) : 0;
    return o.origins.map((_, k) => o.shares[i][k] + (o.shares[j][k] - o.shares[i][k]) * f);
  }
  const gauge = (run, t) => read(run.supply.t, run.supply.kpa, t);

  return { data, read, at, drained, total, seen, path, flow, origins, gauge, opened, closed, end: Math.max(...data.runs.map((r) => r.end)) };
})();
