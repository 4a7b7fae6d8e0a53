"""A worm and its wheel in space: which way it turns, where the wheel lies, and one force at the flank.

Independent of the house: the screw surface as a point set, its normal by a cross product of two tangents taken
by differences, and Coulomb friction against the sliding there. All machines are invented.
"""

import itertools

import numpy as np
import pytest
from pytest import approx

from closed_form.small_train import DRIVES, shaft
from layshaft.machine.errors import MachineErrors
from layshaft.machine.reader import read_text
from layshaft.train.forces import shaft_loads
from layshaft.train.solve import solve
from layshaft.train.stages import line_direction

AXES = {"x": (1, 0, 0), "-x": (-1, 0, 0), "y": (0, 1, 0), "-y": (0, -1, 0), "z": (0, 0, 1), "-z": (0, 0, -1)}
M, Z_1, Z_2, D_1 = 3e-3, 2, 41, 32e-3
ALPHA, MU = np.radians(20), 0.06
SIZES = f"starts: {Z_1}, wheel teeth: {Z_2}, axial module: 3 mm, worm diameter: 32 mm, pressure angle: 20 deg"
CASES = [(a, b, line, hand) for a, b in itertools.product(AXES, AXES) if a.strip("-") != b.strip("-")
         for line in range(0, 360, 90) for hand in ("right", "left")]


def machine(first="x", second="y", line="90 deg", hand="right", more="friction: 0.06, break away: 1.5", drive="",
            sizes=SIZES):
    """A crank turns the worm, a load holds against the wheel; the bars and bearings are those of the small train."""
    where = f"line: {line}, " if line else ""
    crank = DRIVES["crank"].replace("seat: in", "seat: hold")
    lines = ["layshaft: 1", "name: Worm", "gravity: 9.81 m/s2", "modules:", "  frame: {mass: 60 kg}", "shafts:",
             "  first: " + shaft("in", "hold").replace("axis: x", f"axis: {first}, at: [0.1 m, 0.2 m, 1.5 m]"),
             "  second: " + shaft("in", "hold").replace("axis: x", f"axis: {second}"),
             "drives:", f"  crank: {drive or crank}",
             "stages:", f"  worm: {{kind: worm, from: first, to: second, seats: [in, in], {where}hand: {hand}, {sizes}, "
             f"{more}}}",
             "loads:", "  mill: {kind: steady, shaft: second, seat: hold, torque: 40 N m, break away: 1.2, inertia: 0.1 kg m2}", "transit: {shock: 30 m/s2}"]
    return read_text("\n".join(lines) + "\n", "machine.yaml")


def lies(first, second, line):
    """Direction from worm to wheel, or nothing where it does not lie across both shafts."""
    m = machine(first, second, f"{line} deg")
    u = line_direction(m.shafts["first"], np.radians(line))
    return u if abs(u @ AXES[second]) < 1e-9 else None


def flank(hand, radius, around):
    """Normal of a thread's flank by its pressure angle, and the way it slides, where the wheel touches it.

    Local axes: 0 along the worm, 1 the way it turns, 2 outward. Both flanks of a thread: the caller's sign.
    """
    lead = hand * M * Z_1 / 2  # along the axis per radian

    def point(t, r=radius):
        return np.array([lead * t, r * np.sin(t), r * np.cos(t)])

    step = 1e-6
    along = point(around + step) - point(around - step)
    along = along / np.linalg.norm(along)
    across = np.cross(along, [0, 0, 1.0])
    across = across / np.linalg.norm(across)
    return along, across


@pytest.mark.parametrize(("first", "second", "line", "hand"), CASES)
def test_wheel_moves_with_the_thread(first, second, line, hand):
    """Past the fixed point of contact a right-handed thread moves against the axis it turns about: so must the wheel."""
    u = lies(first, second, line)
    if u is None:
        with pytest.raises(MachineErrors, match="points across both shafts"):
            solve(machine(first, second, f"{line} deg", hand))
        return
    solved = solve(machine(first, second, f"{line} deg", hand))
    omega_1, omega_2 = (solved.speed[s][0, 0] for s in ("first", "second"))
    assert abs(omega_1 / omega_2) == approx(Z_2 / Z_1)
    advance = (-1 if hand == "right" else 1) * omega_1 * M * Z_1 / 2 * np.array(AXES[first])
    wheel = omega_2 * np.cross(AXES[second], -u * M * Z_2 / 2)
    assert wheel == approx(advance, abs=1e-12)


@pytest.mark.parametrize(("first", "second", "line", "hand"), CASES)
def test_place_and_free_bodies(first, second, line, hand):
    u = lies(first, second, line)
    if u is None:
        return
    solved = solve(machine(first, second, f"{line} deg", hand))
    seats = {s: solved.place[s] + np.array(AXES[a]) * 0.060 for s, a in (("first", first), ("second", second))}
    assert seats["second"] - seats["first"] == approx(u * (D_1 + M * Z_2) / 2, abs=1e-12)
    for name in ("first", "second"):
        loads = shaft_loads(solved, name, in_balance=True)
        a, side, up = loads.frame
        bearings = dict(zip(loads.names, loads.stations, strict=True))
        acting = [(x, loads.force[i]) for i, x in enumerate(loads.stations)]
        acting += [(bearings[b], side[:, None, None] * r[0] + up[:, None, None] * r[1])
                   for b, r in zip(loads.supports, loads.reaction, strict=True)]
        acting.append((0.0, a[:, None, None] * loads.thrust))
        force = sum(f for _, f in acting)
        moment = sum(np.cross((a * x)[:, None, None] * np.ones_like(f), f, axis=0) for x, f in acting)
        moment = moment + loads.couple.sum(axis=0)
        size = max(np.abs(loads.force).max(), 1.0)
        assert force == approx(np.zeros_like(force), abs=1e-9 * size)
        assert moment - a[:, None, None] * np.tensordot(a, moment, 1) == approx(np.zeros_like(moment), abs=1e-9 * size)


@pytest.mark.parametrize(("first", "second", "line", "hand"), CASES[::3])
def test_one_force_at_the_flank(first, second, line, hand):
    """Normal force and friction against the sliding: torque of both shafts, and what each seat feels."""
    u = lies(first, second, line)
    if u is None:
        return
    solved = solve(machine(first, second, f"{line} deg", hand))
    a_1, a_2 = np.array(AXES[first], float), np.array(AXES[second], float)
    t_1, t_2 = (t[0, 0] for t in solved.stage_torque["worm"])
    turn = np.sign(solved.speed["first"][0, 0])
    local = np.stack([a_1, np.cross(a_1, u), u])  # along, the way it turns, outward
    along, across = (v @ local for v in flank(1 if hand == "right" else -1, D_1 / 2, 0.0))
    # The flank that pushes leans outward by the pressure angle, and is pressed inward by the wheel.
    found = []
    for sign in (1, -1):
        normal = sign * across * np.cos(ALPHA) - u * np.sin(ALPHA)
        slides = np.sign(turn * along @ local[1]) * along  # of the worm over the wheel
        unit = normal - MU * slides
        size = (t_2 / (a_2 @ np.cross(-u * M * Z_2 / 2, -unit)))
        if size > 0:
            found.append(size * unit)
    [force] = found
    assert a_1 @ np.cross(u * D_1 / 2, force) == approx(t_1, rel=1e-6)
    on_worm = solved.loads["first"].force[solved.loads["first"].at("in")][:, 0, 0]
    on_wheel = solved.loads["second"].force[solved.loads["second"].at("in")][:, 0, 0]
    assert on_worm == approx(force, rel=1e-6, abs=1e-6)
    assert on_wheel == approx(-force, rel=1e-6, abs=1e-6)
    for name, arm, f, torque, a in (("first", u * D_1 / 2, force, t_1, a_1), ("second", -u * M * Z_2 / 2, -force, t_2, a_2)):
        couple = solved.loads[name].couple[solved.loads[name].at("in")][:, 0, 0]
        assert couple == approx(np.cross(arm, f) - torque * a, rel=1e-6, abs=1e-6)


def test_the_four_ways_to_tell_the_worm_agree():
    told = ["worm diameter: 32 mm", "quotient: 10.6667", "lead angle: 10.6197 deg", "centres: 77.5 mm"]
    rest = SIZES.replace("worm diameter: 32 mm, ", "")
    points = [solve(machine(sizes=f"{rest}, {way}")).place["second"] for way in told]
    for point in points[1:]:
        assert point == approx(points[0], abs=1e-6)


def test_a_shifted_wheel_rolls_on_another_cylinder_of_the_worm():
    """78 mm for 77.5 mm: the wheel keeps its pitch circle, the worm's rolling diameter grows by 1 mm."""
    solved = solve(machine(sizes=f"{SIZES}, centres: 78 mm", more="friction: 0.06, break away: 1"))
    t_1, t_2 = (t[0, 0] for t in solved.stage_torque["worm"])
    lead = np.arctan(M * Z_1 / 33e-3)
    eta = (np.cos(ALPHA) - MU * np.tan(lead)) / (np.cos(ALPHA) + MU / np.tan(lead))
    assert abs(t_2 / t_1) == approx(Z_2 / Z_1 * eta)
    force = solved.loads["first"].force[solved.loads["first"].at("in")][:, 0, 0]
    assert abs(force[1]) == approx(abs(t_1) / 16.5e-3)


@pytest.mark.parametrize(("more", "says"), [
    ("quotient: 10", "by this the worm is 30"), ("lead angle: 12 deg", "by stages.worm.worm diameter it is 32"),
    ("centres: 90 mm", "shifted by 4.17 modules"),
])
def test_sizes_that_clash_are_refused(more, says):
    with pytest.raises(MachineErrors, match=says):
        solve(machine(sizes=f"{SIZES}, {more}"))


def test_a_distance_with_no_room_for_a_worm_is_refused():
    rest = SIZES.replace("worm diameter: 32 mm, ", "")
    with pytest.raises(MachineErrors, match="leave no room for a worm"):
        solve(machine(sizes=f"{rest}, centres: 60 mm"))


def test_without_a_side_it_turns_forward_and_its_forces_are_unknown():
    solved = solve(machine(line=""))
    assert solved.speed["second"][0, 0] > 0
    assert np.isnan(solved.place["second"]).all()
    assert np.isnan(solved.loads["first"].force).any()


def test_friction_by_the_curve_fits_the_speed_it_slides_at():
    """No efficiency, no friction stated: solved until loss and sliding speed agree."""
    solved = solve(machine(more=""))
    lead = np.arctan(M * Z_1 / D_1)
    fpm = abs(solved.speed["first"][0, 0]) * D_1 / 2 / np.cos(lead) / 0.00508
    mu = 0.103 * np.exp(-0.110 * fpm**0.450) + 0.012
    t_1, t_2 = (t[0, 0] for t in solved.stage_torque["worm"])
    eta = (np.cos(ALPHA) - mu * np.tan(lead)) / (np.cos(ALPHA) + mu / np.tan(lead))
    assert abs(t_2 / t_1) * Z_1 / Z_2 == approx(eta, rel=1e-9)
    assert solved.machine.stages["worm"].efficiency.is_guess


def test_what_is_stated_wins():
    solved = solve(machine(more="efficiency: 0.6, break away: 1"))
    t_1, t_2 = (t[0, 0] for t in solved.stage_torque["worm"])
    assert abs(t_2 / t_1) * Z_1 / Z_2 == approx(0.6)
