/* Charts of a run: drawn once for each run, all over the one time, pointed at and zoomed together. */
"use strict";
(() => {
  const style = (name) => getComputedStyle(document.documentElement).getPropertyValue(name).trim();
  const DASHES = [[], [8, 3], [2, 3], [10, 3, 2, 3], [4, 4]];
  const HEIGHT = 190;

  function series(lines, ink, slate) {
    let n = -1;
    return lines.map((line) => {
      if (line.role !== "low") n += 1;
      const wanted = line.role === "wanted";
      return {
        label: line.name, stroke: wanted ? style("--rust") : n % 2 ? slate : ink, width: wanted ? 1 : 1.4,
        dash: wanted ? [2, 3] : DASHES[n % DASHES.length], points: { show: false }, spanGaps: false,
        value: (_, v) => (v == null ? "" : String(Number(v.toPrecision(4)))),
      };
    });
  }

  function bands(lines) {
    const found = [];
    lines.forEach((line, i) => {
      if (line.role === "high" && lines[i + 1] && lines[i + 1].role === "low") {
        found.push({ series: [i + 1, i + 2], fill: style("--steel") });
      }
    });
    return found;
  }

  function draw(home, data) {
    const ink = style("--ink"), slate = style("--slate"), rule = style("--faint"), soft = style("--soft");
    const sync = uPlot.sync("run"), drawn = [];
    const axis = (more) => ({ stroke: soft, grid: { stroke: rule, width: 1 }, ticks: { stroke: rule }, font: "11px sans-serif", labelFont: "12px sans-serif", ...more });
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
      const box = document.createElement("div");
      box.className = "chart-box";
      home.append(box);
      drawn.push(new uPlot({
        width: Math.max(box.clientWidth, 280), height: HEIGHT,
        cursor: { sync: { key: sync.key }, drag: { x: true, y: false } },
        scales: { x: { time: false } },
        axes: [axis({ label: chart === data.charts.at(-1) ? data.time.title : "" }), axis({ label: chart.title, size: 64 })],
        series: [{ label: data.time.title }, ...series(chart.lines, ink, slate)], bands: bands(chart.lines),
        hooks: { setScale: [(u, key) => key === "x" && follow(u)], draw: [markers] },
      }, [data.time.values, ...chart.lines.map((line) => line.values)], box));
    }
    new ResizeObserver(() => drawn.forEach((u) => u.setSize({ width: Math.max(u.root.parentElement.clientWidth, 280), height: HEIGHT }))).observe(home);
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
