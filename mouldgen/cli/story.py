"""A set of moulds told on the terminal, in the order of the work."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING

from mouldgen.cli.amounts import amounts_table
from mouldgen.cli.findings import say_findings
from mouldgen.cli.gap import first_sentence, say_remedies, setting_bound
from mouldgen.cli.say import say, say_wrapped
from mouldgen.cli.words import count, gap, length, percent

if TYPE_CHECKING:
    from mouldgen.build import MouldSet
    from mouldgen.job.model import Job

_LABEL = 10


def say_story(found: MouldSet, *, quiet: bool, verbose: bool) -> None:
    """Everything a maker needs of a set, and what to look at.

    quiet : only what must be fixed, and a conflict.
    verbose : every note by itself.
    """
    conflict = found.answer.gap.conflict is not None
    if conflict:
        inches = found.answer.job.unit == "in"
        say_wrapped(first_sentence(found.answer.gap, inches=inches))
        say_remedies(found.answer.gap, inches=inches)
    elif not quiet:
        _say_head(found.answer.job)
        _say_gap(found)
        _say_volumes(found)
        _say_pour(found)
        _say_moulds(found)
        _say_beds(found)
        _say_pressure(found.answer.job)
    told = [finding for finding in found.findings if finding.id != "gap.conflict"]
    if told and not quiet:
        say()
    say_findings(told, quiet=quiet, verbose=verbose)
    if not quiet and not conflict:
        say()
        _say_cautions(found.answer.job)


def say_files(folder: Path, written: Sequence[Path]) -> None:
    """Where the files are, by folder."""
    _line("Files", f"{folder.as_posix()}/")
    names: dict[str, list[str]] = {}
    for path in written:
        part = path.relative_to(folder)
        names.setdefault(part.parent.as_posix(), []).append(part.name)
    for place, inside in names.items():
        _line("", ("" if place == "." else f"{place}/ ") + " ".join(inside))


def _say_head(job: Job) -> None:
    inches = job.unit == "in"
    insert = job.insert
    across = [insert.diameter] if insert.diameter else [insert.width, insert.thickness]
    size = " x ".join(length(mm, inches=inches) for mm in (*across, insert.length) if mm)
    what = f"{insert.wood} {insert.shape}" if insert.wood else insert.shape
    resin = f" in {job.resin.title}" if job.resin.title else ""
    say_wrapped(f"{job.name}: {count(job.order.pieces, 'piece')}, {what} {size}{resin}.")
    say()


def _say_gap(found: MouldSet) -> None:
    answer = found.answer
    inches = answer.job.unit == "in"
    asking = setting_bound(answer.gap)
    size = gap(answer.gap.gap_mm or 0.0, inches=inches)
    if asking.rule == answer.gap.set_by:
        _line("Gap", f"{size} all round, set by {asking.rule}: {asking.why}.")
    else:
        _line("Gap", f"{size} all round, set by you.")
    if found.measured_least_mm is not None:
        least = gap(found.measured_least_mm, inches=inches)
        _line("", f"Measured on the finished mould: nowhere less than {least}.")


def _say_volumes(found: MouldSet) -> None:
    size, resin = found.answer.size, found.amounts
    if size is None or resin is None:
        return
    riser = f", {size.riser_ml:.1f} ml more stands above it" if size.riser_ml >= 0.05 else ""
    _line(
        "Mould",
        f"cavity {size.cavity_ml:.1f} ml, insert {size.insert_ml:.1f} ml, net"
        f" {size.net_ml:.1f} ml of resin to the fill line{riser}.",
    )
    _line("Resin", amounts_table(resin), wrap=False)
    loss = percent(found.answer.job.resin.loss)
    _line("", f"One mould holds {resin.per_mould_ml:.1f} ml; {loss} more is mixed as loss.")


def _say_pour(found: MouldSet) -> None:
    size, tried, sinks = found.answer.size, found.tried, found.riser
    if size is None or tried is None or sinks is None:
        return
    inches = found.answer.job.unit == "in"
    level = length(size.level_mm, inches=inches)
    fill = length(size.fill_mm, inches=inches)
    once = "one pour is enough" if sinks.fits else f"then {sinks.second_ml:.1f} ml more"
    _line(
        "Pour",
        f"to the line inside, {level} over the floor: {sinks.needed_ml:.1f} ml sink away, and the"
        f" blank is to reach {fill}; {once}. {tried.reason}",
    )


def _say_moulds(found: MouldSet) -> None:
    order, moulds = found.answer.job.order, found.answer.moulds
    if order.customers_wood:
        why = "one for each piece, because the customer's wood leaves no spares"
    elif moulds == order.pieces:
        why = f"one for each piece, at a yield of {percent(order.yield_)}"
    else:
        why = (
            f"with {percent(order.yield_)} of castings good, that many give {order.pieces} good"
            f" pieces with a chance of {percent(order.confidence)} or better"
        )
    _line("Moulds", f"start {moulds}: {why}.")


def _say_beds(found: MouldSet) -> None:
    if not found.beds:
        return
    first = [bed for bed in found.beds if bed.first_mould]
    alone = "bed 1 is" if len(first) == 1 else f"beds 1 to {len(first)} are"
    printer = f", each {found.beds[0].bed}"
    _line(
        "Beds",
        f"{len(found.beds)}{printer}; {alone} one mould alone. Print it, fill it with water, wait"
        " ten minutes; if it is tight, print the rest. Dry every mould fully before resin.",
    )
    plastic = found.answer.job.plastic
    name = plastic.title or "filament"
    _line("Filament", f"{found.filament_g:.0f} g of {name} for all moulds, printed solid.")


def _say_pressure(job: Job) -> None:
    """The pressure asked for, never one above the plate."""
    from mouldgen.check.pot import pressure_words

    asked, rating = job.pour.pressure, job.pot.rating if job.pot else None
    if asked is None and job.pot is None:
        return
    if rating is None:
        _line("Pressure", "____ psi: write what the pot's plate says as [pot] rating.")
    elif asked is not None and asked <= rating:
        _line("Pressure", f"{pressure_words(asked)}; the plate says {pressure_words(rating)}.")


def _say_cautions(job: Job) -> None:
    from mouldgen.job.cautions import cautions_for

    pressure = job.pot is not None or job.pour.pressure is not None
    told = cautions_for(job.resin.kind, pressure=pressure)
    _line("Mind", " ".join(caution.short for caution in told))


def _line(label: str, text: str, *, wrap: bool = True) -> None:
    first = f"{label:<{_LABEL}}"
    if wrap:
        say_wrapped(text, first=first)
        return
    head, *rest = text.split("\n")
    say("\n".join([first + head, *(" " * _LABEL + line for line in rest)]))
