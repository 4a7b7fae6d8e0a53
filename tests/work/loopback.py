"""A real Dask cluster on loopback, started and ended by the process numbers of what is started here."""

import itertools
import json
import os
import signal
import subprocess
import sys
import time
from contextlib import contextmanager
from pathlib import Path

QUIET = {"DASK_DISTRIBUTED__SCHEDULER__ALLOWED_FAILURES": "10", "PYTHONWARNINGS": "ignore"}
SOURCES = str(Path(__file__).parents[2] / "src")
TESTS = str(Path(__file__).parents[1])


def started(module, *words, paths=(SOURCES, TESTS)):
    environment = os.environ | QUIET | {"PYTHONPATH": os.pathsep.join(paths)}
    return subprocess.Popen([sys.executable, "-m", f"distributed.cli.{module}", *map(str, words)],
                            env=environment, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL)


def ended(process):
    if process.poll() is None:
        process.kill()
    process.wait(10)


class Loopback:
    """A scheduler and its workers, one process and one thread each."""

    def __init__(self, folder):
        self.folder = folder
        self.file = folder / "scheduler.json"
        self.workers, self.names = [], itertools.count()
        self.scheduler = started("dask_scheduler", "--host", "127.0.0.1", "--port", "0", "--no-dashboard",
                                 "--scheduler-file", self.file)
        self.address = self._address()

    def _address(self):
        until = time.monotonic() + 60
        while time.monotonic() < until:
            if self.file.exists() and (text := self.file.read_text()).strip():
                return json.loads(text)["address"]
            time.sleep(0.05)
        raise AssertionError("the scheduler did not start")

    def add(self, count, **how):
        for _ in range(count):
            name = f"w{next(self.names)}"
            self.workers.append(started("dask_worker", self.address, "--host", "127.0.0.1", "--nthreads", "1", "--no-nanny",
                                        "--no-dashboard", "--name", name, "--local-directory", self.folder / name, **how))
        self.wait_for(sum(w.poll() is None for w in self.workers))
        return self

    def wait_for(self, count):
        import distributed

        with distributed.Client(self.address, set_as_default=False) as client:
            client.wait_for_workers(count, timeout=60)

    def kill(self, i):
        os.kill(self.workers[i].pid, signal.SIGKILL)

    def close(self):
        for process in (*self.workers, self.scheduler):
            ended(process)


@contextmanager
def cluster(folder, workers=2):
    found = Loopback(folder)
    try:
        yield found.add(workers)
    finally:
        found.close()
