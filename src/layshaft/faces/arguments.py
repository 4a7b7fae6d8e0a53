"""Arguments and options that most commands take."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

MachineFile = Annotated[Path, typer.Argument(metavar="MACHINE", help="machine file, or the project folder it is in")]
Sets = Annotated[list[str] | None, typer.Option("--set", metavar="PATH=VALUE", help="change one given; repeatable")]
Options = Annotated[list[str] | None, typer.Option("--option", metavar="NAME",
                                                   help="apply an option of the file; repeatable")]
AsJson = Annotated[bool, typer.Option("--json", help="print plain data, numbers in SI")]
Workers = Annotated[int | None, typer.Option("--workers", metavar="COUNT", min=1, max=256, help=(
    "processes to work in; without it as many as pay"))]
Cluster = Annotated[str, typer.Option("--cluster", metavar="ADDRESS", help=(
    "work on the Dask cluster whose scheduler is there, such as tcp://127.0.0.1:8786"))]
