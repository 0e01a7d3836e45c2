"""Values drawn evenly out of a Hypothesis strategy, to measure shares of a domain by.

Hypothesis by itself seeks failures: it draws the edges of a range more often than its middle, and
constants out of the source of whatever modules are loaded, so that a share of its examples says
little of the domain.  Here every range is drawn evenly and every one of several with one chance,
from a scrambled Sobol' sequence (scipy.stats.qmc): a few dozen draws lie as evenly in each range
as hundreds of random ones.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import ClassVar, TypeVar

from hypothesis import HealthCheck, Phase, given, settings
from hypothesis.internal.conjecture.providers import AVAILABLE_PROVIDERS, PrimitiveProvider
from hypothesis.strategies import SearchStrategy
from scipy.stats import qmc

T = TypeVar("T")
MOST_DRAWS = 40  # numbers and choices that one value may be made of


class EvenDraws(PrimitiveProvider):
    """A backend (Hypothesis's documentation: alternative backends) for bounded numbers."""

    lifetime = "test_case"
    points: ClassVar[Iterator[list[float]]]  # from `even_draws`: Hypothesis makes the backend

    def __init__(self, conjecturedata: object, /) -> None:
        super().__init__(conjecturedata)
        self.point = iter(next(self.points))

    def draw_boolean(self, p: float = 0.5) -> bool:
        return next(self.point) < p

    def draw_integer(self, min_value: int, max_value: int, **_: object) -> int:
        return min_value + int(next(self.point) * (max_value - min_value + 1))

    def draw_float(self, *, min_value: float, max_value: float, **_: object) -> float:
        return min_value + next(self.point) * (max_value - min_value)

    def draw_string(self, *_: object, **__: object) -> str:
        raise NotImplementedError("texts of any length have no even draw")

    def draw_bytes(self, *_: object, **__: object) -> bytes:
        raise NotImplementedError("bytes of any length have no even draw")


AVAILABLE_PROVIDERS["even"] = f"{__name__}.{EvenDraws.__name__}"


def even_draws(strategy: SearchStrategy[T], *, power: int, start: int) -> list[T]:
    """2 to a power values out of bounded numbers and choices, the same for the same start.

    A higher power with the same start goes on from the same values.
    """
    count = 2**power
    found: list[T] = []

    @settings(
        backend="even",
        max_examples=count + 1,
        deadline=None,
        database=None,
        phases=[Phase.generate],
        suppress_health_check=list(HealthCheck),
    )
    @given(strategy)
    def draw(value: T) -> None:
        found.append(value)

    EvenDraws.points = iter(qmc.Sobol(MOST_DRAWS, rng=start).random_base2(power).tolist())
    draw()
    drawn = found[1:]  # Hypothesis begins with the simplest value, whatever the backend
    assert len(drawn) == count
    return drawn
