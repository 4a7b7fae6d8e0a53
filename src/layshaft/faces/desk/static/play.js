/* Plays a run on the drawing: every shaft by its own angle, weights by their height, hammers by the lift of their cam.
   Zooms and pans it too: ctrl and wheel, drag, or the keys + - 0 and arrows. Nothing is drawn here, only moved. */
"use strict";
(() => {
  const views = new Map();
  let course = null, from = "", at = 0, running = false, last = 0, wish = 0;

  const all = (selector) => document.querySelectorAll(selector);
  const controls = () => document.getElementById("play");

  // Where a moment lies in the course: the row before it, and how far on to the next.
  const place = (t) => {
    const time = course.time;
    let low = 0, high = time.length - 1;
    while (high - low > 1) { const middle = (low + high) >> 1; if (time[middle] <= t) low = middle; else high = middle; }
    const span = time[high] - time[low];
    return [low, high, span > 0 ? Math.min(Math.max((t - time[low]) / span, 0), 1) : 0];
  };
  const value = (values, [low, high, share]) => values[low] + (values[high] - values[low]) * share;

  const show = () => {
    const where = place(at);
    const angle = {}, sunk = {};
    for (const shaft in course.turned) angle[shaft] = value(course.turned[shaft], where);
    for (const weight in course.heights) sunk[weight] = 1 - value(course.heights[weight], where) / course.drops[weight];
    for (const g of all(".d-turns")) {
      if (g.dataset.shaft in angle)
        g.setAttribute("transform", `rotate(${(-angle[g.dataset.shaft] * g.dataset.sense * 180 / Math.PI).toFixed(2)} ${g.dataset.at})`);
    }
    for (const p of all("[data-run]")) {
      const [shaft, way, radius] = p.dataset.run.split("|");
      if (shaft in angle) p.setAttribute("stroke-dashoffset", (-way * radius * angle[shaft]).toFixed(2));
    }
    for (const g of all("[data-falls]")) {
      const [weight, way] = g.dataset.falls.split("|");
      if (weight in sunk) g.setAttribute("transform", `translate(0 ${(way * sunk[weight]).toFixed(2)})`);
    }
    for (const l of all("[data-hangs]")) {
      const [weight, way, end, y] = l.dataset.hangs.split("|");
      if (weight in sunk) l.setAttribute(end, (Number(y) + way * sunk[weight]).toFixed(2));
    }
    for (const g of all("[data-strikes]")) {
      const one = course.strikes[g.dataset.strikes];
      if (!one || !(one.shaft in angle)) continue;
      const pitch = 2 * Math.PI / one.per, turned = Math.abs(angle[one.shaft]) % pitch;
      const lift = turned < one.over ? turned / one.over : Math.max(0, 1 - (turned - one.over) / (0.04 * pitch));
      g.setAttribute("transform", `rotate(${(-28 * lift).toFixed(1)} ${g.dataset.at})`);
    }
    tell();
  };

  const clock = (t) => `${Math.floor(t / 60)}:${String(Math.floor(t % 60)).padStart(2, "0")}`;
  const tell = () => {
    const box = controls();
    if (!box) return;
    const slider = box.querySelector("input[type=range]"), end = course.time[course.time.length - 1];
    slider.max = end;
    slider.step = end > 120 ? 1 : 0.1;
    if (document.activeElement !== slider || running) slider.value = at;
    slider.setAttribute("aria-valuetext", `${clock(at)} of ${clock(end)}`);
    const past = course.marks.filter((m) => m.time <= at).pop();
    box.querySelector("output").textContent = `${clock(at)} of ${clock(end)}${past ? `, ${past.words}` : ""}.`;
    box.querySelector(".told span").textContent = course.told;
    box.querySelector("button").textContent = running ? "Pause" : "Play";
  };

  const step = (now) => {
    if (!running) return;
    const end = course.time[course.time.length - 1];
    at = Math.min(at + (now - last) / 1000 * Number(controls()?.querySelector("select").value ?? 1), end);
    last = now;
    if (at >= end || !controls()) running = false;
    show();
    if (running) requestAnimationFrame(step);
  };

  const fetched = async () => {
    const box = controls(), wanted = ++wish;
    if (course && from === box.dataset.course) return true;
    const answer = await fetch(box.dataset.course, { headers: { accept: "application/json" } });
    if (!answer.ok || wanted !== wish) return false;
    course = await answer.json();
    from = box.dataset.course;
    for (const svg of all("svg.drawing")) svg.classList.add("d-playing");
    return true;
  };

  document.addEventListener("click", async (event) => {
    const button = event.target.closest("#play button");
    if (button) {
      if (running) { running = false; tell(); return; }
      if (!await fetched()) return;
      if (at >= course.time[course.time.length - 1]) at = 0;
      running = true;
      last = performance.now();
      requestAnimationFrame(step);
    }
    const zoom = event.target.closest("[data-zoom]");
    if (zoom) scale(document.querySelector("[data-view]"), { in: 0.8, out: 1.25, all: 0 }[zoom.dataset.zoom]);
  });
  document.addEventListener("input", async (event) => {
    if (!event.target.matches("#play input[type=range]")) return;
    const wanted = Number(event.target.value);
    if (!await fetched()) return;
    at = wanted; running = false; show();
  });

  // Zoom and pan by the viewBox alone. A view is kept by its name, so that it outlives an edit.
  const svgOf = (figure) => figure?.querySelector("svg.drawing");
  const whole = (svg) => [0, 0, ...svg.dataset.size.split(" ").map(Number)];
  const set = (figure, box) => {
    const svg = svgOf(figure), [, , w, h] = whole(svg);
    const kept = box && box[2] < w * 0.995 ? box : null;
    if (kept) {
      kept[0] = Math.min(Math.max(kept[0], 0), w - kept[2]);
      kept[1] = Math.min(Math.max(kept[1], 0), h - kept[3]);
      views.set(figure.dataset.view, kept);
    } else views.delete(figure.dataset.view);
    svg.setAttribute("viewBox", (kept ?? [0, 0, w, h]).map((n) => n.toFixed(1)).join(" "));
    figure.classList.toggle("closer", Boolean(kept));
    named(svg, kept ? kept[2] / w : 0);
  };

  // Looked at closer, the columns of words are out of sight: each name stands at its place instead, at its usual size.
  const named = (svg, share) => {
    svg.querySelector(".d-near")?.remove();
    if (!share) return;
    const near = document.createElementNS(svg.namespaceURI, "g");
    near.setAttribute("class", "d-near");
    for (const dot of svg.querySelectorAll(".d-labels > .d-dot")) {
      let told = dot.nextElementSibling;
      if (told && !told.matches("text")) told = told.querySelector("text");
      if (!told?.matches(".d-name:not(.d-bad)")) continue;
      const name = document.createElementNS(svg.namespaceURI, "text");
      name.textContent = told.firstChild.textContent;
      name.setAttribute("class", told.getAttribute("class"));
      name.setAttribute("x", Number(dot.getAttribute("cx")) + 5 * share);
      name.setAttribute("y", Number(dot.getAttribute("cy")) - 5 * share);
      name.style.fontSize = `${11 * share}px`;
      name.style.strokeWidth = `${3 * share}px`;
      near.append(name);
    }
    svg.append(near);
  };
  const now = (figure) => views.get(figure.dataset.view) ?? whole(svgOf(figure));
  const scale = (figure, by, middle) => {
    if (!figure) return;
    if (!by) { set(figure, null); return; }
    const [x, y, w, h] = now(figure), [mx, my] = middle ?? [x + w / 2, y + h / 2];
    const size = Math.max(by, whole(svgOf(figure))[2] / 40 / w);
    set(figure, [mx - (mx - x) * size, my - (my - y) * size, w * size, h * size]);
  };
  const point = (figure, event) => {
    const svg = svgOf(figure), at = new DOMPoint(event.clientX, event.clientY).matrixTransform(svg.getScreenCTM().inverse());
    return [at.x, at.y];
  };
  document.addEventListener("wheel", (event) => {
    const figure = event.target.closest?.("[data-view]");
    if (!figure || !(event.ctrlKey || event.metaKey)) return;
    event.preventDefault();
    scale(figure, event.deltaY > 0 ? 1.15 : 1 / 1.15, point(figure, event));
  }, { passive: false });
  document.addEventListener("keydown", (event) => {
    const figure = event.target.closest?.("[data-view]");
    if (!figure || event.ctrlKey || event.metaKey || event.altKey) return;
    const by = { "+": 0.8, "=": 0.8, "-": 1.25, "0": 0 }[event.key];
    const move = { ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, -1], ArrowDown: [0, 1] }[event.key];
    if (by !== undefined) { event.preventDefault(); scale(figure, by); }
    else if (move && views.has(figure.dataset.view)) {
      event.preventDefault();
      const [x, y, w, h] = now(figure);
      set(figure, [x + move[0] * w / 8, y + move[1] * h / 8, w, h]);
    }
  });
  let held = null;
  document.addEventListener("pointerdown", (event) => {
    const figure = event.target.closest?.("[data-view]");
    if (figure && event.target.closest("svg.drawing") && views.has(figure.dataset.view) && event.button === 0)
      held = { figure, from: point(figure, event), moved: false };
  });
  document.addEventListener("pointermove", (event) => {
    if (!held) return;
    const [x, y, w, h] = now(held.figure), to = point(held.figure, event);
    if (Math.hypot(to[0] - held.from[0], to[1] - held.from[1]) > w / 200) held.moved = true;
    if (held.moved) set(held.figure, [x + held.from[0] - to[0], y + held.from[1] - to[1], w, h]);
  });
  document.addEventListener("pointerup", () => { setTimeout(() => { held = null; }, 0); });
  document.addEventListener("click", (event) => { if (held?.moved) { event.preventDefault(); event.stopPropagation(); } }, true);
  document.addEventListener("dragstart", (event) => { if (event.target.closest?.("svg.drawing")) event.preventDefault(); });

  // What the server sends anew stands as it was looked at.
  const again = () => {
    for (const figure of all("[data-view]")) {
      const svg = svgOf(figure);
      if (!svg) continue;
      const kept = views.get(figure.dataset.view);
      if (kept) set(figure, kept);
    }
    for (const zoom of all(".zoom")) zoom.hidden = false;
    const box = controls();
    if (!box) return;
    box.hidden = false;
    if (!course) return;
    if (from === box.dataset.course) { for (const svg of all("svg.drawing")) svg.classList.add("d-playing"); show(); }
    else if (running || at > 0) fetched().then((ok) => { if (ok) show(); });
  };

  // The server draws for the room there is: the page tells it how much, and takes the drawing anew where that differs.
  const BELOW = 110, WINDOW = "layshaft_window";
  const room = (wide, figure) => {
    const above = figure.getBoundingClientRect().top - wide.getBoundingClientRect().top;
    const beside = getComputedStyle(wide).position === "sticky";
    const rounded = (n, to) => Math.max(0, Math.round(n / to) * to);
    return [rounded(wide.clientWidth, 10), rounded(innerHeight - BELOW - (beside ? above : 0), 20)];
  };
  const fit = async () => {
    const wide = document.querySelector(".wide[data-window]"), figure = wide?.querySelector("[data-view]");
    if (!figure || views.has(figure.dataset.view)) return;
    const [width, height] = room(wide, figure), [w, h] = wide.dataset.window.split("x").map(Number);
    if (Math.abs(width - w) <= 20 && Math.abs(height - h) <= 40) return;
    document.cookie = `${WINDOW}=${width}x${height}; path=/; SameSite=Strict`;
    const state = document.getElementById("sheet").dataset.state, here = location.pathname + location.search;
    const answer = await fetch(here);
    if (!answer.ok || answer.headers.get("desk-state") !== state || location.pathname + location.search !== here) return;
    const fresh = new DOMParser().parseFromString(await answer.text(), "text/html").querySelector(".wide[data-window]");
    const now = document.querySelector(".wide[data-window]"), old = now?.querySelector("[data-view]");
    const drawing = fresh?.querySelector("[data-view]");
    if (!old || drawing?.dataset.view !== old.dataset.view || views.has(old.dataset.view)) return;
    now.dataset.window = fresh.dataset.window;
    const path = old.contains(document.activeElement) && document.activeElement.dataset.path;
    old.replaceWith(document.adoptNode(drawing));
    if (path) drawing.querySelector(`a.d-part[data-path="${CSS.escape(path)}"]:not([tabindex])`)?.focus({ preventScroll: true });
    again();
  };
  let turning = 0;
  window.addEventListener("resize", () => { clearTimeout(turning); turning = setTimeout(fit, 250); });

  document.addEventListener("htmx:afterSettle", () => { again(); fit(); });
  if (document.readyState === "loading") document.addEventListener("DOMContentLoaded", () => { again(); fit(); }); else { again(); fit(); }
})();
