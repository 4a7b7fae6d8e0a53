"""Offers taken into a copy of the example, and what whole machines cost then, against sums made here by hand."""

import math
import shutil
from pathlib import Path

import pytest
from typer.testing import CliRunner

import layshaft
from layshaft.bill.parts import parts_list
from layshaft.bill.prices import Quote, costs, quoted, times
from layshaft.faces.cli import app
from layshaft.listings.imports.importing import Asked
from layshaft.listings.offers import Offer
from layshaft.project import keeping
from layshaft.project.catalogue import import_file
from layshaft.project.prices import offered_to
from layshaft.project.taking import found, option_for, part_name, taken
from layshaft.study.compare import compare
from layshaft.trace.errors import BadInput

LIGHT = Path(__file__).parents[2] / "examples" / "harbour-light"
SEAT = "shafts.main.seats.left bearing.bearing"
DAY = 86400.0
LIST = ("Artikel;Bohrung [mm];D [mm];B [mm];C [kN];C0 [kN];Preis;Lieferzeit;Gewicht [g];CAD\n"
        "6205-X;25;52;15;14,8;7,9;4,20 EUR;2 Wochen;128;k.step\n6206 ZZ;30;62;16;19;11;6,10 EUR;3 Wochen;200;\n")


@pytest.fixture
def project(tmp_path, monkeypatch):
    """A copy of the example with one imported list, plainly invented."""
    monkeypatch.setenv("XDG_DATA_HOME", str(tmp_path / "home"))
    folder = tmp_path / "light"
    shutil.copytree(LIGHT, folder)
    (tmp_path / "list.csv").write_text(LIST, encoding="utf-8")
    outcome, _ = import_file(tmp_path / "list.csv", folder, Asked(supplier="Erfunden & Co.", kind="bearing"))
    assert outcome.written
    return folder


def test_a_suppliers_part_stands_in_the_file_with_all_its_list_says(project):
    before, after, offer = taken(project, SEAT, "Erfunden & Co. 6205-X")
    assert offer.supplier == "Erfunden & Co."
    keeping.keep(before, after)
    machine = layshaft.read(project)
    part = machine.parts["Erfunden Co 6205-X"]
    assert (part.bore.nominal, part.outside.nominal, part.width.nominal) == pytest.approx((0.025, 0.052, 0.015))
    assert (part.dynamic_rating.nominal, part.static_rating.nominal) == pytest.approx((14.8e3, 7.9e3))
    assert (part.price.value, part.price.currency) == (4.20, "EUR")
    assert part.mass.nominal == pytest.approx(0.128) and part.lead_time.nominal == 14 * DAY
    assert (part.supplier, part.part_number, part.cad) == ("Erfunden & Co.", "6205-X", "k.step")
    assert machine.shafts["main"].seats["left bearing"].bearing.name == "Erfunden Co 6205-X"
    keeping.undo(project)
    assert keeping.opened(project).text == before.text


def test_taking_the_same_part_twice_uses_the_one_that_is_there(project):
    keeping.keep(*taken(project, SEAT, "6205-X")[:2])
    _, after, _ = taken(project, "shafts.wind.seats.left bearing.bearing", "6205-X") if (
        layshaft.read(project).shafts["wind"].seats["left bearing"].bearing.name == "6205") else taken(
        project, SEAT, "6205-X")
    assert after.text.count("Erfunden Co 6205-X:") == 1


def test_a_standard_size_is_taken_by_its_name(project):
    before, after, _ = taken(project, "stages.lens chain.chain", "08B-2")
    changed = [(a, b) for a, b in zip(before.text.splitlines(), after.text.splitlines(), strict=True) if a != b]
    assert changed == [("    chain: 08B-1", "    chain: 08B-2")]


@pytest.mark.parametrize(("path", "offer", "said"), [
    (SEAT, "nothing at all", "Nothing is offered"), (SEAT, "6206", "bore of 30.00 mm"),
    ("shafts.main.seats.lft bearing.bearing", "6205", "leads nowhere"),
])
def test_what_cannot_be_taken_is_said(project, path, offer, said):
    text = keeping.opened(project).text
    with pytest.raises(BadInput, match=said):
        taken(project, path, offer)
    assert keeping.opened(project).text == text


def test_a_kind_the_file_has_no_part_of_is_refused():
    with pytest.raises(BadInput, match="holds no part of kind sprocket"):
        option_for(layshaft.read(LIGHT), "stages.lens chain", Offer("sprocket", "Z1", "Erfunden"))
    with pytest.raises(BadInput, match="Nothing is offered"):
        found("6205-X", [])


@pytest.mark.parametrize(("text", "name"), [
    ("A & B_C. (x) 6205-2RS", "A B C x 6205-2RS"), ("é/1", "é 1"), ("  - x", "x"), ("x" * 99, "x" * 60)])
def test_names_the_file_takes(text, name):
    assert part_name(text) == name


def test_prices_of_whole_machines(project):
    machine = layshaft.read(project)
    plain = compare(machine, ["stout winding chain"])
    assert not any("price" in fact.name for fact in plain.facts)
    found = compare(machine, ["stout winding chain"], offered_to(project))
    facts = {fact.name: fact.values for fact in found.facts}
    bearings = [line for line in parts_list(machine, layshaft.solve(machine)) if line.name.startswith("bearing 62")]
    pieces = {line.name.split()[1].partition("-")[0]: line.quantity for line in bearings}
    wanted = 4.20 * pieces.get("6205", 0) + 6.10 * pieces.get("6206", 0)
    assert wanted > 0 and facts["price of the parts that have one, EUR"] == pytest.approx((wanted, wanted))
    assert all(math.isnan(t) for t in facts["longest lead time"])
    assert facts["longest of those that have one"][0] == (21 if "6206" in pieces else 14) * DAY
    assert facts["pieces without a price"][0] == facts["pieces"][0] - pieces.get("6205", 0) - pieces.get("6206", 0)


def test_lead_time_is_the_longest_and_prices_stay_in_their_currency():
    machine = layshaft.read(LIGHT)
    lines = [line for line in parts_list(machine, layshaft.solve(machine)) if line.size][:3]
    names = [line.size.casefold() for line in lines]
    assert len(set(names)) == 3
    quotes = {names[0]: Quote(2.0, "EUR", 5 * DAY), names[1]: Quote(3.0, "EUR", 9 * DAY),
              names[2]: Quote(100.0, "USD", 1 * DAY)}
    quoted(lines, machine, quotes)
    for line, count in zip(lines, (3, 2, 1), strict=True):
        line.where, line.per = ["x"] * count, 1.0
    assert costs(lines).currency == "EUR" and costs(lines).known == 3 * 2.0 + 2 * 3.0 and costs(lines).without == 1
    assert times(lines).longest == 9 * DAY and times(lines).without == 0
    quoted(lines, machine, {names[1]: quotes[names[1]]})
    assert math.isnan(times(lines).longest) and times(lines).longest_known == 9 * DAY and times(lines).without == 4
    assert math.isnan(costs(quoted(lines, machine, {})).known)


def test_a_chain_costs_by_the_metre():
    machine = layshaft.read(LIGHT)
    line = next(x for x in parts_list(machine, layshaft.solve(machine)) if x.name.startswith("chain 08B-1"))
    metres = float(line.name.split(", ")[-1].split()[0]) / 1000
    quoted([line], machine, {"08b-1": Quote(10.0, "EUR")})
    assert costs([line]).known == pytest.approx(10 * metres * line.quantity, rel=1e-3)


def test_the_command_shows_before_it_writes(project):
    done = CliRunner().invoke(app, ["catalogue", "take", str(project), SEAT, "6205-X", "--show"])
    assert done.exit_code == 0 and "+    price: 4.20 EUR" in done.stdout and "Nothing was written" in done.stdout
    done = CliRunner().invoke(app, ["compare", str(project), "stout winding chain"])
    assert ("price of the parts that have one, EUR" in done.stdout and "14.00 days" in done.stdout) or "21.00" in done.stdout


def test_a_typical_size_is_written_out_as_assumed(project):
    # no standard sets the sizes of elastic couplings: nobody listed this one
    _, after, _ = taken(project, "stages.lens coupling.listing", "elastic 40")
    part = after.machine.parts["elastic 40"]
    assert part.source == "assumed" and part.steady_torque.nominal == 40.0 and not part.price.known
