"""Wheels told by their drawing: closed form, what is drawn and what is stated are the same wheel."""

from pathlib import Path

import numpy as np
import pytest

from layshaft.machine.errors import MachineErrors
from layshaft.machine.reader import read_text
from layshaft.train.solve import solve
from layshaft.train.sources import inertia
from layshaft.verdict import rate as room
from layshaft.verdict.remarks import remarks
from layshaft.verdict.sheets import sheets_of

EXAMPLES = Path(__file__).parents[2] / "examples"
SHELLER = (EXAMPLES / "corn-sheller" / "machine.yaml").read_text(encoding="utf-8")
RIM = "      rim: {kind: ring, outside: 520 mm, inside: 450 mm, width: 45 mm}\n"
SPOKES = "      spokes: {kind: bars, count: 5, breadth: 34 mm, width: 16 mm, from: 40 mm, to: 225 mm}\n"
WEB = "      web: {kind: ring, outside: 450 mm, inside: 25 mm, width: 10 mm}\n"


def sheller(*changes):
    text = SHELLER
    for old, new in changes:
        assert old in text
        text = text.replace(old, new)
    return read_text(text, "machine.yaml")


def found(machine):
    return {f.mode: f for f in room.rate(solve(machine)).of("loads.wheel")}


def test_inertia_of_the_pieces_enters_the_train():
    """Rim, five bars and hub by hand, grey iron."""
    pi, rho = np.pi, 7200
    m = rho * pi / 4 * (0.52**2 - 0.45**2) * 0.045, rho * 0.034 * 0.016 * 0.185, rho * pi / 4 * (0.08**2 - 0.025**2) * 0.05
    J = m[0] * (0.52**2 + 0.45**2) / 8 + 5 * m[1] * ((0.034**2 + 0.185**2) / 12 + 0.1325**2) + m[2] * (
        0.08**2 + 0.025**2) / 8
    assert inertia(sheller().loads["wheel"]) == pytest.approx(J)
    told = sheller(("    made of:\n", f"    inertia: {J} kg m2\n    made of:\n"))
    for mode, f in found(sheller()).items():
        assert found(told)[mode].margin == pytest.approx(f.margin)


def test_the_sheet_of_the_run_away_speed_shows_every_piece():
    sheet = next(s for s in sheets_of(room.rate(solve(sheller())), "loads.wheel") if s.finding.mode == "run-away burst")
    symbols = [step.symbol for step in sheet.trace.steps]
    assert {"d_o_rim", "a_spokes", "d_i_hub", "J_sum", "omega_w", "omega_R", "sigma_R"} <= set(symbols)
    assert sheet.trace.untraced == []


def test_stated_and_drawn_inertia_that_differ_are_remarked():
    def said(J):
        verdict = room.rate(solve(sheller(("    made of:\n", f"    inertia: {J} kg m2\n    made of:\n"))))
        return [r.text for path, r in remarks(verdict) if path == "loads.wheel" and "5 %" in r.text]
    J = float(inertia(sheller().loads["wheel"]))
    assert said(1.04 * J) == [] and len(said(1.06 * J)) == 1


def test_rim_on_a_web_and_plain_disc():
    webbed = found(sheller((SPOKES, WEB)))
    assert "spoke stress" not in webbed and webbed["rim stress"].verdict == "holds"
    holes = found(sheller((SPOKES, WEB + "      holes: {kind: holes, count: 6, diameter: 60 mm, width: 10 mm, at radius: 130 mm}\n")))
    assert holes["rim stress"].margin < webbed["rim stress"].margin
    disc = found(sheller((RIM + SPOKES, "      plate: {kind: disc, outside: 520 mm, width: 20 mm}\n")))
    assert disc["rim stress"].demand == pytest.approx((3.3 / 4) * 7200 * (0.26 * 45 * np.pi / 30) ** 2 * (
        1 + 0.7 / 3.3 * (25 / 520) ** 2))


@pytest.mark.parametrize("gone", ["outside: 520 mm, ", "width: 45 mm", "count: 5, ", "from: 40 mm, "])
def test_a_piece_that_is_not_told_in_full_leaves_all_that_rests_on_it_unknown(gone):
    verdicts = found(sheller((gone, "")))
    assert verdicts["run-away burst"].verdict == "unknown"
    assert verdicts["spoke stress"].verdict == "unknown"


@pytest.mark.parametrize(("old", "new", "said"), [
    ("inside: 450 mm", "inside: 530 mm", "rim.inside is 530.0 mm, but loads.wheel.made of.rim.outside is 520.0 mm"),
    ("to: 225 mm", "to: 30 mm", "spokes.from is 40.00 mm, but loads.wheel.made of.spokes.to is 30.00 mm"),
    ("kind: bars", "kind: sticks", "sticks"), ("count: 5", "count: 0", "count"), ("width: 45 mm", "width: 45 kg", "mass"),
])
def test_pieces_that_cannot_be_are_refused_in_one_sentence(old, new, said):
    with pytest.raises(MachineErrors) as errors:
        sheller((old, new))
    assert said in str(errors.value)


def test_a_run_away_wheel_stays_below_all_the_energy_of_the_weight():
    """Closed form: half J omega^2 is at most that of running and the weight's m g h; its fan lost, it gets most of it."""
    light = read_text((EXAMPLES / "harbour-light" / "machine.yaml").read_text(encoding="utf-8"), "machine.yaml")
    solved = solve(light)
    verdict = room.rate(solved)
    f = {f.mode: f for f in verdict.of("loads.flywheel")}
    weight, load = light.drives["weight"], light.loads["flywheel"]
    running = max(float(np.abs(solved.speed[load.shaft][i, 0])) for i, c in enumerate(solved.columns)
                  if c.case in ("running mean", "one module off"))
    energy = (weight.mass.nominal - weight.counterweight.nominal) * light.gravity.nominal * weight.drop.nominal
    ratio = f["run-away yield"].demand / f["rim stress"].demand
    bound = running**2 + 2 * energy / load.inertia.nominal
    assert 0.5 * bound < running**2 * ratio < bound


def test_a_wheel_that_turns_only_while_a_loop_is_wound_is_asked_there():
    """A bored disc of 500 mm on the winding shaft, Lame's hoop stress at its bore, at the speed of winding."""
    light = (EXAMPLES / "harbour-light" / "machine.yaml").read_text(encoding="utf-8")
    wheel = ("  hand wheel: {kind: flywheel, shaft: wind, seat: hand wheel, inertia: 0.5 kg m2, mass: 20 kg, diameter: 500 mm, "
             "bore: 30 mm, density: 7850 kg/m3, yield strength: 235 MPa, tensile strength: 360 MPa}\n\nparts:\n")
    seat = "      hand wheel: {at: 250 mm, key: 8x7x25, keys: 1, key steel: C45+N, hub steel: S355J2}\n"
    at = "      winding sprocket: {at: 300 mm"
    verdict = room.rate(solve(read_text(light.replace("\nparts:\n", wheel, 1).replace(at, seat + at, 1), "machine.yaml")))
    f = next(f for f in verdict.findings if f.part == "loads.hand wheel" and f.mode == "rim stress")
    i = next(i for i, c in enumerate(verdict.solved.columns) if c.title == f.title)
    v = abs(verdict.solved.speed["wind"][i, 0]) * 0.250
    assert f.title.startswith("winding while running")
    assert v > 0
    assert f.demand == pytest.approx(3.3 / 4 * 7850 * v**2 * (1 + 0.7 / 3.3 * (30 / 500) ** 2))
