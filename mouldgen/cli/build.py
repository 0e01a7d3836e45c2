"""``mouldgen build``: make the set, write it, and tell it in a maker's words."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

from mouldgen.cli.asked import Asked
from mouldgen.cli.progress import busy
from mouldgen.cli.say import say, say_json
from mouldgen.cli.story import say_files, say_story
from mouldgen.errors import NoAnswerError

if TYPE_CHECKING:
    from mouldgen.mould_set import MouldSet


def build_and_write(asked: Asked, *, pictures: bool, anyway: bool) -> int:
    """Build a job and write its files; 1 where something must be fixed or no gap fits.

    pictures : also draw the set.
    anyway : write a set that must be fixed too.
    """
    from mouldgen.build import build_moulds

    loaded = asked.load()
    with busy(f"Building the moulds of {loaded.job.name}", quiet=asked.quiet):
        found = build_moulds(loaded.job, learned=loaded.learned, given=loaded.given)
    try:
        written = _write(asked, found, pictures=pictures, anyway=anyway)
    except NoAnswerError:
        _answer(asked, found, written=())
        raise
    _answer(asked, found, written=written)
    return int(found.stopped)


def _write(asked: Asked, found: MouldSet, *, pictures: bool, anyway: bool) -> tuple[Path, ...]:
    from mouldgen.files.write import write_set

    drawn: dict[str, bytes] = {}
    if pictures and (anyway or not found.stopped):
        with busy("Drawing the pictures", quiet=asked.quiet):
            drawn = draw_pictures(found)
    with busy("Writing the files", quiet=asked.quiet):
        return write_set(
            found, out=asked.out, bed_pictures=_bed_pictures(found), pictures=drawn, anyway=anyway
        )


def draw_pictures(found: MouldSet) -> dict[str, bytes]:
    """The set, the pour and the gap, by file name; none in a conflict."""
    from mouldgen.cli.gap import answered, bounds_drawing
    from mouldgen.sheet.pocket_picture import pocket_svg
    from mouldgen.sheet.set_views import set_pictures

    parts, tried, job = found.parts, found.tried, found.answer.job
    learned = found.answer.question.learned
    if parts is None or tried is None:
        return {}
    upright = pocket_svg(tried.pours[0], title=f"{job.name}: poured upright")
    drawn = {**set_pictures(parts), "pockets.svg": upright.encode()}
    if tried.best:
        leaning = pocket_svg(tried.proposed, title=f"{job.name}: poured leaning")
        drawn["pockets-leaning.svg"] = leaning.encode()
    drawn["gap.svg"] = bounds_drawing(answered(job, learned=learned).gap, name=job.name)
    return drawn


def _bed_pictures(found: MouldSet) -> list[str]:
    from mouldgen.sheet.bed_picture import bed_svg

    job = found.answer.job
    return [bed_svg(bed, job.printer, title=f"{job.name}, bed {bed.number}") for bed in found.beds]


def _answer(asked: Asked, found: MouldSet, *, written: tuple[Path, ...]) -> None:
    folder = asked.out / found.answer.job.name
    if asked.json:
        from mouldgen.files.report import report_of

        say_json(report_of(found, files=[p.relative_to(folder).as_posix() for p in written]))
        return
    say_story(found, quiet=asked.quiet, verbose=asked.verbose)
    if written:
        if not asked.quiet:
            say()
        say_files(folder, written)
