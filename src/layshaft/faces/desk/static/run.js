/* Charts of a run: drawn once for each run, all over the one time, pointed at and zoomed together. */
"use strict";
(() => {
  const style = (name) => getComputedStyle(document.documentElement).getPropertyValue(name).trim();
  const DASHES = [[], [8, 3], [2, 3], [10, 3, 2, 3], [4, 4]];
  const HEIGHT = 210;
  const say = (v) => (v == null ? "" : String(Number(v.toPrecision(4))));

  // A line that swings is two lines and what lies between them; it has one name and one look.
  function curves(lines) {
    const found = [];
    lines.forEach((line, i) => {
      if (line.role === "low") return;
      const band = line.role === "high";
      found.push({ name: band ? line.name.replace(/, most$/, "") : line.name, wanted: line.role === "wanted", at: [i + 1].concat(band ? [i + 2] : []) });
    });
    let n = 0;
    for (const curve of found) {
      curve.look = curve.wanted ? { stroke: style("--rust"), dash: [2, 3], width: 1 }
        : { stroke: style(n % 2 ? "--slate" : "--ink"), dash: DASHES[(n >> 1) % DASHES.length], width: curve.at.length > 1 ? 0.8 : 1.6 };
      if (!curve.wanted) n += 1;
    }
    return found;
  }

  function legend(box, found) {
    const list = document.createElement("ul");
    list.className = "chart-names";
    for (const curve of found) {
      const item = document.createElement("li");
      const sample = document.createElement("canvas");
      sample.width = 44;
      sample.height = 12;
      const ink = sample.getContext("2d");
      if (curve.at.length > 1) {
        ink.fillStyle = style("--steel");
        ink.fillRect(0, 1, 44, 10);
      }
      ink.strokeStyle = curve.look.stroke;
      ink.lineWidth = curve.look.width * 1.5;
      ink.setLineDash(curve.look.dash);
      ink.beginPath();
      for (const y of curve.at.length > 1 ? [1, 11] : [6]) {
        ink.moveTo(0, y);
        ink.lineTo(44, y);
      }
      ink.stroke();
      const value = document.createElement("b");
      item.append(sample, ` ${curve.name} `, value);
      curve.value = value;
      list.append(item);
    }
    box.append(list);
  }

  function draw(home, data) {
    const rule = style("--faint"), soft = style("--soft");
    const sync = uPlot.sync("run"), drawn = [];
    const axis = (more) => ({ stroke: soft, grid: { stroke: rule, width: 1 }, ticks: { stroke: rule, size: 4 }, font: "11px sans-serif", labelFont: "12px sans-serif", ...more });
    const follow = (from) => {
      const { min, max } = from.scales.x;
      for (const other of drawn) {
        if (other !== from && (other.scales.x.min !== min || other.scales.x.max !== max)) other.setScale("x", { min, max });
      }
    };
    const markers = (u) => {
      u.ctx.save();
      u.ctx.strokeStyle = soft;
      u.ctx.setLineDash([1, 4]);
      for (const mark of data.marks) {
        const x = u.valToPos(mark.time, "x", true);
        if (x < u.bbox.left || x > u.bbox.left + u.bbox.width) continue;
        u.ctx.beginPath();
        u.ctx.moveTo(x, u.bbox.top);
        u.ctx.lineTo(x, u.bbox.top + u.bbox.height);
        u.ctx.stroke();
      }
      u.ctx.restore();
    };
    for (const chart of data.charts) {
      const last = chart === data.charts.at(-1);
      const box = document.createElement("div");
      box.className = "chart-box";
      home.append(box);
      const found = curves(chart.lines);
      const series = [{}], bands = [];
      for (const curve of found) {
        for (const i of curve.at) series[i] = { ...curve.look, points: { show: false }, spanGaps: false };
        if (curve.at.length > 1) bands.push({ series: curve.at, fill: style("--steel") });
      }
      const told = (u) => {
        for (const curve of found) {
          const at = curve.at.map((i) => (u.cursor.idx == null ? "" : say(u.data[i][u.cursor.idx]))).reverse();
          curve.value.textContent = at[0] === at.at(-1) ? at[0] : at.join(" to ");
        }
      };
      drawn.push(new uPlot({
        width: Math.max(box.clientWidth, 280), height: last ? HEIGHT + 18 : HEIGHT,
        legend: { show: false },
        cursor: { sync: { key: sync.key }, drag: { x: true, y: false } },
        scales: { x: { time: false } },
        axes: [axis(last ? { label: data.time.title, labelSize: 18, size: 24 } : { size: 24 }), axis({ label: chart.title, size: 52, labelSize: 18 })],
        series, bands,
        hooks: { setScale: [(u, key) => key === "x" && follow(u)], draw: [markers], setCursor: [told] },
      }, [data.time.values, ...chart.lines.map((line) => line.values)], box));
      legend(box, found);
    }
    new ResizeObserver(() => drawn.forEach((u) => u.setSize({ width: Math.max(u.root.parentElement.clientWidth, 280), height: u.height }))).observe(home);
  }

  function look() {
    for (const home of document.querySelectorAll("[data-charts]")) {
      if (home.dataset.drawn === home.dataset.keep || !window.uPlot) continue;
      home.dataset.drawn = home.dataset.keep;
      home.replaceChildren();
      fetch(home.dataset.charts).then((r) => (r.ok ? r.json() : null)).then((data) => data && draw(home, data)).catch(() => {});
    }
  }

  document.addEventListener("DOMContentLoaded", look);
  document.addEventListener("htmx:afterSettle", look);
})();
