"""One draft in two windows of a real browser: what one does, the other shows, and a page follows its part's new name."""

CHAIN = "stages.lens chain"


def test_a_window_follows_a_rename_made_in_another_and_its_drop(desk, page):
    page.goto(desk.link)
    other = page.context.new_page()
    other.goto(f"{desk.origin}/part?path={CHAIN}")
    page.goto(f"{desk.origin}/shape?thing={CHAIN}")
    page.get_by_label("New name").fill("long chain")
    page.get_by_role("button", name="Rename", exact=True).click()
    other.get_by_role("heading", name="long chain", exact=True).wait_for()
    assert other.get_by_text("In the machine file: stages.long chain").count() == 1
    page.get_by_role("button", name="Drop", exact=True).last.click()
    other.get_by_role("heading", name="lens chain", exact=True).wait_for()


def test_a_window_says_that_its_part_was_taken_out_and_brings_it_back(desk, page):
    page.goto(desk.link)
    other = page.context.new_page()
    other.goto(f"{desk.origin}/part?path=stages.fan coupling")
    page.goto(f"{desk.origin}/shape?thing=stages.fan coupling")
    page.get_by_role("button", name="Remove").click()
    other.get_by_role("heading", name="fan coupling is not in the machine").wait_for()
    other.get_by_role("button", name="Drop that change, it comes back").click()
    other.get_by_role("heading", name="fan coupling", exact=True).wait_for()
    assert not desk.draft.look().edits
