"""Any key of any shipped job, said in any way: the tables change there only, no comment is lost."""

from __future__ import annotations

import re
import tomllib
from functools import cache
from pathlib import Path
from typing import Any

from hypothesis import given, settings
from hypothesis import strategies as st

from mouldgen.job import keys
from mouldgen.job.rewrite import said_otherwise
from mouldgen.job.typed import typed
from mouldgen.job.written import written

# Nothing that TOML cannot hold: no lone half of a surrogate pair.
TEXTS = st.text(st.characters(exclude_categories=("Cs",)), min_size=1, max_size=20)
WORDS = st.sampled_from(
    ["12.5 mm", '1-1/8"', "3", "0.5", "40 %", "yes", "2027-01-02", "2:1", "1 mm, 2 mm, 3 mm",
     "0 mm 1 mm; 2 mm 3 mm", "x'y", 'a "b" c', "# no comment", "[1, 2]", "\\", "ö"]
)  # fmt: skip
# A text in quotes, or a comment up to the end of its line.
TOKEN = re.compile(r"\"(?:\\.|[^\"\\\n])*\"|'[^'\n]*'|(#[^\r\n]*)")


@cache
def jobs() -> dict[str, str]:
    return {
        path.stem: path.read_text(encoding="utf-8")
        for path in sorted(Path("presets/jobs").glob("*.toml"))
    }


def comments(text: str) -> list[str]:
    return [found for found in TOKEN.findall(text) if found]


@st.composite
def edits(draw: st.DrawFn) -> tuple[str, tuple[str, int | None, str]]:
    """A job's text, and a table, a number in it and a key."""
    text = jobs()[draw(st.sampled_from(sorted(jobs())))]
    if draw(st.booleans()):
        text = text.replace("\n", "\r\n")
    colours = len(tomllib.loads(text).get("colour", []))
    table = draw(st.sampled_from([t for t in keys.TABLES if t != "colour" or colours]))
    item = draw(st.integers(0, colours - 1)) if table == "colour" else None
    key = draw(st.sampled_from([k for k in keys.fields(table) if f"{table}.{k}" not in keys.LISTS]))
    return text, (table, item, key)


def said(text: str, place: tuple[str, int | None, str], words: str) -> str:
    table, item, key = place
    name = table if item is None else f"{table}.{item + 1}"
    return said_otherwise(text, f"{name}.{key}", words)


def table_of(data: dict[str, Any], place: tuple[str, int | None, str]) -> dict[str, Any]:
    found = data.setdefault(place[0], {})
    return found if place[1] is None else found[place[1]]


def line_ends(text: str) -> set[str]:
    return set(re.findall(r"\r\n|\n", text))


@settings(deadline=None, derandomize=True, database=None, max_examples=250)
@given(edits(), WORDS | TEXTS)
def test_a_key_said_otherwise(edit: tuple[str, tuple[str, int | None, str]], words: str) -> None:
    text, place = edit
    if not words.strip():
        words = "x"
    after = said(text, place, words)

    wanted = tomllib.loads(text)
    table_of(wanted, place)[place[2]] = typed(written(place[0], place[2]), words)
    assert tomllib.loads(after) == wanted
    assert comments(after) == comments(text)
    assert line_ends(after) == line_ends(text)
    assert said(after, place, words) == after


@settings(deadline=None, derandomize=True, database=None, max_examples=150)
@given(edits())
def test_a_key_taken_away(edit: tuple[str, tuple[str, int | None, str]]) -> None:
    text, place = edit
    after = said(text, place, " ")

    wanted = tomllib.loads(text)
    holder = table_of(wanted, place)
    there = holder.pop(place[2], None) is not None
    if not holder and place[1] is None:
        del wanted[place[0]]
    assert tomllib.loads(after) == wanted
    # Only what stood on its own lines can go with it.
    gone = [one for one in comments(text) if one not in comments(after)]
    assert len(gone) <= there
    if not there:
        assert after == text
