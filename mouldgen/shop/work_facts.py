"""What the plan of a job depends on, as plain numbers: a frozen value between job and steps."""

from __future__ import annotations

from dataclasses import dataclass

from mouldgen.job.work import WorkTimes


@dataclass(frozen=True, eq=False)
class BedFacts:
    """One print bed.

    seconds : that it prints [s].
    moulds : that are whole once it is printed, parts of earlier beds taken in.
    first : whether it belongs to the mould that is printed alone.
    """

    seconds: float
    moulds: int
    first: bool = False


@dataclass(frozen=True, eq=False)
class LoadFacts:
    """What is mixed and poured at once and goes into a pot together.

    fillings : cavities that are closed by a lid each: moulds, or those of a rubber mould.
    moulds : that are taken up.
    pours_s : of hands for each pour, from weighing until the pot is under pressure [s].
    """

    fillings: int
    moulds: int
    pours_s: tuple[float, ...]


@dataclass(frozen=True, eq=False)
class RubberFacts:
    """Moulds that are cast in rubber, in the one box that is printed.

    sets : how many.
    hands_s : to weigh, stir and pour one [s].
    cure_s : until it may come out of its box [s].
    """

    sets: int
    hands_s: float
    cure_s: float


@dataclass(frozen=True, eq=False)
class CureFacts:
    """What the resin asks for; all of it from the last mixing.

    hold_s : under pressure in the pot; None without a pot [s].
    demould_s : in the mould [s].
    full_s : until it is turned [s].
    recoat_s : from when to when a second pour holds on the first; None where there is one pour [s].
    """

    hold_s: float | None
    demould_s: float
    full_s: float
    recoat_s: tuple[float, float] | None


@dataclass(frozen=True, eq=False)
class WorkFacts:
    """All that the steps of a job follow from.

    times : of hands.
    cure : what the resin asks for.
    inserts : to cut.
    drying : whether the wood is still to be dried.
    beds : to print, in their order.
    moulds : that there are; a set of rubber counts as one.
    reused : whether a mould is filled more than once.
    rubber : moulds of rubber, or None.
    blanks : of one filling.
    castings : blanks that are cast in all, without a trial in other wood.
    pieces_each : that come out of one blank.
    first : the load that is cast, finished and shown before all others, or None.
    trial : whether that one is of other wood, because the customer's has no spares.
    approval_s : that the customer looks at it [s].
    loads : all others.
    pieces : that the order asks for.
    drilled, tapped : whether pieces have a hole, and a thread in it.
    fills : share of castings with a void to fill.
    pot_takes : pieces that the pot takes at once, as many as came out of a full load of it; None
        for any number.
    """

    times: WorkTimes
    cure: CureFacts
    inserts: int
    drying: bool
    beds: tuple[BedFacts, ...]
    moulds: int
    reused: bool
    rubber: RubberFacts | None
    blanks: int
    castings: int
    pieces_each: int
    first: LoadFacts | None
    trial: bool
    approval_s: float
    loads: tuple[LoadFacts, ...]
    pieces: int
    drilled: bool
    tapped: bool
    fills: float
    pot_takes: int | None = None
