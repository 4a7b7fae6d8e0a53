"""One line a part: what governs it, in which case, and whether that is strength, stiffness, wear or handling."""

from __future__ import annotations

from dataclasses import dataclass

from layshaft.trace.findings import Finding
from layshaft.verdict.driving import MODE as FREE_TO_DRIVE
from layshaft.verdict.kinds import gear_fit, iso_gears
from layshaft.verdict.measured import AGAINST
from layshaft.verdict.rate import Verdict
from layshaft.verdict.runaways import MODE as RUN_AWAY

KINDS = {
    "slope at bearing": "stiffness", "slope at mesh": "stiffness", "slope at coupling": "stiffness",
    "deflection at mesh": "stiffness", "deflection at coupling": "stiffness", "twist": "stiffness",
    "critical speed": "stiffness",
    "wear elongation": "wear", "joint pressure": "wear", "flank wear": "wear",
    "wrap": "layout", "misalignment": "layout", "handle force": "handling", "power of one person": "handling",
    FREE_TO_DRIVE: "layout",
    "rating life": "life", "flank pitting": "wear",
    **dict.fromkeys(gear_fit.MODES, "fit"),
}


@dataclass(frozen=True, slots=True)
class Headline:
    """The finding nearest to failing of one part, and the kind of limit it is."""

    part: str
    kind: str
    finding: Finding

    @property
    def text(self) -> str:
        """What governs, in words."""
        place = f" at {self.finding.place}" if self.finding.place else ""
        return f"{self.kind}: {self.finding.mode}{place}, {self.finding.title}"


def headlines(verdict: Verdict) -> list[Headline]:
    """One for each part, worst first; wants are no parts. A shaft's sections, slopes and twist count as the shaft's."""
    found: dict[str, Headline] = {}
    for f in verdict.findings:
        part = _whole(f.part)
        if KINDS.get(f.mode) == "fit" and f.verdict == "holds":
            continue  # teeth that fit do so by little: no measure of how strong they are
        if f.mode in (RUN_AWAY, AGAINST):
            continue  # what follows when it is lost says nothing about how near it is to that; nor does a guess of old
        if f.mode == "flank pitting" and iso_gears.is_slow(verdict.context, verdict.solved.machine.stages[f.part[7:]]):
            continue  # slow teeth wear or jam before they pit
        if part not in found and not part.startswith("wants."):
            found[part] = Headline(part, "not chosen" if f.reason == "not chosen" else KINDS.get(f.mode, "strength"), f)
    return list(found.values())


def _whole(path: str) -> str:
    """A seat's slope belongs to its shaft; its key, bearing, bush and hub are parts of their own."""
    if ".seats." in path and not path.endswith((".key", ".bearing", ".bush", ".hub")):
        return path.split(".seats.")[0]
    return path
