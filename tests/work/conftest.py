"""No test of workers may hang: what waits for ever is a fault, told after a minute and a half."""

import signal

import pytest

LONGEST = 90


@pytest.fixture(autouse=True)
def in_time():
    def ring(number, frame):
        raise AssertionError(f"still waiting after {LONGEST} s")

    before = signal.signal(signal.SIGALRM, ring)
    signal.alarm(LONGEST)
    yield
    signal.alarm(0)
    signal.signal(signal.SIGALRM, before)
