"""``mouldgen page``: the job sheet in the browser, its numbers editable in place."""

from __future__ import annotations

import datetime as dt
import secrets
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

from mouldgen.cli.edge import DONE, INTERRUPTED
from mouldgen.cli.say import say, say_wrapped, tell
from mouldgen.errors import UsageError

if TYPE_CHECKING:
    from mouldgen.page.folder import Opened

DEMO = "boathouse-pegs"


@dataclass(frozen=True, eq=False)
class PageAsked:
    """What is wanted of the page.

    job : a job file, or the name of a shipped job.
    folder : with the maker's job files; that of the job file where None, else this one.
    port : that one and no other; None takes the first that is free.
    host : an address of this machine.
    browser : whether it is opened.
    castings : the castings file, or None for the shop's own.
    no_castings : as if none were logged.
    """

    job: str | None = None
    folder: Path | None = None
    port: int | None = None
    host: str = "127.0.0.1"
    browser: bool = True
    castings: Path | None = None
    no_castings: bool = False


def show_page(asked: PageAsked) -> int:
    """Serve the page until Ctrl-C, which is how it ends: 130, as of every command.

    Raises UsageError for a folder that is none, a job outside of it, and a castings file that was
    named and is not there; SurroundingsError where no port is free.
    """
    from mouldgen.page.app import page_app
    from mouldgen.page.front import HOW_TO_BUILD, built
    from mouldgen.page.guard import Rules
    from mouldgen.page.inside import Bench
    from mouldgen.page.serve import LOOPBACKS, address, hosts_of, open_door, serve
    from mouldgen.page.served import serving

    _require_castings(asked)
    folder, first = _first(asked)
    if not built():
        say_wrapped(HOW_TO_BUILD)
    door = open_door(asked.host, asked.port)
    token = "" if asked.host in LOOPBACKS else secrets.token_urlsafe(24)
    where = address(door, token=token)
    bench = Bench(folder, castings=asked.castings, no_castings=asked.no_castings)
    served = serving(folder, first=first, today=dt.date.today, bench=bench)
    app = page_app(served, rules=Rules(hosts_of(door), port=door.port, token=token))

    def opened() -> None:
        say(where)
        tell("Ctrl-C ends it.")
        if asked.browser:
            _open_browser(where)

    try:
        serve(app, door, when_open=opened)
    except KeyboardInterrupt:
        tell("The page is closed.")
        return INTERRUPTED
    return DONE


def _require_castings(asked: PageAsked) -> None:
    from mouldgen.cli.lessons import no_such_file

    if asked.castings is None:
        return
    if asked.no_castings:
        raise UsageError("--castings and --no-castings do not go together")
    if not asked.castings.exists():
        raise no_such_file(asked.castings)


def _first(asked: PageAsked) -> tuple[Path, Opened]:
    """The folder that is served, and the job that the page opens with."""
    from mouldgen.job.find import find_job
    from mouldgen.job.presets import shipped_folder
    from mouldgen.page.file_answers import shipped_copy
    from mouldgen.page.folder import Folder

    path, _ = find_job(asked.job or DEMO)
    shipped = path.resolve().is_relative_to(shipped_folder().resolve())
    folder = asked.folder or (Path() if shipped else path.parent)
    if not folder.is_dir():
        raise UsageError("there is no such folder", where=str(folder))
    if shipped:
        return folder, shipped_copy(path.stem)
    if path.parent.resolve() != folder.resolve():
        raise UsageError(
            "the job lies in another folder than the one that is served",
            where=str(path),
            allowed=f"a job file in {folder}",
            try_="Leave --folder out.",
        )
    return folder, Folder(folder).open(path.name)


def _open_browser(where: str) -> None:
    import threading
    import webbrowser

    # Some systems wait until the browser ends.
    threading.Thread(target=webbrowser.open, args=(where,), daemon=True).start()
