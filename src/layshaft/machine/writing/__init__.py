"""The writer: a changed model goes back into the builder's text, every other byte left alone."""

from layshaft.machine.writing.splices import rewritten as rewritten
