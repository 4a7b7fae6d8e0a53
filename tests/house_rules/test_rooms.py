"""Every room: nothing untraced, arithmetic that adds up, rows equal single parts, clear refusals."""

import json
import threading

import numpy as np
import pytest

from house_rules.arithmetic import worked_out
from house_rules.house_rooms import ROOM_IDS, ROOMS, input_classes, numbers, plausible
from layshaft.trace.formula import Handle, Untraced, tracing
from layshaft.trace.inputs import InputError
from layshaft.trace.sheet import as_dict, as_html, as_text
from layshaft.trace.source import Source
from layshaft.trace.text import formula_text, nominal, with_numbers
from layshaft.trace.units import shown

ALL = pytest.mark.parametrize("room", ROOMS, ids=ROOM_IDS)
LIMITED = [(cls, f) for cls in input_classes() for f in cls.quantities()]
LIMITED_IDS = [f"{cls.__module__.removeprefix('layshaft.')}.{cls.__name__}.{f.name}" for cls, f in LIMITED]


def trace_of(room):
    inputs = room.example()
    with tracing() as trace, np.errstate(all="ignore"):
        result = room.rate(inputs)
    return trace, result


def test_there_are_rooms():
    assert "elements.parallel_key.rate" in ROOM_IDS


@ALL
def test_nothing_on_the_sheet_is_untraced(room):
    trace, _ = trace_of(room)
    assert trace.untraced == []
    assert {s.kind for s in trace.steps} >= {"given", "formula"}


@ALL
def test_every_result_of_a_traced_run_comes_from_a_step(room):
    _, result = trace_of(room)
    bare = [path for path, value in numbers(result) if np.isfinite(value).all()
            and not (path.endswith(".rating") and value == 1)]  # a used share is held against one
    assert bare == [], f"{room.name}: numbers without a step: {bare}"


@ALL
def test_printed_arithmetic_adds_up(room):
    trace, _ = trace_of(room)
    for step in trace.steps:
        if text := with_numbers(step):
            wanted = 0.0 if step.kind == "equation" else nominal(step.value)
            slack = 1e-2 if step.kind == "equation" else 1e-12
            assert worked_out(text) == pytest.approx(wanted, rel=5e-4, abs=slack, nan_ok=True), (
                f"{step.symbol} = {formula_text(step)} = {text}")


@ALL
def test_sheet_prints_as_text_html_and_data(room):
    trace, _ = trace_of(room)
    text = as_text(trace)
    assert max(map(len, text.splitlines())) <= 100
    assert "np." not in text
    html = as_html(trace)
    assert "<script" not in html and html.count("<table") == html.count("</table>")
    json.dumps(as_dict(trace), allow_nan=False)


@ALL
def test_traced_and_plain_run_agree(room):
    _, traced = trace_of(room)
    with np.errstate(all="ignore"):
        plain = dict(numbers(room.rate(room.example())))
    unwrapped = dict(handle_numbers(traced))
    for path, value in unwrapped.items():
        assert value == pytest.approx(plain[path], rel=1e-13, nan_ok=True), path


def handle_numbers(result, prefix=""):
    if isinstance(result, Handle):
        yield prefix, np.asarray(result.value, dtype=float)
    elif hasattr(result, "__dataclass_fields__"):
        for name in result.__dataclass_fields__:
            yield from handle_numbers(getattr(result, name), f"{prefix}.{name}")
    elif isinstance(result, tuple | list):
        for n, value in enumerate(result):
            yield from handle_numbers(value, f"{prefix}[{n}]")


@ALL
def test_rows_and_samples_equal_six_single_calls(room):
    singles = [room.values(seed) for seed in range(room.best, room.best + 6)]
    columns = {n: np.array([s[n] for s in singles]).reshape(2, 3) for n in singles[0]}
    with np.errstate(all="ignore"):
        together = dict(numbers(room.rate(room.build(columns))))
        for k, values in enumerate(singles):
            for path, value in numbers(room.rate(room.build(values))):
                many = np.broadcast_to(together[path], (2, 3)).ravel()[k]
                assert many == pytest.approx(float(value), rel=1e-13, abs=1e-300, nan_ok=True), path


@ALL
def test_an_unknown_input_leaves_no_margin_that_depends_on_it(room):
    """A margin that is finite with an input unknown may not move when that input is known."""
    values = room.values(room.best)
    for name, value in values.items():
        blind = margins(room, values | {name: float("nan")})
        for factor in (0.5, 0.8, 1.0, 1.25, 2.0):
            for path, seen in margins(room, values | {name: value * factor}).items():
                lost = np.isfinite(blind[path]) and np.isfinite(seen) and seen != blind[path]
                assert not lost, f"{path} is {blind[path]} without {name}, but {seen} with {value * factor}"


def margins(room, values):
    try:
        with np.errstate(all="ignore"):
            found = dict(numbers(room.rate(room.build(values))))
    except InputError:
        return {}
    return {path: float(value) for path, value in found.items() if path.endswith(".margin")}


@pytest.mark.parametrize(("cls", "f"), LIMITED, ids=LIMITED_IDS)
def test_an_impossible_input_names_symbol_value_limit_and_origin(cls, f):
    m = f.metadata
    impossible = [(m["above"], "more than"), (m["at_least"] - 1, "at least"), (m["at_most"] + 1, "at most")]
    values = {g.name: plausible(g.metadata["dimension"], max(g.metadata["above"], g.metadata["at_least"]),
                                g.metadata["at_most"]) for g in cls.quantities()}
    origins = {n: Source("supplier list row 12", obtained="given") for n in values}
    for value, word in impossible:
        if not np.isfinite(value):
            continue
        with pytest.raises(InputError) as e:
            cls(**(values | {f.name: value}), origins=origins)
        said = str(e.value)
        assert said.startswith(f"{f.name} ({m['meaning']}) is {shown(value, m['dimension'])}; it must be ")
        assert word in said and said.endswith("It came from: supplier list row 12.")
    del origins[f.name]
    with pytest.raises(InputError, match=f"^{f.name} \\("):
        cls(**values, origins=origins)


def test_arithmetic_outside_a_formula_is_refused():
    inputs = ROOMS[ROOM_IDS.index("elements.parallel_key.rate")].example()
    with tracing(), pytest.raises(Untraced, match=r"T \(torque through the key\) is used in arithmetic"):
        inputs.record().T * 2


def test_threads_do_not_see_each_others_trace():
    seen = {}
    room = ROOMS[ROOM_IDS.index("elements.parallel_key.rate")]
    once = len(trace_of(room)[0].steps)
    inputs = room.example()

    def work(n):
        with tracing() as trace:
            for _ in range(n):
                room.rate(inputs)
        seen[n] = len(trace.steps)

    threads = [threading.Thread(target=work, args=(n,)) for n in (3, 40, 70)]
    for t in threads:
        t.start()
    for t in threads:
        t.join()
    assert seen == {n: n * once for n in (3, 40, 70)}
