"""The machine file: model, reader, options, sampling. Floor 2 of the house."""

from layshaft.machine.errors import MachineErrors, Problem
from layshaft.machine.model import Machine
from layshaft.machine.options import apply, named_option, set_from_text
from layshaft.machine.reader import read, read_text
from layshaft.machine.sampling import sample

__all__ = ["Machine", "MachineErrors", "Problem", "apply", "named_option", "read", "read_text", "sample",
           "set_from_text"]
