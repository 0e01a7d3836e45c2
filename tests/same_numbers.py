"""Which number of the job sheet is told by which command, and where in what it prints.

In a name and its path ``#`` is a count from one and ``@`` one from zero, in the same order; ``*``
is any word.  ``load=#`` in a path is the entry whose ``load`` is that number.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from functools import cache
from typing import Any

# How a command writes what the sheet has: rounded to so many digits, as a text, as a moment.
# The sheet tells seconds whole, "up" or "down" to the safe side; a command rounds to tenths.
As = int | str

# name on the sheet, command, path in its JSON, how it is written there
TOLD: tuple[tuple[str, str, str, As], ...] = (
    ("order.castings", "plan", "castings", 0),
    ("order.printed", "plan", "moulds", 0),
    ("order.printed", "resin", "moulds", 0),
    ("order.pieces", "plan", "pieces", 0),
    ("order.due", "plan", "due", "day"),
    ("gap.gap_mm", "gap", "gap_mm", 4),
    ("gap.set_by", "gap", "set_by", "text"),
    ("gap.take_up_mm", "gap", "take_up_mm", 4),
    ("gap.measured_least_mm", "report", "gap.measured_least_mm", 4),
    ("gap.sequence", "gap", "sequence", "text"),
    ("gap.bound.*.@.mm", "gap", "bounds.@.value_mm", 4),
    ("gap.bound.*.@.why", "gap", "bounds.@.why", "in mm"),
    ("gap.bound.*.@.source", "gap", "bounds.@.source", "text"),
    ("insert.volume_ml", "report", "volume.insert_ml", 3),
    ("mould.cavity_ml", "report", "volume.cavity_ml", 3),
    ("mould.insert_ml", "report", "volume.insert_ml", 3),
    ("mould.net_ml", "report", "volume.net_ml", 3),
    ("mould.riser_ml", "report", "volume.riser_ml", 3),
    ("mould.fill_mm", "report", "pour.fill_mm", 3),
    ("mould.level_mm", "report", "pour.level_mm", 2),
    ("mould.sinks_ml", "report", "pour.sinks_ml", 2),
    ("mould.attitude", "report", "pour.attitude", "text"),
    ("mould.release", "report", "mould.release", "text"),
    ("mould.filament_g", "report", "filament_g", 1),
    ("mould.part.*.name", "report", "parts.name=*.name", "text"),
    ("mould.part.*.count", "report", "parts.name=*.count", 0),
    ("mould.part.*.volume_ml", "report", "parts.name=*.volume_ml", 3),
    ("mould.part.*.print_s", "report", "parts.name=*.prints.time_s", 0),
    ("resin.per_mould_ml", "resin", "per_mould_ml", 3),
    ("resin.b_per_#_a", "resin", "b_per_100_a", 2),
    ("resin.scale_g", "resin", "scale_g", 9),
    *((f"resin.{which}.{key}", "resin", f"{which}.{key}", digits)
      for which in ("one", "all")
      for key, digits in (("mixed_ml", 3), ("mixed_us_fl_oz", 3), ("a_g", 3), ("b_g", 3),
                          ("total_g", 3))),
    *((f"resin.session.#.mix.#.{key}", "resin", f"mixing.sessions.#.mixes.#.{key}", 3)
      for key in ("a_g", "b_g", "total_g", "start_s")),
    ("resin.session.#.mix.#.done_s", "resin", "mixing.sessions.#.mixes.#.cups.-1.done_s", "up"),
    ("resin.session.#.pour_s", "resin", "mixing.sessions.#.pour_s", "up"),
    ("resin.session.#.close_s", "resin", "mixing.sessions.#.close_s", "up"),
    ("resin.session.#.limit_s", "resin", "mixing.sessions.#.limit_s", "down"),
    ("resin.session.#.slack_s", "resin", "mixing.sessions.#.slack_s", "down"),
    ("resin.session.#.limited_by", "resin", "mixing.sessions.#.limited_by", "by"),
    *((f"card.#.#.mix.#.{name}", "resin", f"mixing.sessions.load=#.pour=#.mixes.#.{key}", 3)
      for name, key in (("a", "a_g"), ("b", "b_g"), ("total", "total_g"), ("start", "start_s"))),
    ("card.#.#.mix.#.done", "resin",
     "mixing.sessions.load=#.pour=#.mixes.#.cups.-1.done_s", "up"),
    *((f"card.#.#.{key}", "resin", f"mixing.sessions.load=#.pour=#.{key}", "up")
      for key in ("pour_s", "close_s")),
    ("card.#.#.limit_s", "resin", "mixing.sessions.load=#.pour=#.limit_s", "down"),
    ("beds.#.number", "beds", "beds.#.number", 0),
    ("beds.#.used", "beds", "beds.#.used_fraction", 4),
    ("beds.time", "report", "print_time.time_s", 0),
    ("pot.diameter_mm", "pot", "pot.diameter_mm", 9),
    ("pot.usable_mm", "pot", "pot.usable_mm", 9),
    ("pot.rating", "pot", "pot.rating_kpa", "same"),
    ("pot.takes", "pot", "", "takes"),
    ("pot.loads", "pot", "loads", "count"),
    ("pot.load.#.number", "pot", "loads.#.number", 0),
    ("pot.load.#.moulds", "pot", "loads.#.moulds", 0),
    ("pot.load.#.tiers", "pot", "loads.#.tiers", "count"),
    ("pot.load.#.left_mm", "pot", "loads.#.left_mm", "tenth"),
    ("calendar.start", "plan", "start", "day"),
    ("calendar.ready", "plan", "ready", "day"),
    ("calendar.due", "plan", "due", "day"),
    ("calendar.slack", "plan", "slack_days", 0),
    ("calendar.@.from", "plan", "calendar.@.start", "clock"),
    ("calendar.@.to", "plan", "calendar.@.end", "clock"),
    ("calendar.@.count", "plan", "calendar.@.count", 0),
    ("calendar.change.@.what", "plan", "changes.@.what", "text"),
    ("calendar.change.@.ready", "plan", "changes.@.ready", "day"),
    ("calendar.change.@.earlier", "plan", "changes.@.earlier_s", 0),
    ("cuts.blank_mm", "report", "piece.blank.length_mm", 3),
    ("cuts.first_mm", "report", "piece.blank.face_first_mm", 3),
    ("cuts.other_mm", "report", "piece.blank.other_end_mm", 3),
    ("cuts.piece_mm", "report", "piece.blank.shares.0.each_mm", 3),
    ("cuts.spare_mm", "report", "piece.blank.spare_mm", 3),
    ("cuts.drill_mm", "report", "piece.hole.drill_mm", 3),
    ("cuts.drilled_mm", "report", "piece.hole.drilled_mm", 3),
    ("cuts.stop_mm", "report", "piece.hole.stop_mm", 1),
    ("cuts.percent", "report", "piece.hole.percent_thread", "per cent"),
    ("cuts.thread", "report", "piece.hole.thread", "text"),
    ("buy.resin.need", "buy", "resin.need_g", 3),
    ("buy.resin.cost", "buy", "resin.cost", 2),
    ("buy.tint.#.need", "buy", "tints.#.tint_g", 3),
    ("buy.plastic.need", "buy", "plastic.mass_kg", 5),
    ("buy.plastic.cost", "buy", "plastic.cost", 2),
    ("buy.inserts.need", "buy", "inserts.count", 0),
    ("buy.inserts.cost", "buy", "inserts.cost", 2),
    ("buy.hardware.need", "buy", "hardware.count", 0),
    ("buy.hardware.cost", "buy", "hardware.cost", 2),
    ("buy.consumables.need", "buy", "consumables.count", 0),
    ("buy.consumables.cost", "buy", "consumables.cost", 2),
    ("buy.total", "buy", "total", 2),
    ("made.fingerprint", "report", "fingerprint", "text"),
    ("made.job", "report", "job", "text"),
    ("fingerprint", "report", "fingerprint", "begins"),
)  # fmt: skip

# Numbers that only the sheet tells: of the job, worked out for the bench, or another unit's.
ONLY_HERE = (
    "insert.across", "mould.wall_mm", "mould.vent_grooves", "mould.second_ml", "gap.bound.*.@.in",
    "resin.session.#.mixed_ml", "resin.session.#.mix_s", "card.#.#.mix_s", "pot.load.#.catches",
    "log.blank.#.load",
)  # fmt: skip

# Texts, and moments and sizes put into words; their numbers stand beside them by name.
SENTENCES = (
    "name", "lead", "*.title", "*.alt", "*.caption", "gap.first", "gap.picture.*", "mould.family",
    "mould.part.*.size", "mould.still.*.*", "mould.still.*.*.*", "mould.section.*",
    "resin.one", "resin.all", "resin.told.@", "resin.after.@", "resin.session.#.*",
    "resin.session.#.told.@",
    "resin.session.#.mix.#.name", "beds.water", "beds.#.holds", "beds.#.picture.*",
    "pot.load.#.numbers", "pot.load.#.picture.*", "calendar.@.day", "calendar.@.what",
    "calendar.@.until", "calendar.bottleneck", "calendar.basis", "cuts.line", "cuts.piece",
    "buy.*.which", "buy.tint.@.which", "buy.tint.@.cost", "buy.told.@", "log.none",
    "log.blank.#.castings", "finding.@", "caution.*", "made.body", "made.lid", "made.version",
    "card.#.#.*", "card.#.#.*.*", "card.#.#.*.label.#", "card.#.#.*.line.#", "card.#.#.box.#",
    "card.#.#.mix.#.*", "stop.@",
)  # fmt: skip


@dataclass(frozen=True, eq=False)
class Place:
    """Where a command tells a number of the sheet."""

    command: str
    path: tuple[str, ...]
    written: As


_BEHIND = re.compile(r" \([\d.]+ (?:in|degF|F degrees)\)")
_MARKS = {"#": r"(\d+)", "@": r"(\d+)", "*": r"([a-z_A-Z-]+)"}


def places(name: str) -> Iterator[Place]:
    """Where a number of the sheet is told; nothing where no command does."""
    for pattern, command, path, written in TOLD:
        if found := _pattern(pattern).fullmatch(name):
            yield Place(command, tuple(_steps(path, pattern, found.groups())), written)


def _steps(path: str, pattern: str, found: tuple[str, ...]) -> Iterator[str]:
    """The path with what was found in the name; a count from one is the place before it."""
    given = list(zip(re.findall(r"[#@*]", pattern), found, strict=True))
    for step in path.split(".") if path else ():
        mark = step[-1]
        if mark not in "#@*":
            yield step
            continue
        while given[0][0] != mark:  # a word of the name that is not in the path
            given.pop(0)
        value = given.pop(0)[1]
        yield str(int(value) - 1) if step == "#" else step[:-1] + value


@cache
def _pattern(pattern: str) -> re.Pattern[str]:
    return re.compile("".join(_MARKS.get(sign, re.escape(sign)) for sign in pattern))


def is_one_of(name: str, patterns: tuple[str, ...]) -> bool:
    """Whether a name is one of these."""
    return any(_pattern(one).fullmatch(name) for one in patterns)


def found_at(told: Any, path: tuple[str, ...]) -> Any:
    """What stands at a path in what a command printed."""
    at = told
    for step in path:
        if "=" in step and isinstance(at, list):
            key, value = step.split("=")
            at = [one for one in at if str(one[key]) == value]
            if key != "load":
                (at,) = at
        elif isinstance(at, list):
            at = at[int(step)]
        else:
            at = at[step]
    return at


def agrees(text: str, number: float | None, told: Any, written: As) -> bool:
    """Whether the sheet's value is what the command tells."""
    if isinstance(written, int):
        if number is None or told is None:
            return number is None and told is None
        return bool(round(number, written) == told)
    ways: dict[str, Callable[[], bool]] = {
        "text": lambda: text == told,
        # For who works in inches the sheet puts them behind, as the terminal does; JSON does not.
        "in mm": lambda: _BEHIND.sub("", text) == told,
        "same": lambda: number == told,
        "tenth": lambda: number == round(told, 1),
        "takes": lambda: number == told["per_tier"] * told["tiers"],
        "by": lambda: text == f"by {told}",
        "begins": lambda: str(told).startswith(text),
        "count": lambda: number == len(told),
        "clock": lambda: text == told[11:16],
        "up": lambda: number is not None and -0.05 <= number - told < 1.0,
        "down": lambda: number is not None and -0.05 <= told - number < 1.05,
        "per cent": lambda: number is not None and round(100.0 * number) == round(told),
        "day": lambda: _day(text) == told,
    }
    return ways[written]()


def _day(text: str) -> str:
    import datetime as dt

    return dt.datetime.strptime(text, "%a %d %b %Y").date().isoformat()  # noqa: DTZ007
