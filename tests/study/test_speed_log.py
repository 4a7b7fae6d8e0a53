"""A log that is not there."""

import pytest

from layshaft.machine import MachineErrors
from layshaft.study.speed_log import read_log


def test_a_log_that_is_not_there(tmp_path):
    with pytest.raises(MachineErrors, match=r"There is no file .*gone\.csv\. Give the table of the measured log"):
        read_log(tmp_path / "gone.csv", ["bell"])
