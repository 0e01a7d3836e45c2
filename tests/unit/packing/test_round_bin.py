"""One round plate and tiers of them: what fits, what does not, and more than the table holds."""

import pytest

from mouldgen.errors import InputError, NoAnswerError
from mouldgen.packing.discs_table import most_discs_in_circle, pattern_of, places_in_circle
from mouldgen.packing.round_bin import all_of, most_beside, most_of_one
from mouldgen.packing.shapes import Disc, Polygon, Rectangle, RoundBed
from mouldgen.packing.tiers import Piece, fewest_loads

POT = RoundBed(228)


def test_more_discs_than_the_table_holds_stand_in_rows() -> None:
    disc = Disc(9.0)

    found = most_of_one(disc, POT, margin_mm=8, spacing_mm=3, wanted=200)

    # 215 / 21 is 10.24; 61 need 8.66.
    assert len(found) > 61
    assert len(most_of_one(disc, POT, margin_mm=8, spacing_mm=3, wanted=61)) == 61


def test_none_asked_for_and_none_that_fits() -> None:
    assert most_of_one(Disc(20), POT, margin_mm=8, spacing_mm=3, wanted=0) == ()
    assert most_of_one(Disc(106.1), POT, margin_mm=8, spacing_mm=3, wanted=4) == ()
    assert all_of([], POT, margin_mm=8, spacing_mm=3) == ()
    assert all_of([Disc(60), Disc(60)], POT, margin_mm=8, spacing_mm=3) is None


def test_an_octagon_counts_by_its_outline_and_not_by_its_box() -> None:
    """Two boxes of 100 x 100 mm are 206 apart in all and 231 from corner to corner."""
    box = Rectangle(100, 100)
    cut = Polygon(
        ((50, -20), (50, 20), (20, 50), (-20, 50), (-50, 20), (-50, -20), (-20, -50), (20, -50))
    )

    assert len(most_of_one(box, POT, margin_mm=8, spacing_mm=3, wanted=2)) == 1
    assert len(most_of_one(cut, POT, margin_mm=4, spacing_mm=3, wanted=2)) == 2


def test_small_discs_beside_large_ones() -> None:
    found = most_beside([Disc(40)] * 3, Disc(10), POT, margin_mm=8, spacing_mm=3, wanted=4)

    assert found is not None
    assert len(found) == 7
    assert most_beside([Disc(80)] * 2, Disc(10), POT, margin_mm=8, spacing_mm=3, wanted=4) is None


@pytest.mark.parametrize("count", [0, 62])
def test_numbers_that_the_table_does_not_have(count: int) -> None:
    with pytest.raises(InputError, match="no pattern of"):
        pattern_of(count)


def test_places_for_more_discs_than_fit() -> None:
    assert most_discs_in_circle(80, 246, spacing_mm=3) == 7
    with pytest.raises(InputError, match="8 discs of 80 mm do not fit in 246 mm"):
        places_in_circle(8, diameter_mm=80, across_mm=246, spacing_mm=3)


@pytest.mark.parametrize("piece", [Piece(Disc(20), 101, 1), Piece(Disc(120), 50, 1)])
def test_a_piece_that_no_pot_takes(piece: Piece) -> None:
    with pytest.raises(NoAnswerError, match="does not stand in a pot"):
        fewest_loads(
            [piece], POT, margin_mm=8, spacing_mm=3, usable_mm=100, shelf_mm=5, most_tiers=2
        )


def test_no_pieces_need_no_load_and_too_few_loads_give_none() -> None:
    asked = {"margin_mm": 8, "spacing_mm": 3, "usable_mm": 100, "shelf_mm": 5, "most_tiers": 2}

    assert fewest_loads([Piece(Disc(20), 50, 0)], POT, **asked) == ()
    many = [Piece(Disc(50), 60, 5)]
    assert fewest_loads(many, POT, **asked, most_loads=1) is None
    found = fewest_loads(many, POT, **asked)
    assert found is not None
    assert [[len(tier.placed) for tier in load] for load in found] == [[2], [2], [1]]
