"""turn and cover follow the outline of the finished piece and the draft of the bore."""

from __future__ import annotations

import math
from typing import Any

import pytest

from mouldgen.gap.cover import cover, narrowest_mm
from mouldgen.gap.turn import turn
from mouldgen.job.model import Piece
from tests.gap_questions import cup, rod, without_take_up


def asked(outline: Any = None, *, draft: float = 0.0, **changes: Any) -> Any:
    """A rod of 24 x 70 mm, a piece of 26 x 60 mm in it with 2 mm a side to turn off."""
    from dataclasses import replace

    insert = rod(envelope_mm=changes.pop("radius", 12.0), **changes.pop("insert", {}))
    piece = Piece.model_construct(diameter=26.0, length=60.0, outline=outline, **changes)
    found = without_take_up(insert=insert, piece=piece)
    return replace(found, sizes=replace(cup(insert), draft_deg=draft))


def test_a_cylinder_is_its_own_outline() -> None:
    drawn = asked(((0.0, 13.0), (60.0, 13.0)))
    assert turn(drawn).value_mm == turn(asked()).value_mm
    assert turn(asked()).value_mm == pytest.approx(3.0)


@pytest.mark.parametrize("outline", [
    ((0.0, 8.0), (30.0, 13.0), (60.0, 8.0)), ((0.0, 13.0), (60.0, 0.0)),
    ((0.0, 4.0), (60.0, 13.0)),
])  # fmt: skip
def test_without_a_draft_the_widest_place_counts_wherever_it_is(outline: Any) -> None:
    assert turn(asked(outline)).value_mm == pytest.approx(3.0)


def test_with_a_draft_a_head_at_the_top_needs_less_than_one_at_the_bottom() -> None:
    """2 degrees open the bore by tan(2) a mm above the insert's foot, 5 mm below the piece."""
    slope = math.tan(math.radians(2.0))
    low = turn(asked(((0.0, 13.0), (60.0, 8.0)), draft=2.0))
    high = turn(asked(((0.0, 8.0), (60.0, 13.0)), draft=2.0))
    assert low.value_mm == pytest.approx(3.0 - 5.0 * slope)
    assert high.value_mm == pytest.approx(3.0 - 65.0 * slope)
    assert f"where the draft has it {130.0 * slope:.2f} mm wider than at the foot" in high.why


def test_a_neck_that_asks_for_more_than_the_head_counts() -> None:
    """At 5 degrees the bore is 3.5 mm wider over 40 mm: a neck 3 mm thinner is tighter."""
    slope = math.tan(math.radians(5.0))
    found = turn(asked(((0.0, 10.0), (40.0, 13.0), (60.0, 13.0)), draft=5.0, radius=10.0))
    assert found.value_mm == pytest.approx(10.0 + 2.0 - 10.0 - 5.0 * slope)


def test_a_piece_below_the_inserts_foot_stands_where_the_bore_is_narrower() -> None:
    slope = math.tan(math.radians(1.0))
    found = turn(asked(draft=1.0, insert={"length_mm": 56.0}))
    assert found.value_mm == pytest.approx(3.0 + 2.0 * slope)
    assert "mm narrower than at the foot" in found.why


@pytest.mark.parametrize(("outline", "length", "narrowest"), [
    (None, 70.0, 26.0),
    (((0.0, 8.0), (30.0, 13.0), (60.0, 9.0)), 70.0, 16.0),
    # An insert of 30 mm lies from 15 to 45 mm of the piece.
    (((0.0, 8.0), (30.0, 13.0), (60.0, 9.0)), 30.0, 21.0),
    (((0.0, 0.0), (15.0, 13.0), (60.0, 13.0)), 30.0, 26.0),
])  # fmt: skip
def test_cover_is_asked_for_where_the_piece_is_narrowest_round_the_insert(
    outline: Any, length: float, narrowest: float
) -> None:
    found = asked(outline, insert={"length_mm": length})
    assert narrowest_mm(found) == pytest.approx(narrowest)


def test_a_neck_too_thin_for_its_cover_is_a_conflict() -> None:
    neck = ((0.0, 9.0), (30.0, 13.0), (60.0, 13.0))
    assert cover(asked(neck, radius=8.0, cover=1.0)).value_mm is not None
    found = cover(asked(neck, radius=8.5, cover=1.0))
    assert found.value_mm is None
    assert "ask for a piece of 19.00 mm, and it is turned to 18 mm" in found.why
