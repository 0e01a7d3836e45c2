"""``mouldgen new``: ten questions in the order of the job, then its gap and its grams."""

from __future__ import annotations

from pathlib import Path

from mouldgen.cli import new_questions as questions
from mouldgen.cli.ask import Asker
from mouldgen.cli.asked import Asked
from mouldgen.cli.draft import Draft, usual
from mouldgen.cli.job_text import Answers, job_text
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
        must_be_new(out)
    say_wrapped(
        "At most ten questions. Write lengths as you do: 22 mm, 7/8 in, 1 3/16 in. Enter alone,"
        " ? or don't know takes what is usual."
    )
    told = _ask_all(name, out=out)
    path = out or Path(f"{told.title.value.name}.toml")
    write_job(path, job_text(told, shop_has=shop_tables(path)))
    say()
    say(f"Written: {path}")
    say()
    return _show(path)


def _ask_all(name: str | None, *, out: Path | None) -> Answers:
    asker = Asker()
    title = asker.ask(questions.title(None if out else Path()), typed=name)
    wanted = asker.ask(questions.wanted())
    kind = asker.ask(questions.kind())
    draft = Draft(usual(title, wanted, kind), folder=out.parent if out else Path())
    draft.held(piece=draft.answers.piece.value)  # a preset that is broken is told here
    draft = draft.with_(mould=asker.ask(questions.mould(draft)))
    draft = draft.with_(wood=asker.ask(questions.wood(kind.value)))
    if kind.value.shape == "scan":  # how large the piece may be is read off it
        draft = draft.with_(insert=questions.sized_scan(asker.ask(questions.scan(draft)), draft))
        draft = draft.with_(piece=asker.ask(questions.piece(draft)))
    else:
        draft = draft.with_(piece=asker.ask(questions.piece(draft)))
        draft = draft.with_(insert=asker.ask(questions.insert(draft)))
    readings = questions.readings(draft)
    if readings is not None:
        draft = draft.with_(readings=asker.ask(readings))
    draft = draft.with_(resin=asker.ask(questions.resin()))
    return draft.with_(tints=asker.ask(questions.colours())).answers


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
    from mouldgen.job.load import load_job

    try:
        with path.open("x", encoding="utf-8", newline="\n") as file:
            file.write(text)
    except FileExistsError:
        must_be_new(path)
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


def shop_tables(path: Path) -> tuple[str, ...]:
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
