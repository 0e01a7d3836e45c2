"""The first of the kills and troubles that `make faults` runs in great number."""

from __future__ import annotations

import sys

import pytest

from trials import kills, tally, troubles

pytestmark = pytest.mark.skipif(sys.platform != "linux", reason="signals and /proc as Linux has")


def told(found: tally.Tally) -> str:
    return "\n".join(f"seed {seed}: {what}" for seed, what in found.troubles)


def test_kills_leave_all_whole() -> None:
    found = tally.each(kills.case, range(1, 14, 3))

    assert not found.troubles, told(found)
    assert found.count == 5
    assert len(found.outcomes) >= 3, found.outcomes
    assert any("ended before" not in word for word in found.outcomes)


def test_troubles_are_told_and_leave_all_whole() -> None:
    found = tally.each(troubles.case, range(4))

    assert not found.troubles, told(found)
    assert found.count == 4
    assert len(found.outcomes) >= 3, found.outcomes
