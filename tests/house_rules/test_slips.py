"""A seeded sample of planted faults: the published and closed-form checks must notice most of them."""

import subprocess
import sys


def slips(checkout, *arguments):
    command = [sys.executable, str(checkout / "tools" / "slips.py"), *arguments]
    return subprocess.run(command, capture_output=True, text=True, timeout=300, check=False, cwd=checkout)


def test_most_of_a_seeded_sample_of_slips_is_noticed(checkout):
    """`make slips` plants all of them and asks for nine in ten; a sample of 400 is 1.5 % uncertain."""
    done = slips(checkout, "--sample", "400", "--least", "0.85")
    assert done.returncode == 0, done.stdout + done.stderr


def test_slips_in_well_checked_formulas_are_all_noticed(checkout):
    done = slips(checkout, "parallel_key.tangential_force", "drives.turning_energy", "--missed")
    assert "noticed 100.0%" in done.stdout, done.stdout + done.stderr


def test_the_lock_of_checks_names_the_checks_there_are(checkout):
    """docs/methods.md says of every method what covers it; `make slips` writes that down."""
    command = [sys.executable, str(checkout / "tools" / "lock_checks.py")]
    done = subprocess.run(command, capture_output=True, text=True, timeout=300, check=False, cwd=checkout)
    assert done.returncode == 0, done.stdout + done.stderr
