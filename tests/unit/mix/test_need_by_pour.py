"""What each mould needs by pour and by colour: volumes by height, shares, whole cavities."""

from __future__ import annotations

import math

import pytest

from mouldgen.answer import Answer, answer_job
from mouldgen.job.load import load_job
from mouldgen.job.model import Colour, Pour
from mouldgen.job.presets import names
from mouldgen.mix.mixing import closed_amounts
from mouldgen.mix.need import Need, circle_below, largest_remainder, need_of, way_of
from mouldgen.mould.lines import fill_lines


def answered(job: str, *sets: str) -> Answer:
    return answer_job(load_job(job, sets=sets).job)


def needed(answer: Answer, **changes: object) -> Need:
    job, size = answer.job, answer.size
    assert size is not None
    return need_of(
        answer.sizes,
        size,
        pour=job.pour.model_copy(update=changes),
        colours=job.colour,
        moulds=answer.fillings,
        per_mould_ml=closed_amounts(answer, size).per_mould_ml,
    )


@pytest.mark.parametrize("job", names("jobs"))
@pytest.mark.parametrize("layers", [1, 3])
def test_colours_and_pours_add_up_to_what_a_mould_holds(job: str, layers: int) -> None:
    answer = answered(job)
    need = needed(answer, layers=layers)
    held = closed_amounts(answer, answer.size).per_mould_ml
    everything = [ml for pour in range(len(need.pours)) for ml in need.of_moulds_ml(pour, range(1))]
    if need.way == "layers" and layers == 1:
        return  # one pour takes one of its colours: the job itself is refused by the loader
    assert math.fsum(everything) == pytest.approx(held, abs=1e-9)
    assert need.per_mould_ml == pytest.approx(held, abs=1e-9)
    assert all(pour.ml >= 0.0 for pour in need.pours)


def test_layers_of_a_block_go_by_their_heights() -> None:
    """A straight block of 110 x 110 mm: resin by height is floor area less the heap's share."""
    answer = answered("apple-toppers")
    need, size = needed(answer), answer.size
    heights = [0.0, *(answer.sizes.pip_mm + 86.0 * k / 3 for k in (1, 2)), size.level_mm]

    assert [p.to_mm for p in need.pours] == pytest.approx(heights[1:])
    area = 110.0 * 110.0 / 1000.0
    heap = 419.0 / 0.70
    first = area * heights[1] - heap / 3.0
    second = area * 86.0 / 3 - heap / 3.0
    assert need.pours[0].ml == pytest.approx(first, rel=1e-9)
    assert need.pours[1].ml == pytest.approx(second, rel=1e-9)
    # The riser is in the last: all that stands over the second line.
    assert need.pours[2].ml == pytest.approx(
        area * (heights[3] - heights[2]) - heap / 3.0, rel=1e-9
    )
    assert need.way == "layers"
    assert need.of_moulds_ml(1, range(3)) == (0.0, pytest.approx(3.0 * second), 0.0)


@pytest.mark.parametrize("job", ["boathouse-pegs", "lamp-finials", "orchard-grips"])
def test_pours_of_a_round_mould_end_at_its_fill_lines(job: str) -> None:
    answer = answered(job)
    lines = fill_lines(answer.sizes, answer.size, layers=3)
    need = needed(answer, layers=3)
    assert [pour.to_mm for pour in need.pours] == [line.height_mm for line in lines]
    assert [pour.from_mm for pour in need.pours] == [0.0, *(z.height_mm for z in lines[:-1])]


def test_a_straight_cup_is_filled_round_its_insert() -> None:
    """pi R^2 h less what the insert displaces up to there."""
    answer = answered("bell-pulls", "mould.gap=2 mm", "mould.fill=70 mm")
    size, insert = answer.size, answer.sizes.insert
    need = needed(answer, layers=2)
    low = answer.sizes.pip_mm
    by_hand = math.pi * size.foot_mm**2 * (low + 30.0) / 1000.0 - insert.below_ml(30.0)
    whole = size.net_ml + size.riser_ml
    assert need.pours[0].ml == pytest.approx(by_hand, rel=1e-12)
    assert need.pours[1].ml == pytest.approx(whole - by_hand, rel=1e-12)


def test_forty_pens_in_three_micas_are_14_14_and_12() -> None:
    assert largest_remainder(40, (0.35, 0.35, 0.30)) == (14, 14, 12)
    pens = needed(answered("conference-pens", "order.yield=1.0"))
    assert (pens.way, pens.moulds * pens.cavities, pens.cavities_of) == ("apart", 40, (14, 14, 12))


def test_spare_pens_go_by_shares_too_and_none_has_fewer_than_ordered() -> None:
    pens = needed(answered("conference-pens"))
    assert pens.cavities_of == (16, 15, 13)
    assert sum(pens.cavities_of) == 44


def test_cavities_of_a_tray_are_filled_colour_by_colour() -> None:
    """Sixteen teal fill four trays; copper starts the fifth and shares the eighth with pearl."""
    pens = needed(answered("conference-pens"))
    assert [pens.fills(0, tray) for tray in (0, 3, 4, 7, 10)] == [
        (4, 0, 0), (4, 0, 0), (0, 4, 0), (0, 3, 1), (0, 0, 4)
    ]  # fmt: skip
    each = pens.pours[0].ml / 4.0
    assert pens.of_moulds_ml(0, range(6, 8)) == pytest.approx((0.0, 7.0 * each, each))


@pytest.mark.parametrize(
    ("number", "shares", "found"),
    [
        (10, (1.0,), (10,)),
        (0, (0.5, 0.5), (0, 0)),
        (1, (0.5, 0.5), (1, 0)),  # a tie: the earlier
        (3, (0.7, 0.3), (2, 1)),
        (10, (1 / 3, 1 / 3, 1 / 3), (4, 3, 3)),
        # Hamilton's method on 100 seats by a worked example of any text on apportionment.
        (100, (0.1056, 0.3184, 0.576), (10, 32, 58)),
    ],
)
def test_largest_remainders(number: int, shares: tuple[float, ...], found: tuple[int, ...]) -> None:
    assert largest_remainder(number, shares) == found


def test_how_colours_go_in_where_nothing_is_told() -> None:
    two = (Colour(name="a", share=0.5), Colour(name="b", share=0.5))
    assert way_of(Pour(), ()) == "swirl"
    assert way_of(Pour(), two) == "swirl"
    assert way_of(Pour(layers=2), two) == "layers"
    assert way_of(Pour(layers=3), two) == "swirl"
    assert way_of(Pour(layers=2, colours="apart"), two) == "apart"


def test_a_level_in_a_lying_round() -> None:
    assert [circle_below(x) for x in (0.0, 0.5, 1.0)] == pytest.approx([0.0, 0.5, 1.0])
    # A quarter of the diameter: (pi/3 - sin(2 pi/3)/2)/pi of the circle, by hand.
    assert circle_below(0.25) == pytest.approx(1 / 3 - math.sqrt(3) / 4 / math.pi, rel=1e-12)
