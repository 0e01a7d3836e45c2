"""``mouldgen dry``: whether wood that is weighed while it dries has come to constant weight."""

from __future__ import annotations

import os
import re
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Any

from mouldgen.cli.say import say, say_json, say_wrapped
from mouldgen.cli.tables import table
from mouldgen.cli.words import count, percent
from mouldgen.errors import UsageError
from mouldgen.job.words import printable
from mouldgen.sheet.number_words import grams

if TYPE_CHECKING:
    import datetime as dt

    from mouldgen.shop.drying import PieceDrying
    from mouldgen.shop.drying_log import Weighing

_ADDED = re.compile(r"\s*(\S.*?)\s+([\d.]+\s*[A-Za-z ]*)")
_STATES = {"constant": "yes", "losing": "no", "gained": "no, gained", "too soon": "too soon"}
_ORDER = (
    "Constant weight in the oven is dry: then write [insert] constant_weight = true in the job, and"
    " its build no longer asks about moisture. On a shelf it is only in balance with the air of the"
    " shop, and not dry: a meter's reading goes into [insert] moisture."
)
# Common practice, no source.
_OVEN = (
    "Dry wood in no oven that food goes into, with the room aired, and stay near: warm wood and its"
    " sap can catch fire."
)


@dataclass(frozen=True, eq=False)
class DryAsked:
    """What the command was asked for.

    log : the file.
    add : piece and weight to put at its end; None to read only.
    when : of that weighing, as typed; None for now.
    scale : the scale's smallest digit, as typed; None for what the log shows.
    json, quiet, verbose : as in every command.
    """

    log: str
    add: str | None = None
    when: str | None = None
    scale: str | None = None
    json: bool = False
    quiet: bool = False
    verbose: bool = False


def show_drying(asked: DryAsked) -> int:
    """Say how far each piece has dried; 0 where all are at constant weight, else 1.

    Raises InputError for a line that cannot be read, UsageError for words that do not go together.
    """
    from mouldgen.files.append import read_text
    from mouldgen.shop.drying import drying
    from mouldgen.shop.drying_log import read_log

    scale_g = _scale(asked.scale)
    if asked.add is not None:
        _add(asked, asked.add)
    elif asked.when is not None:
        raise UsageError("--when does not go without --add")
    if not os.path.lexists(asked.log):
        raise _empty(asked.log, "there is no such file")
    log = read_log(read_text(Path(asked.log)), name=asked.log)
    if not log:
        raise _empty(asked.log, "the log holds no weighing")
    pieces = drying(log, scale_g=scale_g)
    if asked.json:
        say_json(_data(pieces))
    else:
        _say(pieces, quiet=asked.quiet, verbose=asked.verbose)
    return int(any(piece.state != "constant" for piece in pieces))


def _empty(name: str, what: str) -> UsageError:
    return UsageError(
        what,
        where=name,
        allowed="a line for each, such as A1,2026-11-20 18:30,412.3 g",
        try_='Begin one with --add "A1 412.3 g".',
    )


def _scale(text: str | None) -> float | None:
    if text is None:
        return None
    from mouldgen.errors import MouldgenError
    from mouldgen.shop.drying_log import read_mass

    try:
        return read_mass(text)[0]
    except MouldgenError as problem:
        raise problem.at("--scale") from None


def _add(asked: DryAsked, what: str) -> None:
    """Put a weighing at the end of the log."""
    from mouldgen.errors import MouldgenError
    from mouldgen.files.append import append_line
    from mouldgen.shop.drying_log import COLUMNS, log_line, read_log, read_mass, read_when

    found = _ADDED.fullmatch(what)
    if found is None:
        raise UsageError(
            f'"{printable(what)}" is not a piece and its weight',
            where="--add",
            allowed='such as --add "A1 412.3 g"',
            try_=_better(what),
        )
    piece, weight = found[1], found[2].strip()
    if piece.startswith("#"):
        raise UsageError(
            "a line that begins with # would be a comment", where="--add", try_="Name it without #."
        )
    when = _now() if asked.when is None else asked.when.strip()
    try:
        read_mass(weight)
    except MouldgenError as problem:
        raise problem.at("--add") from None
    try:
        read_when(when)
    except MouldgenError as problem:
        raise problem.at("--when") from None
    append_line(
        Path(asked.log),
        log_line(piece, when, weight),
        heading=",".join(COLUMNS),
        check=lambda text: read_log(text, name=asked.log),
    )


def _better(what: str) -> str:
    """What to try where a weighing could not be read."""
    if "/" in what:
        return "A fraction is written with a point: 14.5 weight oz, never 14 1/2."
    if "," in what:
        return "Decimals have a point, never a comma."
    return "The piece's name comes first." if re.match(r"\s*[\d.]+\s*[A-Za-z]*\s*$", what) else ""


def _now() -> str:
    import datetime as dt

    return f"{dt.datetime.now(dt.UTC).astimezone():%Y-%m-%d %H:%M}"


def _say(pieces: Sequence[PieceDrying], *, quiet: bool, verbose: bool) -> None:
    heading = ("piece", "weighed", "last", "weight", "loss per hour", "constant")
    rows = [heading, *(_row(piece) for piece in pieces)]
    say(table(rows, right=(1, 3, 4)))
    if quiet:
        return
    say()
    for piece in pieces:
        say_wrapped(f"{printable(piece.piece)}: {_words(piece)}", rest="  ")
    say()
    for text in _rules(pieces, verbose=verbose):
        say_wrapped(text)


def _row(piece: PieceDrying) -> tuple[str, ...]:
    rate = piece.rate_g_h
    return (
        printable(piece.piece),
        count(len(piece.weighings), "time"),
        _time(piece.last),
        _grams(piece, piece.last.mass_g),
        "" if rate is None else f"{_significant(rate)} g",
        _STATES[piece.state],
    )


def _words(piece: PieceDrying) -> str:
    """One piece in a few sentences: the verdict, what is missing, how wet it was."""
    sentences = [_verdict(piece)]
    sentences += [
        f"It gained {_grams(piece, after.mass_g - before.mass_g)} from {_time(before)} to"
        f" {_time(after)}: it picked up water, or another piece was weighed."
        for before, after in piece.gains
    ]
    if piece.again is not None and piece.ready is None:
        sentences.append(f"Weigh it again after {_when(piece.again)}.")
    if len(piece.weighings) > 1 and piece.moisture_first > 0.0:
        sentences.append(_moisture(piece))
    return " ".join(sentences)


def _verdict(piece: PieceDrying) -> str:
    if piece.loss_g is None:
        return "weighed once, which tells nothing yet."
    over = _hours(piece.over_h)
    most = f"{piece.limit_g:.3g} g"
    if piece.state == "constant":
        lost = (
            "nothing that the scale shows"
            if abs(piece.loss_g) < 0.5 * piece.scale_g
            else f"{_grams(piece, piece.loss_g)}"
            if piece.loss_g > 0.0
            else f"nothing, and gained {_grams(piece, -piece.loss_g)}"
        )
        return f"constant: it lost {lost} in {over}, and {most} are allowed."
    if piece.state == "gained":
        return f"heavier by {_grams(piece, -piece.loss_g)} than {over} before."
    if piece.state == "too soon":
        return f"its last weighings lie {over} apart, and three hours are needed to tell."
    lost = f"still losing: {_grams(piece, piece.loss_g)} in {over}, and {most} are allowed."
    return f"{lost} {_ready(piece)}"


def _ready(piece: PieceDrying) -> str:
    if piece.ready is None:
        return (
            "When it will be constant cannot be said yet."
            if len(piece.weighings) < 3
            else "When it will be constant cannot be said from these weighings."
        )
    first, last = _when(piece.ready.earliest), _when(piece.ready.latest)
    if piece.ready.latest <= piece.last.when and piece.again is not None:
        return (
            "By these weighings three hours now lose no more than that: weigh it again after"
            f" {_when(piece.again)} to show it."
        )
    if first == last:
        return f"It should be constant about {first}, if oven and air stay as they are."
    return (
        f"It should be constant about {_when(piece.ready.likely)}, between {first} and {last}, if"
        " oven and air stay as they are."
    )


def _moisture(piece: PieceDrying) -> str:
    start = percent(piece.moisture_first, places=1)
    if piece.state == "constant" and piece.last.mass_g - piece.lightest_g <= piece.limit_g:
        return f"If this is oven-dry, it held {start} of water at first."
    text = f"At first it held {start} of water or more, as a share of its lightest weight"
    if piece.last.mass_g > piece.lightest_g:
        text += f", and now {percent(piece.moisture_last, places=1)} or more"
    return f"{text}."


def _rules(pieces: Sequence[PieceDrying], *, verbose: bool) -> list[str]:
    digit = f"{pieces[0].scale_g:g} g"
    rule = "no more than twice the scale's digit and no more than a thousandth of its weight"
    told = [f"Constant is what lost, within three hours or more, {rule}. The scale's is {digit}."]
    if verbose:
        told.append(
            "The first is the end point of ASTM D4442 for oven drying, from memory; the thousandth"
            " is belief. The time is that of one exponential through the last weighings, as a band"
            " of 95 %, with half a digit as the error of a reading."
        )
    told += [
        f"{printable(one)} and {printable(other)} count as two pieces: if they are one, write one"
        " name in the log."
        for one, other in _alike([piece.piece for piece in pieces])
    ]
    coarse = [piece for piece in pieces if piece.too_coarse]
    if coarse:
        worst = min(coarse, key=lambda piece: piece.last.mass_g)
        share = percent(worst.scale_g / worst.last.mass_g, places=1)
        told.append(
            f"A scale of {worst.scale_g:g} g sees no less than {share} of"
            f" {printable(worst.piece)}: take a finer one, or weigh several pieces together."
        )
    if any(not weighing.timed for piece in pieces for weighing in piece.weighings):
        told.append("A day without a time is taken at noon.")
    return [*told, _ORDER, _OVEN]


def _alike(names: Sequence[str]) -> list[tuple[str, str]]:
    """Names that differ in capitals and blanks only, each with the first one that it is like."""
    first: dict[str, str] = {}
    found = []
    for name in names:
        like = first.setdefault("".join(name.casefold().split()), name)
        if like != name:
            found.append((like, name))
    return found


def _data(pieces: Sequence[PieceDrying]) -> dict[str, Any]:
    return {
        "scale_g": pieces[0].scale_g,
        "all_constant": all(piece.state == "constant" for piece in pieces),
        "pieces": [_piece_data(piece) for piece in pieces],
    }


def _piece_data(piece: PieceDrying) -> dict[str, Any]:
    ready = piece.ready
    return {
        "piece": piece.piece,
        "weighings": len(piece.weighings),
        "last": piece.last.when.isoformat(timespec="minutes"),
        "last_g": piece.last.mass_g,
        "lightest_g": piece.lightest_g,
        "state": piece.state,
        "limit_g": round(piece.limit_g, 6),
        "loss_g": None if piece.loss_g is None else round(piece.loss_g, 6),
        "over_h": round(piece.over_h, 4),
        "rate_g_per_h": None if piece.rate_g_h is None else round(piece.rate_g_h, 6),
        "gained": [
            {"from_line": before.line, "to_line": after.line,
             "gain_g": round(after.mass_g - before.mass_g, 6)}
            for before, after in piece.gains
        ],
        "constant_at": None if ready is None else {
            "earliest": ready.earliest.isoformat(timespec="minutes"),
            "likely": ready.likely.isoformat(timespec="minutes"),
            "latest": ready.latest.isoformat(timespec="minutes"),
        },
        "weigh_again": None if piece.again is None else piece.again.isoformat(timespec="minutes"),
        "first_moisture_if_lightest_is_dry": round(piece.moisture_first, 5),
        "last_moisture_if_lightest_is_dry": round(piece.moisture_last, 5),
    }  # fmt: skip


def _time(weighing: Weighing) -> str:
    return _when(weighing.when) if weighing.timed else f"{weighing.when:%Y-%m-%d}"


def _when(when: dt.datetime) -> str:
    return f"{when:%Y-%m-%d %H:%M}"


def _grams(piece: PieceDrying, mass_g: float) -> str:
    return f"{grams(mass_g, digit_g=piece.scale_g)} g"


def _significant(rate: float) -> str:
    text = f"{rate:.2g}" if abs(rate) < 10.0 else f"{rate:.0f}"
    return "0" if float(text) == 0.0 else text


def _hours(hours: float) -> str:
    if hours < 1.0:
        return f"{round(hours * 60.0)} min"
    return f"{hours:.1f} h".replace(".0 h", " h") if hours < 48.0 else f"{hours / 24.0:.1f} days"
