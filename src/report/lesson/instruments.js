"use strict";
// Clear hose with bottle and gauge, and the clearing curve.
const Instruments = (() => {
  const { begin, fit, fill, font, stride, colour, shade } = Paint;

  /** Clear hose, catch bottle and gauge. */
  function rig(canvas, run, o, t, most) {
    const s = begin(canvas);
    if (!s) return;
    const { c, width, height } = s;
    const ml = Film.drained(o, t);
    const on = Film.opened(o, t);
    const seen = on ? Film.seen(o, t) : 0;
    const gaugeWide = Math.min(150, width * 0.42);
    const left = 4, right = width - gaugeWide - 14;
    // The hose: from the bleeder down into the bottle.
    const bw = Math.min(92, (right - left) * 0.55), bx = right - bw, by = 44, bh = height - by - 8;
    const mid = bx + bw / 2, y = 20, r = 7;
    const pipe = new Path2D();
    pipe.moveTo(left + 16, y); pipe.lineTo(mid - 14, y); pipe.quadraticCurveTo(mid, y, mid, y + 14); pipe.lineTo(mid, by + 12);
    c.lineCap = "butt";
    c.strokeStyle = colour.grey; c.lineWidth = 2 * r + 3; c.stroke(pipe);
    c.strokeStyle = on ? shade(seen) : colour.card; c.lineWidth = 2 * r; c.stroke(pipe);
    if (on && seen > 0.04) { c.globalAlpha = 0.5 * seen; c.strokeStyle = c.grain; c.stroke(pipe); c.globalAlpha = 1; }
    c.fillStyle = on && !Film.closed(o, t) ? colour.mark : colour.grey;
    c.beginPath(); c.arc(left + 9, y, 8, 0, 2 * Math.PI); c.fill();
    // The bottle.
    const part = o.origins.indexOf("new fluid");
    const mixed = ml > 0 ? 1 - (part < 0 ? 0 : Film.origins(o, ml)[part]) / ml : 0;
    const step = stride(most, 4), top = Math.ceil(most / step) * step;
    const h = (bh - 6) * ml / top;
    fill(c, bx, by + bh - h, bw, h, mixed);
    c.strokeStyle = colour.ink; c.lineWidth = 2;
    c.beginPath(); c.moveTo(bx, by); c.lineTo(bx, by + bh); c.lineTo(bx + bw, by + bh); c.lineTo(bx + bw, by); c.stroke();
    c.font = font(11); c.fillStyle = colour.grey; c.strokeStyle = colour.grey; c.lineWidth = 1; c.textAlign = "right"; c.textBaseline = "middle";
    for (let v = step; v <= top + 1e-9; v += step) {
      const ly = by + bh - (bh - 6) * v / top;
      c.beginPath(); c.moveTo(bx - 6, ly); c.lineTo(bx, ly); c.stroke();
      c.fillText(Math.round(v * 10) / 10 + (v + step > top + 1e-9 ? " mL" : ""), bx - 9, ly);
    }
    c.textAlign = "left";
    gauge(c, run, t, width - gaugeWide, gaugeWide, height);
  }

  function gauge(c, run, t, x, wide, height) {
    const most = run.supply.most;
    const cx = x + wide / 2, cy = height * 0.56, r = Math.min(wide / 2 - 6, height * 0.44);
    c.textAlign = "center";
    if (most < 0.5) {
      c.font = font(12); c.fillStyle = colour.grey;
      c.fillText("no gauge:", cx, cy - 8);
      c.fillText(fit(c, run.supply.name, wide), cx, cy + 8);
      c.textAlign = "left";
      return;
    }
    const each = Film.data.us ? 6.894757293168 : 1, shown = most * 1.05 / each;
    const step = stride(shown, 4), top = Math.ceil(shown / step) * step;
    const angle = (mark) => Math.PI * (0.8 + 1.4 * mark / top);
    c.lineWidth = 5; c.strokeStyle = colour.hair;
    c.beginPath(); c.arc(cx, cy, r - 3, angle(0), angle(top)); c.stroke();
    const kpa = Film.gauge(run, t);
    c.strokeStyle = colour.accent;
    c.beginPath(); c.arc(cx, cy, r - 3, angle(0), angle(kpa / each)); c.stroke();
    c.font = font(10); c.fillStyle = colour.grey;
    for (let v = 0; v <= top + 1e-9; v += step) {
      const a = angle(v);
      c.fillText(String(Math.round(v)), cx + (r - 17) * Math.cos(a), cy + (r - 17) * Math.sin(a));
    }
    const a = angle(kpa / each);
    c.strokeStyle = colour.ink; c.lineWidth = 2.5;
    c.beginPath(); c.moveTo(cx - 6 * Math.cos(a), cy - 6 * Math.sin(a)); c.lineTo(cx + (r - 8) * Math.cos(a), cy + (r - 8) * Math.sin(a)); c.stroke();
    c.fillStyle = colour.ink; c.beginPath(); c.arc(cx, cy, 4, 0, 2 * Math.PI); c.fill();
    c.font = font(15, 700);
    const psi = (kpa / 6.894757293168).toFixed(1);
    c.fillText(Film.data.us ? `${psi} psi` : `${kpa.toFixed(0)} kPa`, cx, cy + r * 0.62);
    c.font = font(11); c.fillStyle = colour.grey;
    c.fillText(Film.data.us ? "at the gauge" : `${psi} psi at the gauge`, cx, cy + r * 0.62 + 16);
    c.textAlign = "left";
  }

  /** What is seen in the hose, and what lies on the way, against the millilitres. */
  function curve(canvas, o, t) {
    const s = begin(canvas);
    if (!s) return;
    const { c, width, height } = s;
    const left = 40, right = width - 10, top = 8, bottom = height - 34;
    const span = Math.max(o.drained, 1) * 1.02;
    const X = (ml) => left + (right - left) * ml / span;
    const Y = (old) => bottom - (bottom - top) * old;
    const ml = Film.drained(o, t);
    c.font = font(11); c.textBaseline = "middle"; c.fillStyle = colour.grey; c.strokeStyle = colour.hair; c.lineWidth = 1;
    c.textAlign = "right";
    for (const share of [0, 0.5, 1]) {
      c.beginPath(); c.moveTo(left, Y(share)); c.lineTo(right, Y(share)); c.stroke();
      c.fillText(`${100 * share} %`, left - 5, Y(share));
    }
    c.textAlign = "center"; c.textBaseline = "top";
    const step = stride(span, width < 480 ? 4 : 7);
    for (let v = 0; v <= span; v += step) c.fillText(String(Math.round(v * 100) / 100), X(v), bottom + 5);
    c.fillText("mL drained at this bleeder", (left + right) / 2, bottom + 18);
    if (ml > 0) {
      // Old below the curve, new above, as in the hose.
      c.fillStyle = colour.new;
      c.fillRect(X(0), top, X(ml) - X(0), bottom - top);
      const area = new Path2D();
      const line = new Path2D();
      const way = new Path2D();
      area.moveTo(X(0), bottom);
      let k = 0;
      for (; k < o.ml.length && o.ml[k] <= ml; k++) {
        area.lineTo(X(o.ml[k]), Y(o.seen[k]));
        line[k ? "lineTo" : "moveTo"](X(o.ml[k]), Y(o.seen[k]));
        way[k ? "lineTo" : "moveTo"](X(o.ml[k]), Y(o.path[k]));
      }
      const [seen, path] = [Film.seen(o, t), Film.path(o, t)];
      area.lineTo(X(ml), Y(seen)); line.lineTo(X(ml), Y(seen)); way.lineTo(X(ml), Y(path));
      area.lineTo(X(ml), bottom); area.closePath();
      c.fillStyle = colour.old; c.fill(area);
      c.globalAlpha = 0.4; c.fillStyle = c.grain; c.fill(area); c.globalAlpha = 1;
      c.strokeStyle = "#1f2429"; c.lineWidth = 2; c.stroke(line);
      c.setLineDash([6, 4]); c.strokeStyle = "#005f94"; c.lineWidth = 2.2; c.stroke(way); c.setLineDash([]);
    }
    c.font = font(11); c.textBaseline = "middle";
    // Dark on the areas, which are bright on a dark page too.
    c.setLineDash([2, 4]); c.lineWidth = 1.2;
    for (const [from, to, ink] of [[left, X(ml), "#1f2429"], [X(ml), right, colour.ink]]) {
      c.strokeStyle = ink;
      c.beginPath(); c.moveTo(from, Y(o.threshold)); c.lineTo(to, Y(o.threshold)); c.stroke();
    }
    c.setLineDash([]);
    const below = `looks clean below ${(100 * o.threshold).toFixed(0)} %`;
    // Beside the names of the lines, if they are there.
    if (right - X(ml) > c.measureText(below).width + (ml > 0 ? c.measureText("on the way 100 %").width + 20 : 8)) { c.textAlign = "right"; c.fillStyle = colour.grey; c.fillText(below, right, Y(o.threshold) - 8); }
    if (ml > 0) named(c, [[`in the hose ${(100 * Film.seen(o, t)).toFixed(0)} %`, Y(Film.seen(o, t)), colour.ink], [`on the way ${(100 * Film.path(o, t)).toFixed(0)} %`, Y(Film.path(o, t)), colour.accent]], X(ml) + 5, right, [top + 7, bottom - 7]);
    const closed = Film.closed(o, t);
    const marks = [];
    if (o.looks_at !== null && ml >= o.looks_at) marks.push([o.looks_at, `looks clean: ${o.looks_at.toFixed(0)} mL`, 0, "diamond"]);
    if (o.is_at !== null && ml >= o.is_at) marks.push([o.is_at, `the way is as clean: ${o.is_at.toFixed(0)} mL`, 1, "full"]);
    else if (closed && o.path.length) marks.push([o.drained, `not clean: ${(100 * Film.path(o, t)).toFixed(0)} % on the way`, 1, "hollow"]);
    c.textBaseline = "middle"; c.font = font(12, 700);
    for (const [at, text, row, sign] of marks) {
      const x = X(at), y = top + 12 + 20 * row;
      c.strokeStyle = "#1f2429"; c.lineWidth = 1.5;
      c.beginPath(); c.moveTo(x, y + 8); c.lineTo(x, bottom); c.stroke();
      const wide = 15 + c.measureText(text).width;
      const tx = Math.max(left + 4, Math.min(x - 5, Math.max(X(ml), left + wide + 12) - wide - 6));
      c.fillStyle = "#fdfcf8"; c.globalAlpha = 0.94; c.fillRect(tx - 3, y - 9, wide + 6, 18); c.globalAlpha = 1;
      c.fillStyle = "#1f2429"; c.textAlign = "left"; c.fillText(text, tx + 15, y + 0.5);
      c.beginPath();
      if (sign === "diamond") { c.moveTo(tx, y); c.lineTo(tx + 5.5, y - 5.5); c.lineTo(tx + 11, y); c.lineTo(tx + 5.5, y + 5.5); c.closePath(); }
      else c.rect(tx + 1, y - 4.5, 9, 9);
      if (sign === "hollow") c.stroke(); else c.fill();
    }
    c.textAlign = "left";
  }

  /** Names beside the ends of the lines, apart from each other; none where there is no room. */
  function named(c, [hose, way], x, right, [low, high]) {
    const wide = Math.max(c.measureText(hose[0]).width, c.measureText(way[0]).width);
    if (x + wide > right) return;
    const [upper, lower] = hose[1] <= way[1] ? [hose, way] : [way, hose];
    const gap = Math.max(0, 14 - (lower[1] - upper[1])) / 2;
    let y = Math.max(low, upper[1] - gap);
    const y2 = Math.min(high, Math.max(lower[1] + gap, y + 14));
    y = Math.min(y, y2 - 14);
    c.textAlign = "left";
    for (const [[text, , ink], at] of [[upper, y], [lower, y2]]) {
      c.fillStyle = colour.card; c.fillRect(x - 2, at - 7, c.measureText(text).width + 4, 14);
      c.fillStyle = ink; c.fillText(text, x, at);
    }
  }

  return { rig, curve };
})();
