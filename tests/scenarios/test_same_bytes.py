"""The same job gives the same bytes in surroundings that differ in everything a command could
pick up: a share of what `trials/same_bytes.py` compares."""

from __future__ import annotations

import datetime as dt
import json
import sys
from pathlib import Path

import pytest

from trials.same_bytes import (
    GROUPS,
    OTHERS,
    PLAIN,
    Surroundings,
    compare,
    lacking,
    made_locales,
    run,
)

pytestmark = pytest.mark.skipif(sys.platform == "win32", reason="umask and TZ are POSIX")
GERMAN, TURKISH, UTF_8 = OTHERS


@pytest.fixture(scope="module")
def locales(tmp_path_factory: pytest.TempPathFactory) -> Path | None:
    return made_locales(tmp_path_factory.mktemp("locales"))


@pytest.mark.parametrize(
    ("job", "group", "other", "least"),
    [
        ("boathouse-pegs", "build", GERMAN, 18),
        ("boathouse-pegs", "sheet", TURKISH, 9),  # HTML, PDF and seven cards
        ("chest-toggles", "build", UTF_8, 10),
    ],
)
def test_outputs_agree_to_the_byte(
    job: str, group: str, other: Surroundings, least: int, locales: Path | None
) -> None:
    if other.locale in lacking(locales):  # C would stand in for it
        pytest.skip(f"no locale {other.locale} here")
    assert compare(job, group, [other], locales=locales) >= least


def test_the_surroundings_are_told_apart() -> None:
    """What is compared differs in each thing, so that none of them is held to itself."""
    for name in ("cores", "hash_seed", "locale", "zone", "threads", "umask", "days", "backwards"):
        assert len({getattr(one, name) for one in (PLAIN, *OTHERS)}) > 1, name
    assert set(GROUPS) == {"build", "sheet", "plots", "order", "many"}


def test_the_clock_of_a_command_is_really_off(tmp_path: Path, locales: Path | None) -> None:
    """Without a first day of work a plan begins on the clock's, so it tells which day that is."""
    home, here = tmp_path / "home", tmp_path / "here"
    home.mkdir()
    here.mkdir()
    words = ["plan", "chest-toggles", "--json"]
    told = [run(words, one, home=home, here=here, locales=locales) for one in (PLAIN, GERMAN)]
    plain, later = (dt.date.fromisoformat(json.loads(one)["start"]) for one in told)

    assert 398 <= (later - plain).days <= 402  # the zone is off by hours too
