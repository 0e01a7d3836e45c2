"""docs/pot-card.md shows the card that the tool makes today."""

from docs.make_pot_card import PAGE, page


def test_the_committed_page_is_the_one_the_tool_makes() -> None:
    assert PAGE.read_text(encoding="utf-8") == page()
