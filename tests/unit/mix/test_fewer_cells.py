"""A block that is too slow to fill: with how many cells it would go."""

from __future__ import annotations

import pytest

from mouldgen.answer import answer_job
from mouldgen.job.load import load_job
from mouldgen.mix.fewer_cells import most_cells, with_cells
from mouldgen.mix.mixing import Mixing, mixing

SLOW = ("resin.gel=6 min", "pour.close=4 min", "pour.mix=1 min", "mould.gap=4 mm")
TRIED = "Try 2 or fewer cells in a block ([mould] cells), a smaller batch in more layers"


def mixed(*sets: str) -> Mixing:
    """The pegs of four to a block, changed."""
    return mixing(answer_job(load_job("locker-pegs", sets=(*SLOW, *sets)).job))


def stop(made: Mixing) -> str:
    """What must be fixed before anything is mixed."""
    return " ".join(found.message for found in made.findings if found.severity == "stop")


def test_a_block_too_slow_to_fill_is_told_how_many_cells_go() -> None:
    made = mixed()
    assert "Not one mould can be poured in time" in stop(made)
    assert TRIED in stop(made)


@pytest.mark.parametrize(("cells", "goes"), [("[1, 1]", True), ("[1, 2]", True), ("[1, 3]", False)])
def test_what_is_told_is_what_comes_of_such_a_block(cells: str, goes: bool) -> None:
    """Two of four were told: a job with two is in time, one with three is not."""
    assert most_cells(mixed().question) == 2
    made = mixed(f"mould.cells={cells}")
    assert (made.batches is not None) is goes
    if not goes:
        assert TRIED in stop(made)


def test_where_no_number_of_cells_helps_none_is_told() -> None:
    made = mixed("pour.mix=220 s", "resin.gel=4.5 min")
    assert "Not one mould can be poured in time" in stop(made)
    assert most_cells(made.question) is None
    assert "cells" not in stop(made)


def test_a_batch_too_small_for_a_block_is_told_it_too() -> None:
    """A block takes 106 g, a cell a quarter of it: two cells are 53 g, three 80."""
    light = ("shop.scale=0.1 g", "resin.gel=40 min", "pour.batch=60 g")
    made = mixed(*light)
    assert "a finer scale, take 2 or fewer cells in a block ([mould] cells), or" in stop(made)
    assert mixed(*light, "mould.cells=[1, 2]").batches is not None


def test_the_same_blanks_in_more_moulds_take_as_much_resin() -> None:
    need = mixed().need
    fewer = with_cells(need, 2)
    assert (need.moulds, need.cavities) == (4, 4)
    assert (fewer.moulds, fewer.cavities) == (8, 2)
    assert fewer.moulds * fewer.per_mould_ml == pytest.approx(need.moulds * need.per_mould_ml)
    # 16 blanks fill five moulds of three, and a sixth that casts two more.
    assert with_cells(need, 3).moulds == 6


def test_colours_apart_are_shared_out_again() -> None:
    """Forty pen blanks, four to a tray; with three to a tray 14 trays and 42 blanks."""
    need = mixing(answer_job(load_job("conference-pens").job)).need
    blanks = need.moulds * need.cavities
    fewer = with_cells(need, 3)
    assert sum(need.cavities_of) == blanks
    assert fewer.moulds == -(-blanks // 3)
    assert sum(fewer.cavities_of) == fewer.moulds * 3
