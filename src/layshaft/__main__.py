"""`python -m layshaft` is the command `layshaft`."""

from layshaft.faces.cli import main

main()
