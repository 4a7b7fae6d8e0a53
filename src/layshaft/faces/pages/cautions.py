"""Cautions: each danger with its size, said plainly and kept together in print."""

from __future__ import annotations

from html import escape

from layshaft.verdict.cautions import cautions
from layshaft.verdict.rate import Verdict


def caution_list(verdict: Verdict) -> str:
    """All cautions of the machine as an HTML fragment; the last one defers to codes and licensed practice."""
    items = "".join(f"<li>{escape(c.text)}</li>" for c in cautions(verdict))
    return f'<ul class="cautions">{items}</ul>'
