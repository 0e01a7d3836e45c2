"""``mouldgen log undo``, ``save``, ``read`` and ``copy``."""

from __future__ import annotations

from pathlib import Path

from mouldgen.castings.load_words import listed
from mouldgen.castings.place import castings_place
from mouldgen.castings.store import castings_file
from mouldgen.cli.log import named
from mouldgen.cli.say import say_json, say_wrapped
from mouldgen.cli.words import count
from mouldgen.desk.log_loads import BEGIN
from mouldgen.desk.log_result import take_back
from mouldgen.errors import MouldgenError, SurroundingsError, UsageError
from mouldgen.job.words import printable

ENDINGS = (".csv", ".json")


def show_undo(castings: Path | None, *, json: bool, quiet: bool) -> int:
    """Take the last thing back.

    castings : the file, or None for the shop's own.

    Raises NoAnswerError where there is nothing to take back.
    """
    path = castings or castings_place()
    with castings_file(path) as file:
        undone = take_back(file)
    if json:
        say_json({"file": str(path), "undone": undone})
        return 0
    say_wrapped(printable(f"Taken back: {undone}."))
    if not quiet:
        if undone.startswith("the result"):
            say_wrapped("What it had replaced, if anything, stands again.")
        say_wrapped("Once more goes further back.")
    return 0


def show_save(file: Path, castings: Path | None, *, json: bool, quiet: bool) -> int:
    """Write all rows as text.

    file : that gets them, and is not there yet.
    castings : the castings file, or None for the shop's own.

    Raises UsageError for another ending, a file that is there, or no rows.
    """
    ending = _ending(file)
    path = castings or castings_place()
    with castings_file(path) as kept:
        loads = kept.loads()
        if not loads:
            raise UsageError("there are no rows to write", where=str(path), try_=BEGIN)
        text = kept.export_csv() if ending == ".csv" else kept.export_json()
    _write_new(file, text)
    rows = sum(len(load.castings) for load in loads)
    if json:
        say_json({"file": str(path), "written": str(file), "castings": rows})
    else:
        say_wrapped(f"Written: {count(rows, 'casting')} into {file}.")
        if not quiet:
            say_wrapped(f"Taken in elsewhere with: mouldgen log read {file}.")
    return 0


def show_read(file: Path, castings: Path | None, *, json: bool, quiet: bool) -> int:
    """Take rows in, all of them or none.

    file : that `show_save` wrote.
    castings : the castings file, or None for the shop's own.
    """
    from mouldgen.files.append import read_text

    ending = _ending(file)
    text = _read_text(file) if ending == ".csv" else read_text(file)
    path = castings or castings_place()
    with castings_file(path) as kept:
        taken = (
            kept.import_csv(text, name=str(file))
            if ending == ".csv"
            else kept.import_json(text, name=str(file))
        )
    if json:
        say_json(
            {
                "file": str(path),
                "loads": list(taken.loads),
                "renumbered": [list(pair) for pair in taken.renumbered],
                "results": taken.results,
                "already_there": taken.there,
            }
        )
        return 0
    new = f" ({listed(taken.loads)})" if taken.loads else ""
    parts = [f"{count(len(taken.loads), 'new load')}{new}"]
    if taken.results:
        parts.append(f"{count(taken.results, 'result')} for loads that were here")
    if taken.there:
        parts.append(f"{count(taken.there, 'load')} that {'was' if taken.there == 1 else 'were'}"
                     " here already")  # fmt: skip
    say_wrapped(f"Taken in from {file}: {', '.join(parts)}.")
    if not (taken.loads or taken.results):
        return 0  # nothing was written, and undo would take back something else
    if quiet:
        return 0
    for old, now in taken.renumbered:
        say_wrapped(f"Its load {old} is load {now} here, since {old} was taken.")
    say_wrapped(f"Wrong? mouldgen log undo{named(path)}.")
    return 0


def show_copy(file: Path, castings: Path | None, *, json: bool, quiet: bool) -> int:
    """Copy the castings file.

    file : the copy, which is not there yet.
    castings : the castings file, or None for the shop's own.
    """
    path = castings or castings_place()
    with castings_file(path) as kept:
        kept.backup(file)
    if json:
        say_json({"file": str(path), "copy": str(file)})
        return 0
    say_wrapped(f"Copied: {path} to {file}.")
    if not quiet:
        say_wrapped(f"It is used with --castings {file}, or under the name of the first.")
    return 0


def _ending(file: Path) -> str:
    ending = file.suffix.casefold()
    if ending not in ENDINGS:
        raise UsageError(
            "the ending does not say how rows are written", where=str(file), allowed=".csv or .json"
        )
    return ending


def _read_text(file: Path) -> str:
    from mouldgen.files.append import read_text

    try:
        return read_text(file)
    except MouldgenError as problem:
        if "UTF-8" not in problem.what:
            raise
        raise UsageError(
            "is no text in UTF-8",
            where=str(file),
            try_="In a spreadsheet, save it as CSV in UTF-8, with commas and decimal points.",
        ) from None


def _write_new(file: Path, text: str) -> None:
    from mouldgen.files.new_file import put_new

    try:
        put_new(file, text.encode())
    except FileExistsError:
        raise UsageError(
            "there is a file of this name already, and it is never written over",
            where=str(file),
            try_="Take another name.",
        ) from None
    except SurroundingsError:
        raise
    except OSError as problem:
        raise SurroundingsError(
            f"the file cannot be written ({problem.strerror or problem})",
            where=str(file),
            try_="Choose another place.",
        ) from problem
