"""Planes between successes and failures, against linear programmes and by hand."""

import numpy as np
import numpy.typing as npt
import pytest
from scipy.optimize import linprog

from mouldgen.castings.separation import separated, separation
from mouldgen.errors import InternalError
from tests.logistic_data import DISTRESS, FLIGHT_F, FLIGHTS

Floats = npt.NDArray[np.float64]


def sides(x: Floats, y: Floats, trials: Floats) -> Floats:
    """What each success and each failure asks to be at or above 0."""
    return np.vstack([x[y > 0], -x[y < trials]])


def by_linear_programmes(asked: Floats) -> str:
    """K. Konis, Linear programming algorithms for detecting separated data (Oxford, 2007)."""
    columns = asked.shape[1]
    margin = linprog(
        np.append(np.zeros(columns), -1.0),
        A_ub=np.column_stack([-asked, np.ones(len(asked))]),
        b_ub=np.zeros(len(asked)),
        bounds=[(-1.0, 1.0)] * columns + [(0.0, 1.0)],
    )
    total = linprog(
        -asked.sum(axis=0),
        A_ub=-asked,
        b_ub=np.zeros(len(asked)),
        bounds=[(-1.0, 1.0)] * columns,
    )
    assert margin.status == total.status == 0
    if -margin.fun > 1e-7:
        return "complete"
    return "quasi" if -total.fun > 1e-7 else "none"


def rows_of(seed: int) -> tuple[Floats, Floats, Floats]:
    """Rows of few columns on a coarse grid, where ties and planes through rows are common."""
    rng = np.random.default_rng(seed)
    count, columns = int(rng.integers(1, 40)), int(rng.integers(1, 6))
    x = rng.integers(-3, 4, size=(count, columns)).astype(float)
    if seed % 4 == 1:
        x = (x > 0).astype(float)
    if seed % 4 == 2:
        x = rng.normal(size=(count, columns))
    if rng.random() < 0.8:
        x[:, 0] = 1.0
    eta = x @ rng.integers(-2, 3, size=columns)
    trials = rng.integers(1, 4, size=count).astype(float)
    y = np.where(eta > 0, trials, np.where(eta < 0, 0, rng.integers(0, trials + 1)))
    if rng.random() < 0.5:
        y = np.where(rng.random(count) < 0.15, trials - y, y)
    return x, y, trials


@pytest.mark.parametrize("batch", range(8))
def test_any_rows_against_linear_programmes(batch: int) -> None:
    kinds = set()
    for seed in range(40 * batch, 40 * batch + 40):
        x, y, trials = rows_of(seed)
        asked = sides(x, y, trials)
        found = separation(x, y, trials)
        kinds.add(found.kind)

        assert found.kind == by_linear_programmes(asked), seed
        assert separated(x, y, trials) == (found.kind != "none")
        # What proves it: no row is on the wrong side, and some or all are off the plane.
        along = asked @ found.direction
        if found.kind == "none":
            assert not found.direction.any()
        else:
            assert along.min() > (0.0 if found.kind == "complete" else -1e-9)
            assert along.max() > 1e-6
    assert kinds == {"complete", "quasi", "none"}


@pytest.mark.parametrize(
    ("x", "y", "kind"),
    [
        ([0.0, 1.0, 2.0, 3.0], [0, 0, 1, 1], "complete"),
        ([0.0, 1.0, 1.0, 3.0], [0, 0, 1, 1], "quasi"),
        ([0.0, 1.0, 2.0, 3.0], [0, 1, 0, 1], "none"),
        ([0.0, 1.0, 2.0, 3.0], [0, 0, 0, 0], "complete"),
        ([0.0, 1.0, 2.0, 3.0], [1, 1, 1, 1], "complete"),
        ([1.0, 1.0, 1.0, 1.0], [0, 1, 0, 1], "none"),
        ([1.0, 1.0, 1.0, 2.0], [0, 1, 0, 1], "quasi"),
        ([5.0], [1], "complete"),
    ],
)
def test_one_column_and_a_constant_by_eye(x: list[float], y: list[int], kind: str) -> None:
    table = np.column_stack([np.ones(len(x)), x])

    assert separation(table, y).kind == kind
    # Voids and good castings may change names, and the column its sign, unit and origin.
    assert separation(table, 1 - np.array(y)).kind == kind
    assert separation(table @ [[1.0, 1e4], [0.0, -1e-3]], y).kind == kind


@pytest.mark.parametrize("gap", [1e-2, 1e-5, 1e-8])
def test_a_hairs_breadth_parts_them_and_a_hairs_breadth_the_other_way_does_not(gap: float) -> None:
    good, bad = np.linspace(0.0, 0.5, 20), np.linspace(0.5, 1.0, 20)
    y = np.repeat([0, 1], 20)
    apart, over = (np.concatenate([good, bad + shift]) for shift in (gap, -gap))

    assert separation(np.column_stack([np.ones(40), apart]), y).kind == "complete"
    assert separation(np.column_stack([np.ones(40), over]), y).kind == "none"


def test_one_row_of_a_hundred_thousand() -> None:
    rng = np.random.default_rng(1)
    x = np.column_stack([np.ones(100_000), rng.normal(size=(100_000, 3)), np.zeros(100_000)])
    x[77, 4] = 1.0
    y = rng.random(100_000) < 0.2

    found = separation(x, y)
    assert found.kind == "quasi"
    assert np.abs(found.direction) == pytest.approx([0, 0, 0, 0, 1], abs=1e-9)
    assert not separated(x[:, :4], y)


def test_the_flights_overlap_and_parted_ones_do_not() -> None:
    assert not separated(FLIGHTS, DISTRESS)
    assert separation(FLIGHTS, FLIGHT_F < 65).kind == "complete"
    # A flight at 66 F of either kind.
    touching = np.vstack([FLIGHTS, [1.0, 66.0]])
    assert separation(touching, np.append(FLIGHT_F < 66, True)).kind == "quasi"


def test_a_column_that_repeats_another_changes_nothing() -> None:
    wide = np.column_stack([FLIGHTS, 2.0 * FLIGHT_F - 100.0, np.zeros(23)])

    assert separation(wide, DISTRESS).kind == "none"
    found = separation(wide, FLIGHT_F < 65)
    assert found.kind == "complete"
    assert sides(wide, FLIGHT_F < 65, np.ones(23)).dot(found.direction).min() > 0.0


def test_rows_that_say_nothing() -> None:
    assert separation(np.empty((0, 2)), []).kind == "none"
    assert separation(np.zeros((3, 2)), [0, 1, 1]).kind == "none"
    # A row of zeros lies in every plane.
    assert separation([[0.0], [1.0]], [1, 1]).kind == "quasi"


def test_rows_with_both_kinds_are_in_the_plane() -> None:
    assert separation([[1, 0], [1, 1]], [2, 4], [5, 4]).kind == "quasi"
    assert separation([[1, 0], [1, 1]], [2, 3], [5, 4]).kind == "none"
    assert separation([[1, 0], [1, 1]], [0, 4], [5, 4]).kind == "complete"


def test_shapes_that_do_not_fit() -> None:
    with pytest.raises(InternalError, match="rows of shape"):
        separated([[1.0], [2.0]], [0])
