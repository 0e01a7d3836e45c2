"""The castings log on the page: pours and results in the words of the terminal.

A request says what the options of the terminal's command say, each under the option's name; what
it leaves out is as the pot card has it.  Each is done whole or not at all, and none overtakes
another.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable, Iterator, Mapping
from contextlib import AbstractContextManager
from typing import TYPE_CHECKING, Any

from mouldgen.errors import UsageError

if TYPE_CHECKING:
    from mouldgen.castings.records import Load
    from mouldgen.castings.store import CastingsFile
    from mouldgen.page.asked import Asked
    from mouldgen.page.work import Shop

_TOLD = ("shop", "close", "pressure", "when", "moulds", "mixed", "left", "note")
_MOST_GAPS = 100  # ways to tell a load's gaps apart


def log_values(asked: Asked) -> dict[str, Any]:
    """What a request says, for the task.

    asked : the request: ``do``, and with ``pour`` the job's ``text``, the ``load`` on its card
        where it is told, ``again`` and what was different; with ``result`` the ``load``, the
        ``words`` and a ``note``.

    Raises UsageError for what cannot be meant.
    """
    do = asked.one_of("do", tuple(_DONE))
    values: dict[str, Any] = {"do": do}
    if do == "pour":
        told = {name: asked.text(name, "").strip() or None for name in _TOLD}
        gap = tuple(filter(None, map(str.strip, asked.texts("gap", most=_MOST_GAPS))))
        values |= {
            "text": asked.job_text(),
            "number": _number(asked.text("load", "").strip()),
            "again": asked.flag("again"),
            "said": {**told, "gap": gap},
        }
    elif do == "result":
        values |= {name: asked.text(name, "").strip() for name in ("load", "words", "note")}
    return values


def _number(text: str) -> int | None:
    if not text:
        return None
    if not (text.isascii() and text.isdigit()) or len(text) > 9:
        raise UsageError(
            "the load is no number", where="load", allowed="its number on the pot card, or nothing"
        )
    return int(text)


def log(shop: Shop, values: Mapping[str, Any]) -> Iterator[dict[str, Any]]:
    """Do what was asked for, and tell it in sentences and as data.

    shop : of the process.
    values : as `log_values` has them.

    Raises what the terminal's commands raise.
    """
    yield {"file": str(shop.lessons.place()), **_DONE[values["do"]](shop, values)}


def _listed(shop: Shop, values: Mapping[str, Any]) -> dict[str, Any]:  # noqa: ARG001
    from mouldgen.castings.load_words import found_words
    from mouldgen.desk.log_loads import BEGIN, day_words, in_inches, total_words

    with _file(shop) as file:
        loads = file.loads()
    told = []
    for load in loads:
        inches = in_inches(load, shop.bench.folder / f"{load.job}.toml")
        found = found_words(load, inches=inches)
        told.append({**_data(load), "open": load.open, "found": found, "day": day_words(load)})
    return {"said": [total_words(loads) if loads else BEGIN], "loads": told}


def _poured(shop: Shop, values: Mapping[str, Any]) -> dict[str, Any]:
    from mouldgen.desk.log_pour import poured_words, write_pour
    from mouldgen.desk.log_told import PourSaid, read_told
    from mouldgen.sheet.job_card import job_card

    loaded = shop.loaded(values["text"])
    said = PourSaid(**values["said"])
    told = read_told(said, unit=loaded.job.unit, now=_now())
    card = job_card(shop.lessons.taught(loaded))
    with _file(shop) as file:
        written = write_pour(card, told, file, number=values["number"], again=values["again"])
    words = poured_words(written)
    if written.load.poured == 1:
        words.append(f"Write {written.load.id} on its card.")
    return {"said": words, "warnings": list(written.warnings), "load": _data(written.load)}


def _found(shop: Shop, values: Mapping[str, Any]) -> dict[str, Any]:
    from mouldgen.castings.said import read_result
    from mouldgen.desk.log_loads import find_load, in_inches
    from mouldgen.desk.log_result import no_load_said, nothing_said, result_words, write_result
    from mouldgen.desk.log_told import read_note

    note = read_note(values["note"])
    with _file(shop) as file:
        if not values["load"]:
            raise no_load_said(file)
        load = find_load(file, values["load"])
        if not values["words"]:
            raise nothing_said(load)
        said = read_result(values["words"], [casting.number for casting in load.castings])
        found = write_result(load, said, file, now=_now(), note=note)
    job = shop.bench.folder / f"{load.job}.toml"
    return {
        "said": result_words(found, inches=found.sized and in_inches(found.load, job)),
        "load": _data(found.load),
        "replaced": list(found.replaced),
        "supposed_voids": list(found.supposed),
    }


def _undone(shop: Shop, values: Mapping[str, Any]) -> dict[str, Any]:  # noqa: ARG001
    from mouldgen.desk.log_result import take_back
    from mouldgen.job.words import printable

    with _file(shop) as file:
        undone = take_back(file)
    return {"said": [printable(f"Taken back: {undone}.")], "undone": undone}


def _file(shop: Shop) -> AbstractContextManager[CastingsFile]:
    from mouldgen.castings.store import castings_file  # late: it loads the database

    return castings_file(shop.lessons.place())


def _data(load: Load) -> dict[str, Any]:
    from mouldgen.castings.transfer import load_data

    return load_data(load)


def _now() -> dt.datetime:
    """The moment that a row is written at."""
    return dt.datetime.now(dt.UTC).astimezone()  # noqa: TID251 - a row says when it was


_DONE: dict[str, Callable[[Shop, Mapping[str, Any]], dict[str, Any]]] = {
    "list": _listed,
    "pour": _poured,
    "result": _found,
    "undo": _undone,
}
