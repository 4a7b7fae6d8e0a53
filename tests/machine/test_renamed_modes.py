"""Failure modes that older files call by another name."""

import pytest

from layshaft.machine import MachineErrors, read_text
from train.run_up import FREE


def test_a_mode_that_has_another_name_now_is_told_by_it():
    with pytest.raises(MachineErrors, match=r":14:20: margins: the failure mode 'wind-up' is called 'twist' now"):
        read_text(FREE + "margins: {wind-up: 1.2}\n", "machine.yaml")
    assert read_text(FREE + "margins: {twist: 1.2}\n", "machine.yaml").margins
