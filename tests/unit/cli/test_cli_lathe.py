"""The finished piece and its cut list, as the terminal tells them."""

from __future__ import annotations

import pytest

from mouldgen.job.lathe import lathe_habits
from mouldgen.job.model import Piece
from mouldgen.sheet.lathe_words import lathe_line, piece_line
from mouldgen.shop.cut_list import cut_list
from mouldgen.size.hole import hole_of
from mouldgen.size.stack_up import StackUp
from tests.demo_set import demo_set


def line(*, grip: float = 0.0, inches: bool = False, pieces: int = 1, **keys: object) -> str:
    piece = Piece.model_validate({"diameter": "26 mm", "length": "30 mm", **keys})
    stack = StackUp(110.0, pieces, 30.0, 2.0, grip, 3.2)
    hole, from_top = hole_of(piece, lathe_habits()), piece.hole_from == "top"
    cuts = cut_list(stack, ends_mm=(7.0, 13.0), from_top=from_top, hole=hole)
    return lathe_line(cuts, inches=inches)


def test_the_demos_piece_in_one_sentence() -> None:
    found = demo_set()
    assert piece_line(found) == (
        "26 mm x 60 mm, 10 % of it resin; 88 % of the resin in a mould is turned to ribbons."
    )


def test_the_demos_cut_list() -> None:
    assert lathe_line(demo_set().cuts, inches=False) == (
        "the blank is 80 mm long; face 7 mm off the bottom end and 13 mm off the top, to 60 mm,"
        " between centres or on a screw chuck. Drill 5 mm (13/64 in less 0.16 mm) 19.5 mm deep"
        " from the bottom (stop 21 mm after the point touches); tap M6 15 mm deep, taper tap"
        " first, then a bottoming tap."
    )


def test_with_a_grip_the_piece_is_parted_off() -> None:
    # Bottom end 7 mm, the piece 30 mm, a facing of 2 mm: the cut begins at 39 mm.
    assert line(grip=12.0) == (
        "the blank is 110 mm long; face 7 mm off the bottom end, part off at 39 mm and face to 30"
        " mm: the chuck holds 12 mm of the top end."
    )


def test_a_bar_of_three_has_three_marks() -> None:
    assert "part off at 37 mm and 70.2 mm and 105.4 mm" in line(grip=3.0, pieces=3)


def test_a_hole_from_the_top_faces_the_top_first() -> None:
    told = line(hole="8 mm", hole_depth="30 mm", hole_from="top")
    assert "face 7 mm off the top end and 13 mm off the bottom" in told
    assert told.endswith("Drill 8 mm (5/16 in plus 0.06 mm) right through from the top.")


@pytest.mark.parametrize(("thread", "drill"), [
    ("1/4-20", "Drill no. 7 (5.11 mm, 13/64 in less 0.05 mm) 13 mm deep"),
    ("5/16-18", "Drill letter F (6.53 mm, 1/4 in plus 0.18 mm) 13 mm deep"),
    ("3/8-16", "Drill 5/16 in (7.94 mm) 13 mm deep"),
    ("M10", "Drill 8.5 mm (21/64 in plus 0.17 mm) 13 mm deep"),
])  # fmt: skip
def test_drills_by_the_names_people_ask_for(thread: str, drill: str) -> None:
    assert drill in line(thread=thread, hole_depth="10 mm")


def test_in_a_job_in_inches_both_are_shown() -> None:
    told = line(thread="1/4-20", hole_depth="10 mm", inches=True)
    assert "the blank is 110 mm (4 21/64 in) long" in told
    assert "13 mm (33/64 in) deep" in told
