"""A load is written down: as its pot card has it, but for what the maker tells otherwise."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from mouldgen.castings.load_words import listed, load_words
from mouldgen.desk.log_loads import pour_words
from mouldgen.desk.log_slips import slips, takes_g
from mouldgen.desk.log_told import Told
from mouldgen.desk.which_load import which_load
from mouldgen.errors import UsageError
from mouldgen.sheet.plain_words import count
from mouldgen.sheet.plain_words import gap as gap_words

if TYPE_CHECKING:
    from mouldgen.castings.as_poured import Poured
    from mouldgen.castings.drafts import LoadDraft
    from mouldgen.castings.on_card import JobCard
    from mouldgen.castings.records import Load
    from mouldgen.castings.store import CastingsFile

_SAME_GAP_MM = 0.005  # moulds are lettered to a hundredth


@dataclass(frozen=True, eq=False)
class Written:
    """What was written down of a pour.

    load : as it stands in the file now.
    warnings : what looks wrong in it, a sentence each; it was written down as it was said.
    pours : that the load is filled in.
    inches : whether its job is in inches.
    """

    load: Load
    warnings: tuple[str, ...]
    pours: int
    inches: bool


def write_pour(
    card: JobCard,
    told: Told,
    file: CastingsFile,
    *,
    number: int | None = None,
    name: str = "",
    again: bool = False,
) -> Written:
    """Write a pour down.

    card : what the job's pot cards say.
    told : by the maker.
    file : that it is written into.
    number : of the load; None for the next one.
    name : of the job as the maker calls it; its own where empty.
    again : whether a load that was poured is cast once more.

    Raises UsageError where it is not clear which load or gap is meant, CastingsError and
    SurroundingsError where the file cannot be written.
    """
    before = {load.number: load for load in file.loads() if load.job == card.job}
    load, later = which_load(
        number,
        tuple(card.loads),
        before,
        name=name or card.job,
        pours=card.pours,
        again=again,
    )
    if later is not None:
        _require_later(told, later)
        note = _later_note(told, later.poured + 1)
        return Written(file.pour_again(later.id, note=note), told.doubts, card.pours, card.inches)
    _require_known_gap(card, told, tuple(before.values()))
    draft, warnings = _draft(card, told, load=load)
    return Written(file.pour(draft), (*told.doubts, *warnings), card.pours, card.inches)


def poured_words(written: Written) -> list[str]:
    """What was written down, a sentence each; the first is enough for one in a hurry."""
    load = written.load
    if load.poured > 1:
        return [f"Noted as pour {load.poured} of {written.pours}: {load_words(load)}."]
    day = load.poured_at[:16].replace("T", " ")
    told = [f"{load_words(load)}, poured {day}.", _how(load, inches=written.inches)]
    if written.pours > 1:
        pours = count(written.pours, "pour")
        told.append(f"It takes {pours}: note the next with the same words.")
    return told


def _require_known_gap(card: JobCard, told: Told, before: Sequence[Load]) -> None:
    """Castings move the gap of a job, but not that of moulds that are printed already.

    Raises UsageError where the job's last load had another gap and nobody says which these have.
    """
    own_mm = card.gap_mm
    if told.gap_mm or not card.air_shift or not before:
        return
    last = max(before, key=lambda load: load.id)
    gaps = sorted({casting.gap_mm for casting in last.castings})
    if any(abs(gap_mm - own_mm) < _SAME_GAP_MM for gap_mm in gaps):
        return
    were = " and ".join(gap_words(gap_mm, inches=card.inches) for gap_mm in gaps)
    raise UsageError(
        f"castings have moved the gap since load {last.id} was poured: it was {were} and is"
        f" {gap_words(own_mm, inches=card.inches)} now; which do these moulds have?",
        allowed=f'--gap "{gaps[0]:.2f} mm", or --gap "{own_mm:.2f} mm"; it is lettered on them',
    )


def _draft(card: JobCard, told: Told, *, load: int) -> tuple[LoadDraft, tuple[str, ...]]:
    """The rows, and what the maker is warned of."""
    from mouldgen.castings.as_poured import Poured, load_as_poured

    own = card.loads[load]
    numbers = told.moulds or own.numbers
    strange = sorted(set(told.gaps_mm) - set(numbers))
    if strange:
        raise UsageError(
            f"--gap speaks of {listed(strange)}, and this load has {listed(numbers)}",
            try_="Say with --moulds which were poured.",
        )
    poured = Poured(
        poured_at=told.when,
        shop_c=card.clock.shop if told.shop_c is None else told.shop_c,
        close_s=own.close_s if told.close_s is None else told.close_s,
        pressure_kpa=_pressure_kpa(card, told),
        gap_mm=told.gap_mm or card.gap_mm,
        gaps_mm=told.gaps_mm,
        mould_id="" if told.gap_mm else card.mould_id,
        sequence=card.sequence,
        note=told.note,
        mixed_g=told.mixed_g,
        left_g=told.left_g,
    )
    draft = load_as_poured(card, poured, load=load, numbers=numbers)
    return draft, tuple(_warnings(card, poured, draft))


def _pressure_kpa(card: JobCard, told: Told) -> float:
    """As told, or as the card has it; asked for where the card has a blank."""
    if told.pressure_kpa is not None:
        return told.pressure_kpa
    if card.pressure_kpa is None:
        raise UsageError(
            "the pot card has a blank for the pressure: what did the gauge show?",
            allowed='--pressure "45 psi", or --pressure "0 psi" for none',
        )
    return card.pressure_kpa


def _warnings(card: JobCard, poured: Poured, draft: LoadDraft) -> list[str]:
    from mouldgen.castings.as_poured import resin_as_poured
    from mouldgen.gap.air import gelled
    from mouldgen.job.rating import pressure_words

    rating, told = card.rating_kpa, []
    if rating is not None and poured.pressure_kpa > rating:
        told.append(
            f"{pressure_words(poured.pressure_kpa)} is above the rating on the pot's plate,"
            f" {pressure_words(rating)}: never go above it. It is written down as you said it."
        )
    elif rating is None and poured.pressure_kpa > 0.0:
        told.append(
            "The pot's rating is not known, so this pressure was not held against it: read it off"
            " the plate and write [pot] rating in the job or in shop.toml."
        )
    resin = resin_as_poured(card, poured)
    if resin.gelled:
        told.append(
            f"By the data sheet, {gelled(resin)}: no gap would have let the air out, and the air"
            " rule has no answer for these castings. That is what is written down."
        )
    if poured.close_s < card.clock.mix:
        told.append("By that clock the mould was shut before mixing ended: look at --close.")
    tight = [casting.number for casting in draft.castings if casting.open_mm <= 0.0]
    if tight:
        told.append(
            f"In {listed(tight)} the thickest insert to be expected takes up the whole gap: is"
            " --gap right?"
        )
    told += slips(
        numbers=[casting.number for casting in draft.castings],
        fillings=card.fillings,
        shop_c=poured.shop_c,
        gaps_mm=[casting.gap_mm for casting in draft.castings],
        used_g=None if poured.mixed_g is None else poured.mixed_g - (poured.left_g or 0.0),
        least_g=takes_g(card, len(draft.castings)),
    )
    return told


def _require_later(told: Told, later: Load) -> None:
    """A later pour is noted; how the castings began stays as it is."""
    words = {
        "--gap": bool(told.gap_mm or told.gaps_mm),
        "--moulds": bool(told.moulds),
        "--pressure": told.pressure_kpa is not None,
        "--mixed": told.mixed_g is not None,
        "--left": told.left_g is not None,
    }
    given = [name for name, there in words.items() if there]
    if given:
        raise UsageError(
            f"{', '.join(given)} belongs to the first pour of a load, and load {later.id} has had"
            " it",
            try_="Say it with --note, or cast the load once more with --again.",
        )


def _later_note(told: Told, pour: int) -> str:
    parts = [f"pour {pour} on {told.when[:16].replace('T', ' ')}"]
    if told.shop_c is not None:
        parts.append(f"{told.shop_c:g} C")
    if told.close_s is not None:
        parts.append(f"shut after {told.close_s / 60.0:g} min")
    return ", ".join([*parts, *([told.note] if told.note else [])])


def _how(load: Load, *, inches: bool) -> str:
    """How it was poured, and what the air rule makes of that."""
    first = load.castings[0]
    same = all(casting.gap_mm == first.gap_mm for casting in load.castings)
    gaps = sorted({casting.gap_mm for casting in load.castings})
    told = (
        f"gap {gap_words(first.gap_mm, inches=inches)}, of which"
        f" {gap_words(first.open_mm, inches=inches)} is open"
        if same
        else "gaps " + ", ".join(gap_words(gap, inches=inches) for gap in gaps)
    )
    asks = (
        f"; as poured, the air rule asks for {gap_words(first.air_mm, inches=inches)} open"
        if first.air_mm < float("inf")
        else ""
    )
    return f"{pour_words(first)}, {first.sequence}, {told}{asks}."
