"""``mouldgen new``: ten questions in the order of the job, then its gap and its grams."""

from __future__ import annotations

from pathlib import Path
from typing import Any, cast

from mouldgen.cli.ask import Asker
from mouldgen.cli.asked import Asked
from mouldgen.cli.say import say, say_wrapped
from mouldgen.desk.job_text import Answers
from mouldgen.desk.question import Answer
from mouldgen.desk.ten import OPENING, ten_questions, text_for
from mouldgen.errors import SurroundingsError, UsageError


def new_job(name: str | None, *, out: Path | None) -> int:
    """Ask, write the job file, and show what follows from it.

    name : of the job; asked for where None.
    out : the file to write; NAME.toml where None.

    Raises UsageError where the answers end or the file is there already, SurroundingsError
    where it cannot be written.
    """
    if out is not None:
        must_be_new(out)
    say_wrapped(OPENING)
    told = _ask_all(name, out=out)
    path = out or Path(f"{told.title.value.name}.toml")
    write_job(path, text_for(told, path))
    say()
    say(f"Written: {path}")
    say()
    return _show(path)


def _ask_all(name: str | None, *, out: Path | None) -> Answers:
    asker = Asker()
    asking = ten_questions(out.parent if out else Path(), named=out is not None)
    answer: Answer[Any] = asker.ask(next(asking), typed=name)
    while True:
        try:
            question = asking.send(answer)
        except StopIteration as done:
            return cast("Answers", done.value)
        answer = asker.ask(question)


def must_be_new(path: Path) -> None:
    """See to it that a job file can be written there.  Raises UsageError."""
    if path.suffix != ".toml":
        raise UsageError("a job file ends in .toml", where=str(path), try_=f"Take {path}.toml.")
    if path.exists():
        raise UsageError(
            "there is a file of this name already, and it is never written over",
            where=str(path),
            try_="Take another name.",
        )


def write_job(path: Path, text: str) -> None:
    """Write the file and read it as every command will; what cannot be read does not stay."""
    from mouldgen.files.new_file import put_new
    from mouldgen.job.load import load_job

    try:
        put_new(path, text.encode())
    except FileExistsError:
        must_be_new(path)
    except SurroundingsError:
        raise
    except OSError as problem:
        raise SurroundingsError(
            f"the file cannot be written ({problem.strerror or problem})",
            where=str(path),
            try_="Choose another place with --out.",
        ) from problem
    try:
        load_job(path)
    except BaseException:
        path.unlink(missing_ok=True)
        raise


def _show(path: Path) -> int:
    from mouldgen.cli.gap import show_gap
    from mouldgen.cli.resin import show_resin

    asked = Asked(job=str(path), quiet=True)
    code = show_gap(asked)
    if code == 0:
        say()
        code = show_resin(asked)
    say()
    say(f"Next: mouldgen build {path}")
    return code
