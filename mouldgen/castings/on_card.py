"""What the pot cards of a job say, as far as the rows of its loads need it.

Every number that a row is made of stands here, whether it was reckoned just now or kept from
earlier, so that a row cannot depend on which of the two it was.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from mouldgen.job.resin_numbers import KeptClock, KeptResin


@dataclass(frozen=True, eq=False)
class OnCard:
    """What the pot card says of one load.

    numbers : of its moulds.
    close_s : when all is shut and under pressure [s].
    """

    numbers: tuple[int, ...]
    close_s: float


@dataclass(frozen=True, eq=False, kw_only=True)
class JobCard:
    """What the pot cards say of a whole job.

    job : its name.
    unit : of its bare lengths; None where it names none.
    fingerprint : of the job, as its report has it.
    fillings : castings of the whole job, as they are numbered.
    loads : by their number, from 1.
    pours : that each is filled in.
    gap_mm : of the moulds [mm].
    taken_mm : what inserts and printer take up of it [mm].
    layer_mm : height of the insert that one pour covers [mm].
    mould_ml : that one mould takes; 0 where several pours share it out [ml].
    mould_id : lettered on the moulds; empty where nothing is.
    sequence : resin-first, insert-first or bottom-feed.
    resin_name, wood : as a row has them.
    resin : its numbers.
    clock : of the job.
    pressure_kpa : gauge, 0 without a pot; None for a blank that is filled in by hand [kPa].
    rating_kpa : on the pot's plate; None where it is not known or there is no pot [kPa].
    air_shift : by which castings moved the air rule, as `mouldgen.finding.Learned` has it.
    """

    job: str
    unit: str | None
    fingerprint: str
    fillings: int
    loads: Mapping[int, OnCard]
    pours: int
    gap_mm: float
    taken_mm: float
    layer_mm: float
    mould_ml: float
    mould_id: str
    sequence: str
    resin_name: str
    wood: str
    resin: KeptResin
    clock: KeptClock
    pressure_kpa: float | None
    rating_kpa: float | None
    air_shift: float

    @property
    def inches(self) -> bool:
        """Whether its maker thinks in inches."""
        return self.unit == "in"
