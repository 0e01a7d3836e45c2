"""What the castings file holds: a row a casting, a load that several were poured in, a result.

A row says how a casting was really poured, as far as the maker said so, and later what was found
at the lathe.  Only voids that break the finished surface count, and a repaired casting is not a
scrapped one.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

Outcome = Literal["good", "repaired", "scrapped"]


@dataclass(frozen=True, eq=False, kw_only=True)
class Result:
    """What was found at the lathe.

    voids : whether any broke the finished surface; only those count.
    worst_mm : size of the largest of them; None where it was not measured [mm].
    place : where they were, in the maker's words; empty where that was not said.
    rework_min : spent on this casting; a load's minutes are shared out over its repaired
        castings, or over those with voids where none was repaired, or over all [min].
    outcome : what became of it; a repaired casting is not a scrapped one.
    noted_at : when it was written down, ISO 8601 with its offset.
    """

    voids: bool
    worst_mm: float | None
    place: str
    rework_min: float
    outcome: Outcome
    noted_at: str


@dataclass(frozen=True, eq=False, kw_only=True)
class Casting:
    """One casting, one row.

    id : of the row.
    load : id of the load that it was poured in.
    number : on the pot card: of the mould, or of its filling, in the job, from 1.
    job : its name.
    fingerprint : of the job's settings as it was cast.
    mould_id : lettered on the mould; empty where that is not known.
    gap_mm : as printed [mm].
    open_mm : the gap less what inserts and printer take up: what is open to air [mm].
    air_mm : what the air rule, before anything is learned, asks of this casting as it was really
        poured; inf where the resin had gelled before it was shut, so that no gap would do [mm].
    resin : its card's name.
    wood : of the insert.
    shop_c : temperature of the shop [C].
    pressure_kpa : gauge; 0 without a pot [kPa].
    close_min : from the start of mixing to pressure, or to shutting the mould [min].
    sequence : resin-first, insert-first or bottom-feed.
    pours : that it was filled in.
    poured_at : of the first pour, ISO 8601 with its offset.
    result : from the lathe; None while it is still open.
    """

    id: int
    load: int
    number: int
    job: str
    fingerprint: str
    mould_id: str
    gap_mm: float
    open_mm: float
    air_mm: float
    resin: str
    wood: str
    shop_c: float
    pressure_kpa: float
    close_min: float
    sequence: str
    pours: int
    poured_at: str
    result: Result | None


@dataclass(frozen=True, eq=False, kw_only=True)
class Load:
    """Castings that were poured together.

    id : of the load in the file; what ``log result`` is told.
    job : its name.
    number : of the load on its pot card, from 1.
    poured_at : of the first pour, ISO 8601 with its offset.
    castings : in the order of their numbers.
    note : in the maker's words; later pours are noted here too.
    poured : how many of its pours were written down.
    mixed_g : weighed out for it; None where that was not written down [g].
    left_g : of that left over; None where that was not written down [g].
    """

    id: int
    job: str
    number: int
    poured_at: str
    castings: tuple[Casting, ...]
    note: str
    poured: int = 1
    mixed_g: float | None = None
    left_g: float | None = None

    @property
    def open(self) -> bool:
        """Whether any casting has no result yet."""
        return any(casting.result is None for casting in self.castings)
