"""Tasks that workers find by name."""

import os
import time

import numpy as np


def summed(shared, part):
    return float(np.sum(np.sin(shared * part)))


def slow(shared, part):
    time.sleep(shared)
    return part * part


def who(shared, part):
    time.sleep(shared)
    return os.getpid()


def deadly(shared, part):
    if part == shared:
        os._exit(9)
    return part


def wrong(shared, part):
    if part == shared:
        raise ValueError(f"{part} is wrong")
    return part
