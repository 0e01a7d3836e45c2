"""What is to be written into the castings file, before it has row numbers there."""

from __future__ import annotations

from dataclasses import dataclass

from mouldgen.castings.records import Outcome


@dataclass(frozen=True, eq=False, kw_only=True)
class CastingDraft:
    """One casting that was poured; the fields are those of `mouldgen.castings.records.Casting`.

    number : on the pot card, from 1.
    fingerprint : of the job's settings as it was cast.
    mould_id : lettered on the mould; empty where that is not known.
    gap_mm : as printed [mm].
    open_mm : the gap less what inserts and printer take up [mm].
    air_mm : what the air rule asks of it as it was poured; inf where no gap would do [mm].
    resin : its card's name.
    wood : of the insert.
    shop_c : temperature of the shop [C].
    pressure_kpa : gauge; 0 without a pot [kPa].
    close_min : from the start of mixing to pressure [min].
    sequence : resin-first, insert-first or bottom-feed.
    pours : that it is filled in.
    """

    number: int
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


@dataclass(frozen=True, eq=False, kw_only=True)
class LoadDraft:
    """Castings that were poured together.

    job : its name.
    number : of the load on its pot card, from 1.
    poured_at : of the first pour, ISO 8601 with its offset.
    castings : at least one, no two of a number.
    note : in the maker's words.
    mixed_g, left_g : weighed out, and left over; None where not written down [g].
    """

    job: str
    number: int
    poured_at: str
    castings: tuple[CastingDraft, ...]
    note: str = ""
    mixed_g: float | None = None
    left_g: float | None = None


@dataclass(frozen=True, eq=False, kw_only=True)
class ResultDraft:
    """What was found on one casting.

    number : on the pot card.
    voids : whether any broke the finished surface.
    worst_mm : size of the largest; None where not measured [mm].
    place : where they were; empty where not said.
    rework_min : spent on this casting [min].
    outcome : what became of it.
    """

    number: int
    voids: bool
    worst_mm: float | None
    place: str
    rework_min: float
    outcome: Outcome
