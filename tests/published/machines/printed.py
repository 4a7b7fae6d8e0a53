"""A published problem through the public path: file, train, verdict, and numbers off the printed sheet."""

import functools
import re
from pathlib import Path

from layshaft import machine
from layshaft.trace.sheet import as_text
from layshaft.trace.units import FOOT, INCH, POUND_FORCE, unit_factor
from layshaft.train.solve import solve
from layshaft.verdict.rate import rate
from layshaft.verdict.sheets import sheet_of

EXAMPLES = Path(__file__).parents[3] / "examples" / "published"

LBF = POUND_FORCE
LBF_IN = POUND_FORCE * INCH
PSI = POUND_FORCE / INCH**2
KPSI = 1e3 * PSI
FT_PER_MIN = FOOT / 60


@functools.cache
def verdict(name, option=""):
    """The verdict on one published machine, as it is or with one of its options."""
    m = machine.read(EXAMPLES / name / "machine.yaml")
    return rate(solve(machine.named_option(m, option) if option else m))


@functools.cache
def sheet(name, part, mode, title="running mean", place="", option=""):
    """The printed sheet of one part, as text."""
    found = verdict(name, option)
    wanted = next(f for f in found.every() if (f.part, f.place, f.mode, f.title) == (part, place, mode, title))
    return as_text(sheet_of(found, wanted).trace)


def read_off(text, symbol, dimension):
    """The number beside a symbol on a printed sheet, in SI: given or worked out."""
    line = re.compile(rf"^ *\d* *{re.escape(symbol)} +\S.* {{2,}}(\S.*)$", re.MULTILINE)
    number, _, unit = line.search(text).group(1).partition(" ")
    return float(number) * unit_factor(unit, dimension)
