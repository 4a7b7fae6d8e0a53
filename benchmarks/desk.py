"""The desk in a real Chromium: from an edit to the repainted page, first paint, weight, memory over many edits.

An edit is submitted by the form a builder uses; the clock stops in the second frame after the page was changed.
So it does for another view of the drawing, and for a word typed to find parts in the list. A machine of 200 parts is to
stay usable: nothing one does there may take a second.
Run by itself: `python benchmarks/desk.py`, or with a smaller number of edits for the memory: `... 200`.
"""

from __future__ import annotations

import gzip
import shutil
import socket
import statistics
import sys
import tempfile
import threading
import time
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any, NamedTuple

import generated
from edits import Rechecked

from layshaft.faces.desk.app import guarded
from layshaft.faces.desk.drafting.draft import Draft, opened
from layshaft.faces.desk.serving import link, server

EXAMPLE = Path(__file__).resolve().parent.parent / "examples" / "harbour-light" / "machine.yaml"
BROWSERS = ("chromium", "chromium-browser", "google-chrome")
ARGUMENTS = ["--headless", "--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run",
             "--disable-background-networking", "--disable-component-update", "--disable-sync"]
EDITS, MANY, MANY_LARGE, OK = 15, 1000, 400, 200
ROUND_TRIP = """([path, value]) => new Promise((done, fail) => {
  setTimeout(() => fail(new Error(`no repaint after ${path}: ${value}`)), 20000);
  const form = document.querySelector("form.quick");
  form.path.value = path; form.value.value = value;
  const shown = () => Number(document.getElementById("sheet").dataset.state), before = shown();
  const start = performance.now();
  document.addEventListener("htmx:afterSwap", () => shown() > before && requestAnimationFrame(
    () => requestAnimationFrame(() => done(performance.now() - start))));
  form.requestSubmit();
})"""
LOOK = """([chosen, act]) => new Promise((done, fail) => {
  setTimeout(() => fail(new Error(`no repaint after ${chosen}`)), 20000);
  const thing = document.querySelector(chosen), start = performance.now();
  document.addEventListener("htmx:afterSettle", () => requestAnimationFrame(
    () => requestAnimationFrame(() => done(performance.now() - start))), {once: true});
  if (act === "click") return thing.click();
  thing.value = act;
  ["input", "change"].forEach((kind) => thing.dispatchEvent(new Event(kind, {bubbles: true})));
})"""
LOOKS = {"another view": (".seen a:not([aria-current])", "click"), "parts by a word": ("#named", "bearing"),
         "a quantity drawn": ("select[name=quantity]", "moment")}
PAINT = """() => new Promise((done) => new PerformanceObserver((list) => list.getEntries().forEach(
  (entry) => entry.name === "first-contentful-paint" && done(entry.startTime))).observe(
    {type: "paint", buffered: true}))"""


class Row(NamedTuple):
    """One line of what is printed."""

    job: str
    measured: str
    goal: str


@contextmanager
def served(text: str) -> Iterator[tuple[Draft, str]]:
    """The desk of a machine text, in a folder of its own."""
    with tempfile.TemporaryDirectory() as folder, socket.socket() as door:
        place = Path(folder) / "machine.yaml"
        place.write_text(text, encoding="utf-8")
        door.bind(("127.0.0.1", 0))
        draft = opened(place)
        guard = guarded(draft, door.getsockname()[1])
        running = server(guard)
        thread = threading.Thread(target=running.run, args=([door],), daemon=True)
        thread.start()
        while not running.started:
            time.sleep(0.01)
        yield draft, link(guard)
        running.should_exit = True
        thread.join()


def in_browser(chromium: Any, name: str, text: str, goal: str) -> list[Row]:
    """Round trips and first paint of one machine."""
    changes = Rechecked(text)
    with served(text) as (draft, address):
        context = chromium.new_context(viewport={"width": 1360, "height": 860})
        page = context.new_page()
        answers: list[Any] = []
        page.on("response", lambda answer: answers.append(answer))
        page.goto(address)
        page.locator(".wide[data-window]:not([data-window=''])").wait_for()  # the drawing is made for its window
        # Asked for anew: a run that ends meanwhile makes the page drop an answer whose body nobody can have any more.
        seen = {answer.url for answer in list(answers) if answer.status == OK}
        weight = sum(len(gzip.compress(page.request.get(url).body())) for url in seen)
        page.goto(page.url)
        paint = page.evaluate(PAINT)
        taken = []
        for _ in range(EDITS):
            before = draft.state.number
            taken.append(page.evaluate(ROUND_TRIP, list(changes.next_edit())))
            assert draft.state.number > before, "the edit was refused"
        looks = {name: page.evaluate(LOOK, list(look)) for name, look in LOOKS.items()}
        context.close()
    return [Row(f"edit to repaint, {name}", f"{statistics.median(taken):.0f} ms, worst {max(taken):.0f} ms", goal),
            Row(f"first paint, {name}", f"{paint:.0f} ms", "1000 ms"),
            Row(f"page weight compressed, {name}", f"{weight / 1000:.0f} kB", "1000 kB"),
            *(Row(f"{look}, {name}", f"{ms:.0f} ms", "1000 ms") for look, ms in looks.items())]


def memory(name: str, text: str, many: int) -> Row:
    """How much the process grows over many edits, after it has warmed up."""
    changes = Rechecked(text)
    with tempfile.TemporaryDirectory() as folder:
        place = Path(folder) / "machine.yaml"
        place.write_text(text, encoding="utf-8")
        draft = opened(place)
        sizes = []
        for n in range(many):
            path, value = changes.next_edit()
            draft.edit({"set": {path: value}})
            if n % 20 == 19:
                draft.drop()
            if n in (many // 4, many - 1):
                sizes.append(resident())
    return Row(f"memory after {many // 4} and {many} edits, {name}", f"{sizes[0]:.0f} MB, {sizes[1]:.0f} MB", "flat")


def resident() -> float:
    """Memory of this process in MB, as Linux tells it."""
    status = Path("/proc/self/status").read_text(encoding="ascii")
    return int(status.partition("VmRSS:")[2].split()[0]) / 1000


def main(words: list[str]) -> int:
    from playwright.sync_api import sync_playwright

    text = EXAMPLE.read_text(encoding="utf-8")
    path = next(filter(None, map(shutil.which, BROWSERS)), None)
    if path is None:
        print(f"No Chromium on PATH (looked for {', '.join(BROWSERS)}): install the package chromium.")
        return 2
    with sync_playwright() as driver:
        chromium = driver.chromium.launch(executable_path=path, args=ARGUMENTS)
        rows = in_browser(chromium, "harbour-light", text, "150 ms")
        rows += in_browser(chromium, "generated machine", generated.machine_text(), "300 ms")
        large = generated.machine_text(generated.LARGE)
        rows += in_browser(chromium, "machine of 200 parts", large, "1000 ms")
        chromium.close()
    many = int(words[0]) if words else MANY
    rows += [memory("harbour-light", text, many), memory("machine of 200 parts", large, min(many, MANY_LARGE))]
    wide = [max(len(row[i]) for row in rows) for i in range(3)]
    for row in rows:
        print("  ".join(cell.ljust(width) for cell, width in zip(row, wide, strict=True)).rstrip())
    return 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
