"""Who does the large work of a command: this process, others beside it, or a cluster."""

from __future__ import annotations

import sys
from collections.abc import Iterator
from contextlib import contextmanager

from layshaft.trace.errors import BadInput
from layshaft.work import NoCluster, Runner, WorkLost


@contextmanager
def work(workers: int | None, cluster: str) -> Iterator[Runner]:
    """A runner as the command line asks for it. What it cannot do is one sentence: raises `BadInput`."""
    if cluster and workers is not None:
        raise BadInput("--workers counts processes of this computer, and --cluster has workers of its own: leave one "
                       "of them out.")
    try:
        with Runner(workers, cluster) as runner:
            yield runner
    except KeyboardInterrupt:
        print("Stopped before anything was done that could be kept.", file=sys.stderr)
        raise
    except (NoCluster, WorkLost) as trouble:
        raise BadInput(str(trouble)) from trouble
