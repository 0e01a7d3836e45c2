"""What README and docs show is what a reader gets: every command parses, every excerpt is true."""

from __future__ import annotations

import re
import shlex
from pathlib import Path

import pytest

from mouldgen.cli.app import command
from tests.castings_seeds import seed
from tests.cli_runs import mouldgen

ROOT = Path(__file__).parents[2]
PAGES = [ROOT / "README.md", ROOT / "DEVELOPERS.md", *sorted((ROOT / "docs").glob("*.md"))]
EXCERPT = re.compile(r"^```console\n\$ mouldgen (.+)\n((?:.*\n)*?)```$", re.MULTILINE)
# In a box or set in by blanks it is a whole line; in the text it may leave its job out.
WHOLE = re.compile(r"^(?: {4}|\$ )mouldgen (.+)$", re.MULTILINE)
IN_TEXT = re.compile(r"`mouldgen ([a-z][^`\n]*)`")
LEFT_OUT = "…"
# What was poured before the excerpts of the log: open gap [mm], castings with voids, castings.
SOME_LOADS_LATER = ((0.9, 0, 8), (0.46, 3, 8), (0.46, 3, 8))


def words(line: str) -> list[str]:
    """The words that a shell would hand over, without what is done with the output."""
    return shlex.split(re.split(r" [|>] ", line)[0])


def parsed(asked: list[str]) -> str:
    """The command that reads the words, with nothing run.  Raises what it would raise."""
    program = command(asked)
    above = program.make_context("mouldgen", asked[:1])
    read = program.get_command(above, asked[0]).make_context(asked[0], asked[1:], parent=above)
    return read.command_path.split()[-1]


def shown(pattern: re.Pattern[str]) -> list[tuple[str, str]]:
    return [
        (page.name, line) for page in PAGES for line in pattern.findall(page.read_text("utf-8"))
    ]


def excerpts() -> list[tuple[str, str]]:
    found = EXCERPT.findall((ROOT / "README.md").read_text("utf-8"))
    assert len(found) >= 5
    return found


@pytest.mark.parametrize(("page", "line"), shown(WHOLE))
def test_a_line_to_type_is_one_that_the_command_reads(page: str, line: str) -> None:
    asked = words(line)
    assert parsed(asked) == asked[0]


@pytest.mark.parametrize(("page", "line"), sorted(set(shown(IN_TEXT))))
def test_a_command_in_the_text_has_options_that_there_are(page: str, line: str) -> None:
    asked = words(line)
    try:
        read = parsed(asked)
    except Exception as problem:
        if type(problem).__name__ != "MissingParameter":
            raise
        read = parsed([*asked, "JOB"])
    assert read == asked[0]


def test_an_option_that_there_is_not_would_be_seen() -> None:
    with pytest.raises(Exception, match="No such option: --colour"):
        parsed(["gap", "boathouse-pegs", "--colour"])


def _pour_before(line: str) -> None:
    """What a reader of the page has written down by then."""
    if line.startswith("log result"):
        (pour,) = (shown for shown, _ in excerpts() if shown.startswith("log pour"))
        assert mouldgen(*words(pour)).code == 0
    elif line.startswith("tune"):
        seed(Path("castings.sqlite"), SOME_LOADS_LATER)


@pytest.mark.parametrize(
    ("line", "told"), [pytest.param(*pair, id=pair[0].split()[0]) for pair in excerpts()]
)
def test_an_excerpt_is_what_the_command_says(
    line: str, told: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Line by line in this order: what lies between may be left out at a `…`, blank lines anywhere.

    After a change that moves them, run the line and copy what it says into README.md.
    """
    monkeypatch.chdir(tmp_path)
    _pour_before(line)
    run = mouldgen(*words(line))
    said = [text for text in run.out.splitlines() if text.strip()]

    assert run.code == 0
    at, skips = 0, False
    for text in told.splitlines():
        if text == LEFT_OUT:
            skips = True
            continue
        rest = said[at:] if skips else said[at : at + 1]
        assert text in rest
        at, skips = at + rest.index(text) + 1, False
    assert skips or at == len(said)
