"""The cut list of the demo, and inch drills as people ask for them."""

from __future__ import annotations

import pytest

from mouldgen.job.lathe import lathe_habits
from mouldgen.job.model import Piece
from mouldgen.shop.cut_list import CutList, cut_list
from mouldgen.size.hole import hole_of
from mouldgen.size.stack_up import StackUp
from tests.demo_set import demo_set


def cuts(**keys: object) -> CutList:
    piece = Piece.model_validate({"diameter": "26 mm", "length": "60 mm", **keys})
    stack = StackUp(blank_mm=80.0, pieces=1, piece_mm=60.0, facing_mm=2.0, grip_mm=0.0, kerf_mm=3.2)
    hole = hole_of(piece, lathe_habits())
    return cut_list(stack, ends_mm=(7.0, 13.0), from_top=False, hole=hole)


def test_the_demo_by_hand() -> None:
    """Insert from 2 to 72 mm, so a piece of 60 mm stands from 7 to 67 in a blank of 80."""
    found = demo_set().cuts
    assert (found.first_mm, found.other_mm, found.from_top) == (7.0, 13.0, False)
    assert (found.stack.blank_mm, found.stack.needed_mm, found.marks_mm) == (80.0, 64.0, ())
    assert found.hole.thread.name == "M6"
    assert (found.drill.text, found.percent) == ("13/64 in", pytest.approx(76.98, abs=0.005))


@pytest.mark.parametrize(("thread", "text", "residual"), [
    # A ruler's 64ths: 13/64 in is 5.159 mm, 17/64 in 6.747 mm, 5/16 in itself, 9/64 in 3.572 mm.
    ("M6", "13/64 in", 5.0 - 5.159375), ("1/4-20", "13/64 in", 5.1054 - 5.159375),
    ("M8", "17/64 in", 6.8 - 6.746875), ("3/8-16", "5/16 in", 0.0),
    ("8-32", "9/64 in", 3.4544 - 3.571875),
])  # fmt: skip
def test_the_nearest_sixty_fourth_with_what_it_leaves_out(
    thread: str, text: str, residual: float
) -> None:
    found = cuts(thread=thread, hole_depth="15 mm")
    assert found.drill.text == text
    assert found.drill.residual_mm == pytest.approx(residual, abs=1e-9)


def test_without_a_hole_there_is_no_drill() -> None:
    found = cuts()
    assert (found.hole, found.drill, found.percent) == (None, None, None)


def test_a_plain_hole_has_no_percent_of_thread() -> None:
    assert cuts(hole="8 mm", hole_depth="20 mm").percent is None
