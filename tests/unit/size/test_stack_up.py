"""What takes length of a blank, and the hole on the piece's axis, in closed form."""

from __future__ import annotations

import math

import pytest

from mouldgen.job.lathe import lathe_habits
from mouldgen.job.model import Piece
from mouldgen.job.outline import outline_of
from mouldgen.size.hole import Hole, deepest_mm, hole_of, wall_mm
from mouldgen.size.stack_up import StackUp


def stack(**changes: float) -> StackUp:
    """A drawer knob of 32 x 30 mm in a tube filled to 46 mm (trade figures, no source)."""
    values = {
        "blank_mm": 46.0, "pieces": 1, "piece_mm": 30.0, "facing_mm": 2.0,
        "grip_mm": 8.8, "kerf_mm": 3.2,
    }  # fmt: skip
    return StackUp(**{**values, **changes})


def test_one_knob_takes_the_whole_tube() -> None:
    assert stack().needed_mm == pytest.approx(46.0)
    assert stack().spare_mm == pytest.approx(0.0)
    assert stack().shares == (
        ("piece", 1, 30.0), ("facing", 2, 2.0), ("cut", 1, 3.2), ("grip", 1, 8.8),
    )  # fmt: skip


def test_three_knobs_take_a_bar_of_112_mm() -> None:
    # Common practice, no source: a bar of 112.4 mm gives three of the same knobs.
    assert stack(pieces=3).needed_mm == pytest.approx(112.4)


@pytest.mark.parametrize("grip", [0.0, 12.0])
@pytest.mark.parametrize("pieces", [1, 2, 3, 7])
def test_cuts_and_marks_by_hand(pieces: int, grip: float) -> None:
    bar = stack(pieces=pieces, grip_mm=grip)
    marks = bar.marks_mm(2.0)
    assert bar.cuts == len(marks) == pieces - 1 + (grip > 0)
    between = marks[: pieces - 1]
    assert between == pytest.approx([2.0 + 30.0 * k + 3.2 * (k - 1) for k in range(1, pieces)])
    last = 2.0 + 30.0 * pieces + 3.2 * (pieces - 1)
    if grip:
        assert marks[-1] == pytest.approx(last + 2.0)  # its second end still to be faced
        assert bar.needed_mm == pytest.approx(marks[-1] + 3.2 + grip)
        assert bar.held_mm == pytest.approx(2.0 + 3.2 + grip)
    else:
        assert bar.needed_mm == pytest.approx(last + 2.0)
        assert bar.held_mm == 2.0


def test_between_centres_nothing_is_cut_and_nothing_is_gripped() -> None:
    assert stack(grip_mm=0.0).shares == (("piece", 1, 30.0), ("facing", 2, 2.0))


# -------------------------------------------------------------------------------- the hole


def hole(**keys: object) -> Hole:
    found = hole_of(piece(**keys), lathe_habits())
    assert found is not None
    return found


def piece(**keys: object) -> Piece:
    base = {"diameter": "26 mm", "length": "60 mm"}
    return Piece.model_validate({**base, **keys})


def test_a_blind_thread_is_drilled_deeper_and_stops_at_the_point() -> None:
    found = hole(thread="M6", hole_depth="15 mm")
    assert (found.largest_mm, found.drill_mm, found.depth_mm) == (6.0, 5.0, 15.0)
    assert found.drilled_mm == pytest.approx(19.5)  # 1.3 times; common practice, no source
    # A point of 118 degrees is 0.3004 of the drill's diameter high.
    assert found.point_mm == pytest.approx(0.3004 * 5.0, abs=5e-4)
    assert found.stop_mm == pytest.approx(21.002, abs=5e-4)
    assert found.floor_mm == pytest.approx(60.0 - 21.002, abs=5e-4)


def test_a_hole_as_deep_as_the_piece_goes_through() -> None:
    found = hole(hole="8 mm", hole_depth="60 mm")
    assert found.through
    assert (found.drilled_mm, found.point_mm, found.floor_mm) == (60.0, 0.0, math.inf)
    assert not hole(hole="8 mm", hole_depth="59.9 mm").through


def test_a_plain_hole_is_drilled_as_deep_as_it_is() -> None:
    found = hole(hole="8 mm", hole_depth="20 mm")
    assert (found.thread, found.largest_mm, found.drill_mm) == (None, 8.0, 8.0)
    assert (found.drilled_mm, found.bottoming) == (20.0, False)


@pytest.mark.parametrize(("depth", "bottoming"), [
    # A taper tap cuts eight pitches short, 8 mm of M6: 0.3 of a depth of 26.7 mm.
    ("15 mm", True), ("26.6 mm", True), ("26.7 mm", False), ("60 mm", False),
])  # fmt: skip
def test_a_shallow_blind_thread_needs_a_bottoming_tap(depth: str, bottoming: bool) -> None:
    assert hole(thread="M6", hole_depth=depth).bottoming is bottoming


def test_which_end_it_enters() -> None:
    assert hole(thread="M6", hole_depth="15 mm").zone_mm(15.0) == (0.0, 15.0)
    top = hole(thread="M6", hole_depth="15 mm", hole_from="top")
    assert top.zone_mm(15.0) == (45.0, 60.0)
    assert top.zone_mm(99.0) == (0.0, 60.0)


NECK = [["0 mm", "5 mm"], ["20 mm", "5 mm"], ["30 mm", "13 mm"], ["60 mm", "13 mm"]]


@pytest.mark.parametrize(("keys", "wall"), [
    ({"thread": "M6", "hole_depth": "15 mm"}, 10.0),
    ({"thread": "M6", "hole_depth": "15 mm", "outline": NECK}, 2.0),
    ({"thread": "M6", "hole_depth": "15 mm", "outline": NECK, "hole_from": "top"}, 10.0),
    ({"thread": "M10", "hole_depth": "15 mm", "outline": NECK}, 0.0),
    ({"hole": "11 mm", "hole_depth": "15 mm", "outline": NECK}, -0.5),
    # From the top the thread ends at 24 mm, where the cone is 8.2 mm wide; the drill goes on to
    # 13.2 mm, into the neck.
    ({"thread": "M6", "hole_depth": "36 mm", "outline": NECK, "hole_from": "top"}, 2.5),
])  # fmt: skip
def test_the_least_wall_by_hand(keys: dict[str, object], wall: float) -> None:
    shape = piece(**keys)
    found = hole_of(shape, lathe_habits())
    assert found is not None
    assert wall_mm(found, outline_of(shape)) == pytest.approx(wall)


@pytest.mark.parametrize("keys", [
    {"thread": "M6", "hole_depth": "15 mm"}, {"hole": "8 mm", "hole_depth": "15 mm"},
])  # fmt: skip
def test_the_deepest_hole_leaves_the_least_floor(keys: dict[str, object]) -> None:
    lathe = lathe_habits()
    deepest = deepest_mm(hole(**keys), lathe)
    limit = hole(**{**keys, "hole_depth": f"{deepest:.12f} mm"})
    assert limit.floor_mm == pytest.approx(lathe.floor_mm, abs=1e-9)
