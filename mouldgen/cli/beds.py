"""``mouldgen beds``: what lies on which print bed."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING, Any

from mouldgen.cli.asked import Asked
from mouldgen.cli.gap import first_sentence, say_remedies
from mouldgen.cli.progress import busy
from mouldgen.cli.say import say, say_json, say_wrapped
from mouldgen.cli.tables import table
from mouldgen.cli.words import count, percent
from mouldgen.errors import UsageError
from mouldgen.sheet.order_words import on_bed
from mouldgen.units.beside import in_both

if TYPE_CHECKING:
    from mouldgen.layout.beds import BedPlan
    from mouldgen.mould_set import MouldSet
    from mouldgen.packing.pack import Effort


def show_beds(asked: Asked, *, moulds: int | None, effort: str) -> int:
    """Say what lies on each bed; 1 where there is no gap or something must be fixed.

    moulds : how many to lay out; None for as many as the order needs.
    effort : how long to look for fewer beds; a build takes ``quick``.

    Raises UsageError for an effort that there is not.
    """
    from mouldgen.build import build_moulds

    taken = _effort(effort)
    loaded = asked.load()
    with busy(f"Laying out the beds of {loaded.job.name}", quiet=asked.quiet):
        found = build_moulds(loaded.job, learned=loaded.learned, given=loaded.given)
        number = found.answer.printed if moulds is None else moulds
        if found.parts is not None and (moulds is not None or found.beds):
            found = replace(found, beds=_laid_out(found, number, taken))
    if asked.json:
        say_json(_data(found, number), of=loaded)
    elif not found.beds:
        inches = loaded.job.unit == "in"
        say_wrapped(first_sentence(found.answer.gap, inches=inches))
        say_remedies(found.answer.gap, inches=inches)
    else:
        _say_beds(found, number, effort=taken, quiet=asked.quiet)
        if moulds is None and not asked.quiet:
            _say_test_mould(found)
    return int(found.stopped)


def _say_beds(found: MouldSet, moulds: int, *, effort: Effort, quiet: bool) -> None:
    rows = [("bed", "used", "what lies on it")]
    for bed in found.beds:
        first = ": one mould alone, to water-test" if bed.first_mould else ""
        rows.append((str(bed.number), percent(bed.used_fraction), on_bed(bed) + first))
    say(table(rows, right=(0, 1)))
    if not quiet:
        say()
        size = in_both(str(found.beds[0].bed), inches=found.answer.job.unit == "in")
        say_wrapped(
            f"{_what(found, moulds)} on {count(len(found.beds), 'bed')}, each"
            f" {size}. Parts keep off the edge and off one another as [printer]"
            " margin and spacing say."
        )
        say_wrapped(_how_few(len(found.beds), _least(found, moulds), effort))


def _say_test_mould(found: MouldSet) -> None:
    """Wood without spares waits for a test in other wood, whose mould is turned away with it."""
    from mouldgen.mould.families import family_of

    job = found.answer.job
    used_again = (
        found.rubber is not None or job.mould.sets or family_of(job.mould.family).casts_each
    )
    if not job.order.customers_wood or used_again:
        return
    beds = [str(bed.number) for bed in found.beds if bed.first_mould]
    which = f"bed{'s' * (len(beds) > 1)} {' and '.join(beds)}"
    say_wrapped(
        "The test in other wood, which goes before the customer's, takes one mould more than these:"
        f" print {which} twice."
    )


def _how_few(beds: int, least: int, effort: Effort) -> str:
    """Whether fewer beds are impossible, or only not known to be possible."""
    if beds <= least:
        return f"Fewer than {count(beds, 'bed')} are impossible."
    longer = {"quick": " --effort usual looks longer.", "usual": " --effort thorough looks longer."}
    return (
        f"Any layout takes {count(least, 'bed')} or more; whether {beds - 1} would do is not known."
        + longer.get(effort, "")
    )


def _effort(word: str) -> Effort:
    from mouldgen.packing.pack import EFFORTS

    for effort in EFFORTS:
        if word == effort:
            return effort
    raise UsageError(f"there is no effort {word!r}", where="--effort", allowed=", ".join(EFFORTS))


def _what(found: MouldSet, moulds: int) -> str:
    return count(moulds, "mould") if found.rubber is None else "One box and its lids"


def _laid_out(found: MouldSet, moulds: int, effort: Effort) -> tuple[BedPlan, ...]:
    from mouldgen.layout.beds import footprints_of, lay_out

    parts = footprints_of(found.printed, moulds=moulds)
    return lay_out(parts, printer=found.answer.job.printer, effort=effort)


def _least(found: MouldSet, moulds: int) -> int:
    from mouldgen.layout.beds import footprints_of, least_beds

    parts = footprints_of(found.printed, moulds=moulds)
    return least_beds(parts, printer=found.answer.job.printer)


def _data(found: MouldSet, moulds: int) -> dict[str, Any]:
    return {
        "job": found.answer.job.name,
        "moulds": moulds,
        "least_beds": _least(found, moulds) if found.beds else None,
        "beds": [
            {
                "number": bed.number,
                "first_mould": bed.first_mould,
                "used_fraction": round(bed.used_fraction, 4),
                "items": [
                    {"part": item.part, "x_mm": item.x_mm, "y_mm": item.y_mm, "turned": item.turned}
                    for item in bed.items
                ],
            }
            for bed in found.beds
        ],
    }
