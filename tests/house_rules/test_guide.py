"""The guide shows the exemplar room as it is: every line of its code excerpts is found there."""

import re


def test_every_excerpt_of_the_guide_is_in_the_exemplar(checkout):
    guide = (checkout / "docs" / "add-a-machine-element.md").read_text(encoding="utf-8")
    files = ("src/layshaft/elements/parallel_key.py", "src/layshaft/tables/keys_metric.csv",
             "tests/published/test_din_6892_method_c.py")
    exemplar = "\n".join((checkout / name).read_text(encoding="utf-8") for name in files)
    excerpts = re.findall(r"```(?:python|text)\n(.*?)```", guide, re.DOTALL)
    assert len(excerpts) >= 8
    assert [text for text in excerpts if text not in exemplar] == []


def test_links_in_the_docs_lead_somewhere(checkout):
    for page in (*checkout.glob("*.md"), *checkout.glob("docs/**/*.md")):
        for link in re.findall(r"\]\(([^)#:]+)\)", page.read_text(encoding="utf-8")):
            assert (page.parent / link).exists(), f"{page.name}: {link}"
