"""The machine file: model, reader, options, sampling. Floor 2 of the house."""

from layshaft.machine.errors import MachineErrors, Problem
from layshaft.machine.model import Machine
from layshaft.machine.reader import read, read_text

__all__ = ["Machine", "MachineErrors", "Problem", "read", "read_text"]
