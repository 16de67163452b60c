"use strict";
// Drawing on canvases: what every picture needs, and the ways.
const Paint = (() => {
  const css = (name) => getComputedStyle(document.documentElement).getPropertyValue(name).trim();
  const colour = {};
  const shades = new Array(256);
  const rgb = (hex) => [1, 3, 5].map((i) => parseInt(hex.slice(i, i + 2), 16));

  /** Reads the colours of the page: light or dark. */
  function dress() {
    for (const name of ["paper", "card", "ink", "grey", "hair", "accent", "old", "new", "grain", "mark"]) colour[name] = css("--" + name);
    const [a, b] = [rgb(colour.new), rgb(colour.old)];
    for (let i = 0; i < 256; i++) {
      const mix = a.map((x, k) => Math.round(x + (b[k] - x) * i / 255));
      shades[i] = `rgb(${mix.join(",")})`;
    }
  }
  const shade = (old) => shades[Math.max(0, Math.min(255, Math.round(255 * old)))];

  // The grain of old fluid, so that it is known without colour.
  const grain = document.createElement("canvas");
  grain.width = grain.height = 12;
  {
    const g = grain.getContext("2d");
    g.strokeStyle = "#5a3500";
    g.lineWidth = 2.2;
    g.beginPath();
    for (const d of [-12, 0, 12]) { g.moveTo(d - 1, 13); g.lineTo(d + 13, -1); }
    g.stroke();
  }

  /** A context in CSS pixels, cleared; null while the canvas is not shown. */
  function begin(canvas, height) {
    const width = canvas.clientWidth;
    if (!width) return null;
    if (height && canvas.style.height !== height + "px") canvas.style.height = height + "px";
    const tall = height || canvas.clientHeight;
    const ratio = Math.min(window.devicePixelRatio || 1, 3);
    const [w, h] = [Math.round(width * ratio), Math.round(tall * ratio)];
    if (canvas.width !== w || canvas.height !== h) { canvas.width = w; canvas.height = h; }
    const c = canvas.getContext("2d");
    c.setTransform(ratio, 0, 0, ratio, 0, 0);
    c.clearRect(0, 0, width, tall);
    if (!c.grain || c.grainRatio !== ratio) {
      c.grain = c.createPattern(grain, "repeat");
      c.grain.setTransform(new DOMMatrix().scale(0.5));
      c.grainRatio = ratio;
    }
    return { c, width, height: tall };
  }

  const font = (size, weight = 400) => `${weight} ${size}px Page, "Noto Sans", Arial, sans-serif`;

  /** Text that ends in an ellipsis where it would be wider than `room`. */
  function fit(c, text, room) {
    if (c.measureText(text).width <= room) return text;
    let low = 0, high = text.length;
    while (low < high) {
      const middle = (low + high + 1) >> 1;
      if (c.measureText(text.slice(0, middle) + "…").width <= room) low = middle; else high = middle - 1;
    }
    return low ? text.slice(0, low) + "…" : "";
  }

  function fill(c, x, y, w, h, old) {
    c.fillStyle = shade(old);
    c.fillRect(x, y, w, h);
    if (old > 0.04) {
      c.globalAlpha = 0.5 * old;
      c.fillStyle = c.grain;
      c.fillRect(x, y, w, h);
      c.globalAlpha = 1;
    }
  }

  const { data } = Film;
  const longest = Math.max(1, ...data.rows.map((r) => r.x + r.pieces.reduce((sum, p) => sum + data.parts[p.part].ml, 0)));
  const onPath = data.ways.map((_, way) => {
    // Pieces from the reservoir to the bleeder: those of its row up to it, then those of the row it branches from.
    const found = new Set();
    let row = data.rows.findIndex((r) => r.ends.some((e) => e.way === way));
    if (row < 0) return found;
    let upTo = data.rows[row].ends.find((e) => e.way === way).x;
    while (row !== null && row >= 0) {
      const r = data.rows[row];
      for (const p of r.pieces) if (p.x < upTo - 1e-6) found.add(row + ":" + p.part);
      upTo = r.x;
      row = r.from;
    }
    return found;
  });

  /** Where everything stands on a canvas of this width. */
  function layout(width) {
    const phone = width < 480;
    const strip = phone ? 15 : 20;
    const pitch = strip + (phone ? 21 : 23);
    const rows = data.rows.length + (data.beside.length ? 1 : 0);
    const top = 6, bottom = 30;
    const tall = Math.max(rows * pitch, 92);
    const pad = 18, joint = 16;
    // Area is volume in reservoir and strips alike.
    const scale = (width - pad - joint - 2) / (longest + data.brim * strip / tall);
    const vessel = data.brim * scale * strip / tall;
    const x0 = 2 + vessel + joint;
    return { phone, strip, pitch, top, tall, vessel, scale, x0, height: top + tall + bottom, y: (row) => top + row * pitch + (pitch - strip) };
  }

  /** The ways. `open` are the openings under way, `marks` says of each way whether it is done. Gives what lies where. */
  function ways(canvas, run, open, done, t) {
    const l = layout(canvas.clientWidth);
    const s = begin(canvas, l.height);
    if (!s) return [];
    const { c, width } = s;
    const { now } = run;
    const spots = [];
    const lit = new Set();
    for (const o of open) for (const key of onPath[o.way]) lit.add(key);

    // The reservoir, from its empty bottom up.
    const bottom = l.top + l.tall;
    const level = l.tall * Math.min(1, now.level / data.brim);
    fill(c, 2, bottom - level, l.vessel, level, now.reservoir);
    c.lineWidth = 1.5;
    c.strokeStyle = open.length ? colour.ink : colour.grey;
    c.beginPath();
    c.moveTo(2, l.top); c.lineTo(2, bottom); c.lineTo(2 + l.vessel, bottom); c.lineTo(2 + l.vessel, l.top);
    c.stroke();
    spots.push({ x: 2, y: l.top, w: l.vessel, h: l.tall, name: "reservoir", ml: now.level, old: now.reservoir });
    c.textBaseline = "middle";
    c.font = font(l.phone ? 12 : 13, 700);
    c.fillStyle = colour.ink;
    if (l.vessel > 76) c.fillText("reservoir", 9, l.top + 11);

    const labels = [];
    // Joints first, strips over them.
    const joints = data.rows.map((r, i) => ({ r, i, x: l.x0 + r.x * l.scale, y: l.y(i) + l.strip / 2 }));
    for (const { r, i, x, y } of joints) {
      const first = r.pieces[0];
      const on = first && lit.has(i + ":" + first.part);
      c.strokeStyle = on ? colour.ink : colour.grey;
      c.lineWidth = on ? 3 : 1.5;
      c.beginPath();
      if (r.from === null) { c.moveTo(2 + l.vessel, y); c.lineTo(x, y); }
      else { c.moveTo(x, joints[r.from].y); c.lineTo(x, y); }
      c.stroke();
    }
    c.textBaseline = "middle";
    data.rows.forEach((r, i) => {
      const y = l.y(i);
      let x = l.x0 + r.x * l.scale;
      for (const piece of r.pieces) {
        const part = data.parts[piece.part];
        const px = l.x0 + piece.x * l.scale, w = part.ml * l.scale;
        let sum = 0;
        for (let k = 0; k < part.cells; k++) {
          const old = now.cells[part.first + k];
          sum += old;
          // Half a pixel over, so that no seam shows.
          fill(c, px + w * k / part.cells, y, w / part.cells + (k + 1 < part.cells ? 0.5 : 0), l.strip, old);
        }
        spots.push({ x: px, y, w, h: l.strip, name: part.name, ml: part.ml, old: sum / part.cells, kind: part.kind });
        x = px + w;
      }
      // Outlines: thin everywhere, thick on the open way.
      for (const piece of r.pieces) {
        const part = data.parts[piece.part];
        const on = lit.has(i + ":" + piece.part);
        const px = l.x0 + piece.x * l.scale, w = part.ml * l.scale;
        c.strokeStyle = on ? colour.ink : colour.grey;
        c.lineWidth = on ? 2.5 : 1;
        c.strokeRect(px, y, w, l.strip);
        if (piece !== r.pieces[0]) {
          // Within the strip, which is bright on a dark page too.
          c.strokeStyle = "#1f2429";
          c.lineWidth = on ? 1.5 : 1;
          c.beginPath(); c.moveTo(px, y + c.lineWidth); c.lineTo(px, y + l.strip - c.lineWidth); c.stroke();
        }
        if (!l.phone) {
          c.font = font(11);
          const room = w - 8;
          if (room > 26) {
            const text = fit(c, part.name, room);
            if (text.length > 3) {
              const wide = c.measureText(text).width;
              c.globalAlpha = 0.72;
              c.fillStyle = "#fdfcf8";
              c.fillRect(px + 3, y + 3, wide + 4, l.strip - 6);
              c.globalAlpha = 1;
              c.fillStyle = "#1f2429";
              c.fillText(text, px + 5, y + l.strip / 2 + 0.5);
              labels.push({ row: i, from: px + 3, to: px + wide + 7 });
            }
          }
        }
      }
      // Bleeders.
      for (const end of r.ends) {
        const on = open.some((o) => o.way === end.way);
        // At the end of the strip, or hanging from it where fluid goes on to another.
        const last = l.x0 + end.x * l.scale > x - 1;
        const ex = l.x0 + end.x * l.scale + (last ? 8 : -5);
        const ey = last ? y + l.strip / 2 : y + l.strip + 4;
        c.beginPath();
        c.arc(ex, ey, last ? 5.5 : 4, 0, 2 * Math.PI);
        c.fillStyle = on ? colour.mark : colour.card;
        c.strokeStyle = on ? colour.mark : colour.grey;
        c.lineWidth = 1.8;
        c.fill();
        c.stroke();
        if (done[end.way] && !last) {
          c.fillStyle = colour.ink;
          c.beginPath(); c.arc(ex, ey, 2, 0, 2 * Math.PI); c.fill();
        } else if (done[end.way]) {
          c.strokeStyle = colour.ink;
          c.beginPath(); c.moveTo(ex - 3, ey); c.lineTo(ex - 0.6, ey + 2.6); c.lineTo(ex + 3.4, ey - 2.8); c.stroke();
        }
      }
      // What the row leads to, above its own beginning.
      const names = r.ends.map((e) => data.ways[e.way]).join(", ");
      const hot = r.ends.some((e) => open.some((o) => o.way === e.way));
      c.font = font(l.phone ? 12 : 13, 700);
      c.fillStyle = hot ? colour.mark : colour.ink;
      const lx = l.x0 + r.x * l.scale + (r.from === null ? 0 : 5);
      const room = width - lx - 4;
      const signs = !hot ? "" : c.measureText(names + " • open").width <= room ? " • open" : " •";
      c.fillText(fit(c, names, room - c.measureText(signs).width) + signs, lx, y - (l.phone ? 8 : 9));
    });
    if (open.length) flow(c, l, open, t, labels);
    if (data.beside.length) beside(c, l, now, spots, width);
    axis(c, l, bottom);
    return spots;
  }

  /** Chevrons on the open way, moving on with the millilitres; under names they pass unseen. */
  function flow(c, l, open, t, labels) {
    c.strokeStyle = "#1f2429";
    c.globalAlpha = 0.6;
    c.lineWidth = 1.6;
    const every = 34;
    for (const o of open) {
      const ml = Film.drained(o, t);
      const keys = onPath[o.way];
      c.beginPath();
      data.rows.forEach((r, i) => {
        const mine = r.pieces.filter((p) => keys.has(i + ":" + p.part));
        if (!mine.length) return;
        const from = l.x0 + mine[0].x * l.scale;
        const lastPiece = mine[mine.length - 1];
        const to = l.x0 + (lastPiece.x + data.parts[lastPiece.part].ml) * l.scale;
        const y = l.y(i) + l.strip - 4;
        let x = l.x0 + ((ml * l.scale) % every);
        while (x < from + 5) x += every;
        for (; x < to - 2; x += every) {
          if (labels.some((n) => n.row === i && x > n.from && x - 4 < n.to)) continue;
          c.moveTo(x - 4, y - 2.6); c.lineTo(x, y); c.lineTo(x - 4, y + 2.6);
        }
      });
      c.stroke();
    }
    c.globalAlpha = 1;
  }

  /** Parts on no way, side by side in a row of their own. */
  function beside(c, l, now, spots, width) {
    const y = l.y(data.rows.length);
    c.font = font(l.phone ? 12 : 13, 700);
    c.fillStyle = colour.ink;
    c.fillText(fit(c, `on no ${data.words.bleeder}’s way` + (l.phone ? "" : ": pockets, dead ends, loops"), width - l.x0), l.x0, y - (l.phone ? 8 : 9));
    let x = l.x0;
    for (const index of data.beside) {
      const part = data.parts[index];
      const w = part.ml * l.scale;
      let sum = 0;
      for (let k = 0; k < part.cells; k++) {
        sum += now.cells[part.first + k];
        fill(c, x + w * k / part.cells, y, w / part.cells + 0.3, l.strip, now.cells[part.first + k]);
      }
      c.strokeStyle = colour.grey;
      c.lineWidth = 1;
      c.strokeRect(x, y, w, l.strip);
      spots.push({ x, y, w: Math.max(w, 6), h: l.strip, name: part.name, ml: part.ml, old: sum / part.cells });
      x += w + 7;
    }
  }

  /** A step that gives a handful of marks. */
  function stride(range, count) {
    const rough = range / count;
    const ten = 10 ** Math.floor(Math.log10(rough));
    return [1, 2, 5, 10].map((m) => m * ten).find((m) => m >= rough);
  }

  function axis(c, l, bottom) {
    const y = bottom + 5;
    if (l.vessel <= 76) {
      c.font = font(11);
      c.fillStyle = colour.ink;
      c.textBaseline = "top";
      c.fillText(fit(c, "reservoir", l.x0 - 14), 1, y + 7);
    }
    const step = stride(longest, l.phone ? 4 : 8);
    c.font = font(11);
    c.fillStyle = colour.grey;
    c.strokeStyle = colour.grey;
    c.lineWidth = 1;
    c.textBaseline = "top";
    c.textAlign = "center";
    c.beginPath();
    c.moveTo(l.x0, y); c.lineTo(l.x0 + longest * l.scale, y);
    for (let v = 0; v <= longest + 1e-9; v += step) {
      const x = l.x0 + v * l.scale;
      c.moveTo(x, y); c.lineTo(x, y + 4);
      const unit = v === 0 ? " mL" : "";
      c.fillText(Math.round(v * 10) / 10 + unit, x + (unit ? 6 : 0), y + 7);
    }
    c.stroke();
    c.textAlign = "left";
    c.textBaseline = "middle";
  }

  return { dress, ways, shade, begin, fit, fill, font, stride, colour };
})();
