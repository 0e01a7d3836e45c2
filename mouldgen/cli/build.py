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
    from mouldgen.build import MouldSet


def build_and_write(asked: Asked, *, pictures: bool, anyway: bool) -> int:
    """Build a job and write its files; 1 where something must be fixed or no gap fits.

    pictures : also draw the set.
    anyway : write a set that must be fixed too.
    """
    from mouldgen.build import build_moulds

    loaded = asked.load()
    with busy(f"Building the moulds of {loaded.job.name}", quiet=asked.quiet):
        found = build_moulds(loaded.job, given=loaded.given)
    try:
        written = _write(asked, found, pictures=pictures, anyway=anyway)
    except NoAnswerError:
        _answer(asked, found, written=())
        raise
    _answer(asked, found, written=written)
    return int(found.stopped)


def _write(asked: Asked, found: MouldSet, *, pictures: bool, anyway: bool) -> tuple[Path, ...]:
    from mouldgen.files.write import write_set

    stills: dict[str, bytes] = {}
    if pictures and found.parts is not None and (anyway or not found.stopped):
        from mouldgen.sheet.set_picture import set_pictures

        with busy("Drawing the pictures", quiet=asked.quiet):
            stills = set_pictures(found.parts, stopped=found.stopped)
    with busy("Writing the files", quiet=asked.quiet):
        return write_set(
            found, out=asked.out, bed_pictures=_bed_pictures(found), stills=stills, anyway=anyway
        )


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
