"""docs/commands.md is what the commands say, and leaves none out."""

import re

from docs.make_commands import PAGE, WORDS, names, page


def test_the_committed_page_is_the_one_the_commands_make() -> None:
    assert PAGE.read_text(encoding="utf-8") == page()


def test_every_command_is_documented_and_no_other() -> None:
    assert list(WORDS) == names()
    assert re.findall(r"^## (\w+)$", page(), re.MULTILINE) == names()
