/* Charts of a run: over one time, looked at in one moment and zoomed together; each line is named where it ends. */
"use strict";
(() => {
  const style = (name) => getComputedStyle(document.documentElement).getPropertyValue(name).trim();
  const LOOKS = [["--ink", [], 2.2], ["--slate", [9, 4], 2], ["--ink", [2, 3], 2], ["--slate", [14, 3, 3, 3], 2], ["--soft", [], 3.4], ["--ink", [6, 6], 1.2]];
  const HEIGHT = 172, ROW = 34, NARROW = 704, ROOM = 84, CLOSER = 5;
  const say = (v) => (v == null ? "" : String(Number(v.toPrecision(3))));

  function clock(minutes) {
    const tenths = Math.round(minutes * 600), whole = Math.floor(tenths / 600), rest = ((tenths % 600) / 10).toFixed(1);
    return whole ? `${whole} min ${rest} s` : `${rest} s`;
  }

  // Steps of the axis of time, in minutes: those of a clock, from a tenth of a second to ten hours.
  const STEPS = [0.1, 0.2, 0.5, 1, 2, 5, 10, 15, 20, 30, 60, 120, 300, 600, 900, 1200, 1800, 3600, 7200, 18000, 36000].map((s) => s / 60);
  function places(u, axis, min, max) {
    const least = (max - min) * ROOM / Math.max(u.width - 60, ROOM), step = STEPS.find((s) => s >= least) ?? STEPS.at(-1), found = [];
    for (let n = Math.ceil(min / step - 1e-6); n * step <= max * (1 + 1e-9); n += 1) found.push(n * step);
    return found;
  }

  function ticked(minutes, wide) {
    const seconds = Math.round(minutes * 600) / 10, whole = Math.floor(seconds / 60), rest = Math.round((seconds - whole * 60) * 10) / 10;
    if (wide >= 120) return `${Math.round(minutes / 6) / 10} h`;
    return whole === 0 ? `${rest} s` : rest ? `${whole} min ${rest} s` : `${whole} min`;
  }

  // How the inside of a band is drawn: full, hatched one way, dotted, hatched the other way.
  function filling(n, ink) {
    const steel = style("--steel");
    if (n === 0) return steel;
    const tile = document.createElement("canvas"), size = 8 * devicePixelRatio, pen = tile.getContext("2d");
    tile.width = tile.height = size;
    pen.fillStyle = pen.strokeStyle = style("--slate");
    pen.lineWidth = devicePixelRatio;
    if (n % 3 === 2) pen.fillRect(size / 3, size / 3, 1.5 * devicePixelRatio, 1.5 * devicePixelRatio);
    else for (const shift of [-size, 0, size]) {
      pen.beginPath();
      pen.moveTo(shift, n % 3 ? size : 0);
      pen.lineTo(shift + size, n % 3 ? 0 : size);
      pen.stroke();
    }
    return ink.createPattern(tile, "repeat");
  }

  // A line that swings is two lines and what lies between them; it has one name and one look.
  function curves(lines) {
    const found = [];
    lines.forEach((line, i) => {
      if (line.role === "low") return;
      const band = line.role === "high";
      const apart = band ? line.values.map((v, k) => v - lines[i + 1].values[k]) : [0], most = Math.max(...line.values.map((v) => Math.abs(v ?? 0)));
      found.push({ thin: apart.filter((v) => v > 0.01 * most).length <= 0.1 * apart.length, name: band ? line.name.replace(/, most$/, "") : line.name, wanted: line.role === "wanted", at: [i + 1].concat(band ? [i + 2] : []) });
    });
    found.filter((curve) => !curve.wanted).forEach((curve, n) => {
      const [stroke, dash, width] = LOOKS[n % LOOKS.length];
      curve.look = { stroke: style(stroke), dash, width: curve.at.length > 1 ? Math.min(width, 1.4) : width };
      curve.n = n;
    });
    for (const curve of found) curve.look ??= { stroke: style("--soft"), dash: [1, 4], width: 1.5 };
    return found;
  }

  function named(curve) {
    const item = document.createElement("li"), sample = document.createElement("canvas"), words = document.createElement("span");
    const ink = sample.getContext("2d"), over = devicePixelRatio;
    sample.width = 32 * over;
    sample.height = 12 * over;
    sample.ariaHidden = "true";
    const band = curve.at.length > 1 && !curve.thin;
    if (band) {
      ink.fillStyle = filling(curve.n, ink);
      ink.fillRect(0, over, 32 * over, 10 * over);
    }
    ink.strokeStyle = curve.look.stroke;
    ink.lineWidth = curve.look.width * over;
    ink.setLineDash(curve.look.dash.map((d) => d * over));
    for (const y of band ? [1, 11] : [6]) {
      ink.beginPath();
      ink.moveTo(0, y * over);
      ink.lineTo(32 * over, y * over);
      ink.stroke();
    }
    curve.value = document.createElement("b");
    words.append(`${curve.name} `, curve.value);
    item.append(sample, words);
    item.classList.toggle("wanted", curve.wanted);
    curve.item = item;
    return item;
  }

  class Charts {
    constructor(home, data) {
      this.home = home;
      this.data = data;
      this.drawn = [];
      this.at = Math.round(data.time.values.length / 3);
      this.slider();
      for (const chart of data.charts) this.one(chart);
      new ResizeObserver(() => this.fit()).observe(home);
    }

    slider() {
      const line = document.createElement("div");
      line.className = "run-at";
      line.innerHTML = '<label for="run-moment">At</label><input id="run-moment" type="range" min="0" step="1"><output for="run-moment"></output>'
        + '<button type="button" class="plain">Closer</button><button type="button" class="plain" hidden>Whole run</button><span class="case"></span>';
      [this.range, this.told, this.near] = ["input", "output", ".case"].map((s) => line.querySelector(s));
      const [closer, whole] = line.querySelectorAll("button");
      this.back = whole;
      this.range.max = this.data.time.values.length - 1;
      this.range.addEventListener("input", () => this.look(Number(this.range.value)));
      closer.addEventListener("click", () => {
        const { values } = this.data.time, wide = (values.at(-1) - values[0]) / CLOSER / 2;
        this.zoom(values[this.at] - wide, values[this.at] + wide);
      });
      whole.addEventListener("click", () => { this.zoom(0, this.data.whole); this.range.focus(); });
      this.home.append(line);
    }

    one(chart) {
      const rule = style("--faint"), soft = style("--soft");
      const box = document.createElement("div"), frame = document.createElement("div"), names = document.createElement("ul"), head = document.createElement("h2");
      head.textContent = chart.title[0].toUpperCase() + chart.title.slice(1);
      names.className = "chart-names";
      names.setAttribute("aria-label", `Lines of ${chart.title}`);
      frame.setAttribute("aria-hidden", "true");
      box.className = "chart-box";
      box.append(head, frame, names);
      this.home.append(box);
      const found = curves(chart.lines), series = [{}], bands = [];
      const axis = (more) => ({ stroke: soft, grid: { stroke: rule, width: 1 }, ticks: { stroke: rule, size: 4 }, font: "11px sans-serif", labelFont: "12px sans-serif", ...more });
      const ink = document.createElement("canvas").getContext("2d");
      for (const curve of found) {
        for (const i of curve.at) series[i] = { ...curve.look, points: { show: false }, spanGaps: false };
        if (curve.at.length > 1) bands.push({ series: curve.at, fill: filling(curve.n, ink) });
        names.append(named(curve));
      }
      const u = new uPlot({
        width: Math.max(frame.clientWidth, 200), height: HEIGHT, legend: { show: false },
        cursor: { y: false, points: { show: false }, drag: { x: true, y: false, setScale: false }, bind: { dblclick: () => () => this.zoom(0, this.data.whole) } },
        scales: { x: { time: false } },
        axes: [axis({ size: 24, splits: places, values: (u, at) => at.map((v) => ticked(v, u.scales.x.max - u.scales.x.min)) }), axis({ size: 44 })],
        series, bands,
        hooks: {
          drawClear: [(u) => this.strips(u)], draw: [(u) => this.marks(u, chart === this.data.charts[0])],
          setCursor: [(u) => { if (u.cursor.idx != null && u.cursor.left >= 0) this.look(u.cursor.idx); }],
          setSelect: [(u) => {
            if (u.select.width < 8) return;
            this.zoom(u.posToVal(u.select.left, "x"), u.posToVal(u.select.left + u.select.width, "x"));
            u.setSelect({ left: 0, top: 0, width: 0, height: 0 }, false);
          }],
        },
      }, [this.data.time.values, ...chart.lines.map((line) => line.values)], frame);
      const moment = document.createElement("div");
      moment.className = "moment";
      u.over.append(moment);
      this.drawn.push({ u, found, names, moment, frame });
    }

    // Behind the lines: when somebody winds.
    strips(u) {
      u.ctx.save();
      u.ctx.fillStyle = style("--faint");
      for (const w of this.data.windings) {
        const [from, to] = [w.begin, w.end].map((t) => Math.min(Math.max(u.valToPos(t, "x", true), u.bbox.left), u.bbox.left + u.bbox.width));
        if (to > from) u.ctx.fillRect(from, u.bbox.top, Math.max(to - from, 2), u.bbox.height);
      }
      u.ctx.restore();
    }

    // What else happened, as a line; in the first chart with its name, where there is room for it.
    marks(u, withNames) {
      const { ctx, bbox } = u;
      let free = 0;
      ctx.save();
      ctx.strokeStyle = ctx.fillStyle = style("--soft");
      ctx.textAlign = "left";
      ctx.textBaseline = "alphabetic";
      ctx.font = `${11 * devicePixelRatio}px sans-serif`;
      ctx.setLineDash([devicePixelRatio, 3 * devicePixelRatio]);
      for (const mark of this.data.marks.filter((m) => m.kind !== "wind" && m.kind !== "wound")) {
        const x = u.valToPos(mark.time, "x", true);
        if (x < bbox.left || x > bbox.left + bbox.width) continue;
        ctx.beginPath();
        ctx.moveTo(x, bbox.top);
        ctx.lineTo(x, bbox.top + bbox.height);
        ctx.stroke();
        const words = mark.kind === "change" ? mark.name : mark.words, wide = ctx.measureText(words).width + 12;
        if (withNames && x > free && x + wide < bbox.left + bbox.width) {
          ctx.fillText(words, x + 4 * devicePixelRatio, bbox.top + 11 * devicePixelRatio);
          free = x + wide;
        }
      }
      ctx.restore();
    }

    // One moment, in all charts: its line, and what every curve is then.
    look(i) {
      this.at = Math.min(Math.max(i, 0), this.data.time.values.length - 1);
      const time = this.data.time.values[this.at], words = clock(time);
      this.range.value = this.at;
      this.told.textContent = words;
      const winds = this.data.windings.find((w) => w.begin <= time && time < w.end);
      const past = this.data.marks.filter((m) => m.time <= time && m.kind !== "wind" && m.kind !== "wound").at(-1);
      this.near.textContent = [winds && `Somebody winds: ${winds.words}.`, past && `Last: ${past.words}, ${clock(time - past.time)} before.`].filter(Boolean).join(" ");
      this.range.setAttribute("aria-valuetext", `${words}. ${this.near.textContent}`.trim());
      for (const { u, found, moment } of this.drawn) {
        moment.style.left = `${u.valToPos(time, "x")}px`;
        for (const curve of found) {
          const at = curve.at.map((n) => say(u.data[n][this.at])).reverse();
          curve.value.textContent = at[0] === at.at(-1) ? at[0] : at.join(" to ");
        }
      }
    }

    // A part of the run is asked for anew, so that it is shown as closely as it is known.
    zoom(begin, end) {
      const [from, to] = [Math.max(begin, 0), Math.min(end, this.data.whole)], time = this.data.time.values[this.at];
      fetch(`${this.home.dataset.charts}?begin=${from}&end=${to}`).then((r) => (r.ok ? r.json() : null)).then((data) => {
        if (!data || data.charts.length !== this.drawn.length) return;
        this.home.querySelectorAll(".chart-box").forEach((box) => box.remove());
        this.drawn.forEach(({ u }) => u.destroy());
        this.drawn = [];
        this.data = data;
        for (const chart of data.charts) this.one(chart);
        const values = data.time.values, place = Math.round((time - values[0]) / (values.at(-1) - values[0]) * (values.length - 1));
        this.back.hidden = from <= 0 && to >= data.whole;
        this.at = place >= 0 && place < values.length ? place : values.length >> 1;
        requestAnimationFrame(() => this.fit());
      }).catch(() => {});
    }

    fit() {
      this.look(this.at);
      for (const { u, found, names, frame } of this.drawn) {
        if (frame.clientWidth && frame.clientWidth !== u.width) u.setSize({ width: Math.max(frame.clientWidth, 200), height: u.height });
        this.place(u, found, names);
      }
      requestAnimationFrame(() => this.look(this.at));
    }

    // Names beside the ends of their lines, none upon another; below the chart where it is narrow.
    place(u, found, names) {
      const narrow = this.home.clientWidth < NARROW;
      const top = u.over.offsetTop, room = u.height - 4;
      const rows = found.map((curve) => {
        const ends = curve.at.map((n) => u.data[n].findLast((v) => v != null) ?? 0);
        return { item: curve.item, y: top + u.valToPos((Math.max(...ends) + Math.min(...ends)) / 2, "y") - 8 };
      }).sort((a, b) => a.y - b.y);
      let free = 0;
      for (const row of rows) {
        row.tall = row.item.offsetHeight || ROW;
        row.y = Math.max(row.y, free);
        free = row.y + row.tall + 2;
      }
      let floor = room;
      for (const row of rows.toReversed()) {
        row.y = Math.max(Math.min(row.y, floor - row.tall), 0);
        floor = row.y - 2;
      }
      for (const row of rows) row.item.style.top = narrow ? "" : `${row.y}px`;
      names.style.minHeight = narrow ? "" : `${rows.reduce((sum, row) => sum + row.tall + 2, 0)}px`;
    }
  }

  function look() {
    for (const home of document.querySelectorAll("[data-charts]")) {
      if (home.dataset.drawn === home.dataset.keep || !window.uPlot) continue;
      home.dataset.drawn = home.dataset.keep;
      home.replaceChildren();
      fetch(home.dataset.charts).then((r) => (r.ok ? r.json() : null)).then((data) => data && new Charts(home, data)).catch(() => {});
    }
  }

  document.addEventListener("DOMContentLoaded", look);
  document.addEventListener("htmx:afterSettle", look);
})();
