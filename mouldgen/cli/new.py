"""``mouldgen new``: ten questions in the order of the job, then its gap and its grams."""

from __future__ import annotations

from pathlib import Path

from mouldgen.cli import new_questions as questions
from mouldgen.cli.ask import Asker
from mouldgen.cli.asked import Asked
from mouldgen.cli.job_text import Told, job_text
from mouldgen.cli.say import say, say_wrapped
from mouldgen.errors import SurroundingsError, UsageError


def new_job(name: str | None, *, out: Path | None) -> int:
    """Ask, write the job file, and show what follows from it.

    name : of the job; asked for where None.
    out : the file to write; NAME.toml where None.

    Raises UsageError where the answers end or the file is there already, SurroundingsError
    where it cannot be written.
    """
    if out is not None:
        _must_be_new(out)
    say_wrapped(
        "At most ten questions. Write lengths as you do: 22 mm, 7/8 in, 1 3/16 in. Enter alone,"
        " ? or don't know takes what is usual."
    )
    told = _ask_all(name, out=out)
    path = out or Path(f"{told.title.value.name}.toml")
    _write(path, job_text(told, shop_has=_shop_tables(path)))
    say()
    say(f"Written: {path}")
    say()
    return _show(path)


def _ask_all(name: str | None, *, out: Path | None) -> Told:
    asker = Asker()
    title = asker.ask(questions.title(None if out else Path()), typed=name)
    pieces = asker.ask(questions.pieces())
    due = asker.ask(questions.due())
    piece = asker.ask(questions.piece())
    shape = asker.ask(questions.shape())
    insert = asker.ask(questions.insert(shape.value, piece.value))
    return Told(
        title=title,
        pieces=pieces,
        due=due,
        piece=piece,
        shape=shape,
        insert=insert,
        readings=asker.ask(questions.readings(shape.value, insert.value.lengths[0])),
        wood=asker.ask(questions.wood()),
        resin=asker.ask(questions.resin()),
        tints=asker.ask(questions.colours()),
    )


def _must_be_new(path: Path) -> None:
    if path.suffix != ".toml":
        raise UsageError("a job file ends in .toml", where=str(path), try_=f"Take {path}.toml.")
    if path.exists():
        raise UsageError(
            "there is a file of this name already, and it is never written over",
            where=str(path),
            try_="Take another name.",
        )


def _write(path: Path, text: str) -> None:
    """Write the file and read it as every command will; what cannot be read does not stay."""
    from mouldgen.job.load import load_job

    try:
        with path.open("x", encoding="utf-8", newline="\n") as file:
            file.write(text)
    except FileExistsError:
        _must_be_new(path)
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


def _shop_tables(path: Path) -> tuple[str, ...]:
    """The tables that the shop file beside a job file gives, or that of the user's folder."""
    from mouldgen.job.load import SHOP_FILE
    from mouldgen.job.presets import user_folder
    from mouldgen.job.toml import read_toml

    own = user_folder()
    places = [path.parent / SHOP_FILE, *([own / SHOP_FILE] if own else [])]
    shop = next((place for place in places if place.is_file()), None)
    return () if shop is None else tuple(read_toml(shop, label=SHOP_FILE))


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
