"""Large work in chunks: local processes or a cluster, with progress and a clean stop."""

from layshaft.work.runner import HERE, Done, Runner, Task
from layshaft.work.trouble import NoCluster, WorkLost

__all__ = ["HERE", "Done", "NoCluster", "Runner", "Task", "WorkLost"]
