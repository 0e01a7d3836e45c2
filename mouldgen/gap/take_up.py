"""How much of the drawn gap is not there in the shop.

Inserts are not all alike, the printer's holes come out small and a long insert bows.  What they
take up is there neither for air nor for resin, so every rule that needs open gap asks for it on
top.

The thickest insert to be expected among N is the upper prediction limit of one more reading of a
normal sample, at ``1 - 0.05/N`` so that one job in twenty meets a thicker one (Bonferroni)::

    D = m + t(1 - 0.05/N; nu) s_p sqrt(1 + 1/n),     nu = n - 1 + 4
    s_p^2 = ((n - 1) s^2 + 4 * 0.15^2) / nu

The spread of 0.15 mm, worth four readings, is belief: it keeps two readings that happen to agree
from promising that all the others do.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING

from mouldgen.gap.words import NOTHING_MM, gap_mm
from mouldgen.physics.student import t_quantile

if TYPE_CHECKING:
    from mouldgen.gap.question import GapQuestion

PRIOR_SPREAD_MM = 0.15
PRIOR_READINGS = 4
MISSED_JOBS = 0.05  # share of jobs in which an insert is thicker than reckoned with


@dataclass(frozen=True, eq=False)
class TakeUp:
    """What inserts and printer take from the gap on one side.

    thickest_mm : diameter of the thickest insert to be expected [mm].
    all_measured : whether that is a reading, not a forecast.
    thickness_mm : half of what it has over the drawn insert; negative where it is thinner [mm].
    undersize_mm : half of what the printer's holes lose in diameter [mm].
    bow_mm : of the insert [mm].
    """

    thickest_mm: float
    all_measured: bool
    thickness_mm: float
    undersize_mm: float
    bow_mm: float

    @property
    def total_mm(self) -> float:
        """All of it, on one side [mm]."""
        return self.thickness_mm + self.undersize_mm + self.bow_mm


def take_up(question: GapQuestion) -> TakeUp:
    """What the inserts of this job and its printer take from the gap."""
    insert = question.insert
    readings = insert.measured_mm
    all_measured = len(readings) >= max(1, question.moulds)
    drawn = 2.0 * insert.envelope_mm
    thickest = (
        max(readings)
        if all_measured
        else thickest_expected(readings or (drawn,), moulds=question.moulds)
    )
    return TakeUp(
        thickest_mm=thickest,
        all_measured=all_measured,
        thickness_mm=(thickest - drawn) / 2.0,
        undersize_mm=question.printer.undersize / 2.0,
        bow_mm=insert.bow_mm,
    )


def thickest_expected(readings_mm: tuple[float, ...], *, moulds: int) -> float:
    """Diameter that none of so many inserts is expected to pass [mm].

    readings_mm : at least one; the nominal diameter counts as one where none was taken [mm].
    moulds : how many are started.
    """
    n = len(readings_mm)
    mean = math.fsum(readings_mm) / n
    scatter = math.fsum((reading - mean) ** 2 for reading in readings_mm)
    freedom = n - 1 + PRIOR_READINGS
    spread = math.sqrt((scatter + PRIOR_READINGS * PRIOR_SPREAD_MM**2) / freedom)
    quantile = t_quantile(1.0 - MISSED_JOBS / moulds, freedom)
    return mean + quantile * spread * math.sqrt(1.0 + 1.0 / n)


def taken_clause(taken: TakeUp) -> str:
    """The second half of a sentence: what is taken up on top of what a rule needs."""
    total = taken.total_mm
    if abs(total) < NOTHING_MM:
        return "and the thickest insert and the printer take up next to nothing"
    if total < 0.0:
        return f"less {gap_mm(-total)} that the inserts are thinner than drawn"
    return f"plus {gap_mm(total)} that the thickest insert and the printer take up"


def take_up_relax(question: GapQuestion, taken: TakeUp) -> tuple[str, ...]:
    """What would make the take-up smaller."""
    if taken.all_measured:
        return ("turn or sand the thickest inserts down",)
    return (f"measure all {question.moulds} inserts, so that none has to be guessed",)
