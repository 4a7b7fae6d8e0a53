"""What there is to take away, in the order one looks for it: sheets by the shaft or stage they belong to."""

from __future__ import annotations

from dataclasses import dataclass, field
from urllib.parse import quote

from layshaft.faces.pages.words import part_words
from layshaft.trace.findings import Finding, Word
from layshaft.verdict.rate import Verdict

KINDS = (("shafts", "Shafts, with what sits on them"), ("stages", "Chains, gears and couplings"),
         ("drives", "Drives"), ("loads", "Loads"), ("", "Other parts"))
TABLE_WORDS = {
    "findings": "every verdict: demand, rating, margin, what it rests on",
    "parts": "what to make and buy, with its mass",
    "givens": "every number of the machine file, with its source",
    "guesses": "what is only guessed, and why",
    "shafts": "speed and torque of every shaft in every case",
    "needs": "what is still to be found, in words",
    "jams": "what lets go first where a shaft is held fast",
}


@dataclass(slots=True)
class Leaf:
    """One part with sheets: its name, address and worst verdict."""

    path: str
    words: str
    address: str
    verdict: Word


@dataclass(slots=True)
class Owner:
    """A shaft, a stage, a drive or a load, with the parts on it that have sheets of their own."""

    path: str
    words: str
    address: str
    verdict: Word
    parts: list[Leaf] = field(default_factory=list)


def sheet_groups(verdict: Verdict, named: str = "") -> list[tuple[str, list[Owner]]]:
    """Everything that has sheets, under headings; only what has all the words of `named` in its name, where asked."""
    with_sheets = {part.path for r in verdict.rated for part in r.block.parts}
    worst: dict[str, Finding] = {}
    for f in verdict.findings:
        if f.part in with_sheets and (f.part not in worst or f.rank < worst[f.part].rank):
            worst[f.part] = f
    owners: dict[str, list[str]] = {}
    for path in worst:
        owners.setdefault(".".join(path.split(".")[:2]), []).append(path)
    found = [_owner(owner, paths, worst) for owner, paths in owners.items()]
    words = named.casefold().split()
    kept = [o for o in (_narrowed(o, words) for o in found) if o is not None]
    known = [kind for kind, _ in KINDS if kind]
    groups = [(title, sorted((o for o in kept if _kind(o, known) == kind), key=lambda o: o.words.casefold()))
              for kind, title in KINDS]
    return [(title, ours) for title, ours in groups if ours]


def _kind(owner: Owner, known: list[str]) -> str:
    first = owner.path.split(".")[0]
    return first if first in known else ""


def _owner(path: str, paths: list[str], worst: dict[str, Finding]) -> Owner:
    leaves = sorted((_leaf(p, worst[p]) for p in paths if p != path), key=lambda leaf: leaf.words.casefold())
    nearest = min((worst[p] for p in paths), key=lambda f: f.rank)
    return Owner(path, part_words(path), quote(path), nearest.verdict, leaves)


def _leaf(path: str, f: Finding) -> Leaf:
    return Leaf(path, part_words(path), quote(path), f.verdict)


def _narrowed(owner: Owner, words: list[str]) -> Owner | None:
    """The owner with the parts that have all the words; None where nothing of it has."""
    if not words or all(w in owner.words.casefold() for w in words):
        return owner
    owner.parts = [p for p in owner.parts if all(w in p.words.casefold() for w in words)]
    return owner if owner.parts else None
