"""A clock that jumps: back and forward by years, over the hours that a summer adds and takes."""

from __future__ import annotations

import datetime as dt
import json
import random
from pathlib import Path
from typing import Any

from trials.chores import CHORES, JOB, WEIGHED, known
from trials.runs import Ran, run, things, workshop

ZONES = (
    "UTC", "Europe/Berlin", "America/St_Johns", "Pacific/Apia", "Asia/Kathmandu",
    "Pacific/Kiritimati", "Antarctica/Troll", "no/such/zone",
)  # fmt: skip
_EDGES = tuple(
    dt.datetime.fromisoformat(f"{moment}+00:00")
    for moment in (
        "1970-01-01T00:00:00", "1970-01-02T12:00:00", "2000-02-29T23:59:59",
        "2026-03-29T00:59:59", "2026-03-29T01:30:00", "2026-10-25T00:30:00",
        "2026-10-25T01:30:00", "2026-12-31T23:59:59", "2028-02-29T12:00:00",
        "2038-01-19T03:14:08", "2100-02-28T23:30:00", "2100-12-31T23:59:59",
    )
)  # fmt: skip

# The command with every clock that it looks at turned.
TURNED = """
import datetime, sys, time
begun, moment = time.time(), float(sys.argv.pop(1))
real = time.time
time.time = lambda: real() - begun + moment

class Alike(type):
    def __instancecheck__(cls, other):
        return isinstance(other, cls.__mro__[1])

class Date(datetime.date, metaclass=Alike):
    @classmethod
    def today(cls):
        return datetime.date.fromtimestamp(time.time())

class Moment(datetime.datetime, metaclass=Alike):
    @classmethod
    def now(cls, tz=None):
        return datetime.datetime.fromtimestamp(time.time(), tz)

class Turned:
    date, datetime = Date, Moment
    def __getattr__(self, name):
        return getattr(datetime, name)

from mouldgen.cli import dry, moment as now, page, plan
from mouldgen.page import log
for module in (dry, now, page, plan, log):
    module.dt = Turned()
from mouldgen.cli import main
sys.exit(main())
"""


def turned(chance: random.Random) -> str:
    """Log, plan and build while the clock jumps: the order of the log is that of writing."""
    zone = chance.choice(ZONES)
    with workshop() as folder:
        (folder / "wood.csv").write_text(WEIGHED)
        poured = [_pour(chance, folder, zone, number) for number in (1, 2)]
        _words(at(chance, folder, zone, "log", "result", "1", "all good"))
        taken = _words(at(chance, folder, zone, "log", "undo"))
        if f"the result of load 1 ({JOB}:1)" not in taken.out:
            raise AssertionError(f"undo took back something else: {taken.told()}")
        for words in chance.sample(
            [
                ("plan", JOB), ("quote", JOB), ("tune", JOB), ("log", "show", "2"), ("log",),
                ("dry", "wood.csv", "--add", "A1 412.3 g"), ("sheet", JOB),
            ],
            1,
        ):  # fmt: skip
            _words(at(chance, folder, zone, *words))
        _require_order(folder, poured)
    with workshop() as folder:
        chore = CHORES["fresh"]
        _words(at(chance, folder, zone, *chore.words))
        if things(folder) != known(chore).after:
            raise AssertionError("the clock is in the files")
    return "clock: told" if None in poured else "clock: logged in order"


def at(chance: random.Random, folder: Path, zone: str, *words: str) -> Ran:
    """What came of a command at some moment.

    chance : that takes the moment.
    zone : of the shop.
    words : of the command.
    """
    moment = chance.choice(_EDGES) if chance.random() < 0.7 else _any(chance)
    return run(words, folder, program=(TURNED, str(moment.timestamp())), TZ=zone)


def _any(chance: random.Random) -> dt.datetime:
    return _EDGES[0] + dt.timedelta(seconds=chance.randrange(4_100_000_000))


def _words(ran: Ran) -> Ran:
    """What ran, which did its work or told plainly why not."""
    if ran.code not in (0, 1, 2) or "Traceback" in ran.err or "bug" in ran.err:
        raise AssertionError(ran.told())
    return ran


def _pour(chance: random.Random, folder: Path, zone: str, number: int) -> int | None:
    """The number that the file gave the load; None where the moment was refused."""
    ran = _words(at(chance, folder, zone, "log", "pour", f"{JOB}:{number}", "--json"))
    if ran.code:
        return None
    said: Any = json.loads(ran.out)
    return int(said["load"]["load_id"])


def _require_order(folder: Path, poured: list[int | None]) -> None:
    """The list has the loads in the order in which they were written down."""
    listed = json.loads(run(("log", "list", "--json"), folder).out)["loads"]
    written = [(load, at + 1) for at, load in enumerate(poured) if load is not None]
    if [(load["load_id"], load["load_number"]) for load in listed] != written:
        raise AssertionError(f"{listed} is not in the order of {written}")
