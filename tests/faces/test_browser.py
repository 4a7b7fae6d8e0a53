"""The browser the page tests stand on starts, shows a page and runs a script."""

import pytest

pytestmark = pytest.mark.browser


def test_a_page_is_shown_and_scripted(page):
    page.set_content("<h1>Harbour Light</h1>")
    assert page.get_by_role("heading", name="Harbour Light").is_visible()
    assert page.evaluate("1 + 1") == 2
