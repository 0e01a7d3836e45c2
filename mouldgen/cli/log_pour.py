"""``mouldgen log pour``: a load as its pot card says, but for what the maker tells otherwise."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

from mouldgen.castings.load_words import listed, load_words
from mouldgen.castings.place import castings_place
from mouldgen.castings.store import castings_file
from mouldgen.castings.transfer import load_data
from mouldgen.cli.log import named, pour_words
from mouldgen.cli.log_slips import slips, takes_g
from mouldgen.cli.log_told import Told, read_told
from mouldgen.cli.progress import busy
from mouldgen.cli.say import say_json, say_wrapped, tell
from mouldgen.cli.words import count
from mouldgen.cli.words import gap as gap_words
from mouldgen.errors import NoAnswerError, UsageError

if TYPE_CHECKING:
    from mouldgen.castings.as_poured import Poured
    from mouldgen.castings.drafts import LoadDraft
    from mouldgen.castings.records import Load
    from mouldgen.job.load import LoadedJob
    from mouldgen.mix.mixing import Mixing
    from mouldgen.mould_set import MouldSet

_SAME_GAP_MM = 0.005  # moulds are lettered to a hundredth


@dataclass(frozen=True, eq=False, kw_only=True)
class PourAsked:
    """What the command was asked for, as typed; None and empty for what the card says.

    job : with ``:N`` for the load, or without.
    shop, close, pressure, when : of the day.
    gap : ``0.9 mm`` or ``1-4=0.9 mm``, each.
    moulds : numbers of those that were poured.
    mixed, left : masses.
    note : anything else.
    again : a load that was poured before is cast once more.
    castings : the file, or None for the shop's own.
    json, sets, quiet : as in every command.
    """

    job: str
    shop: str | None = None
    close: str | None = None
    pressure: str | None = None
    when: str | None = None
    gap: tuple[str, ...] = ()
    moulds: str | None = None
    mixed: str | None = None
    left: str | None = None
    note: str | None = None
    again: bool = False
    castings: Path | None = None
    json: bool = False
    sets: tuple[str, ...] = ()
    quiet: bool = False


@dataclass(frozen=True, eq=False)
class OnCard:
    """What the pot card says of a load.

    numbers : of its moulds.
    close_s : when all is shut and under pressure [s].
    """

    numbers: tuple[int, ...]
    close_s: float


def split_job(text: str) -> tuple[str, int | None]:
    """Job and load of ``boathouse-pegs:2``; None for a load that is not told."""
    found = re.fullmatch(r"(.+):(\d{1,9})", text.strip())
    return (found[1], int(found[2])) if found else (text, None)


def show_pour(asked: PourAsked) -> int:
    """Write the pour down and say what was written.

    Raises UsageError where it is not clear which load is meant, NoAnswerError for a job without a
    gap, and what reading the job and writing the file raise.
    """
    from mouldgen.build import build_moulds
    from mouldgen.job.load import load_job
    from mouldgen.sheet.order_work import mixed

    name, number = split_job(asked.job)
    path = asked.castings or castings_place(name)
    loaded = load_job(name, sets=asked.sets)
    told = read_told(asked, unit=loaded.job.unit)
    with busy(f"Working out the loads of {loaded.job.name}", quiet=asked.quiet):
        loaded = _learned(loaded, path)
        found = build_moulds(loaded.job, learned=loaded.learned, given=loaded.given)
        made = mixed(found)
    cards = _cards(found, made)
    pours = loaded.job.pour.layers
    with castings_file(path) as file:
        before = {load.number: load for load in file.loads() if load.job == loaded.job.name}
        load, later = which_load(
            number, tuple(cards), before, name=name, pours=pours, again=asked.again
        )
        if later is not None:
            _require_later(asked, later)
            pour = later.poured + 1
            written = file.pour_again(later.id, note=_later_note(told, pour))
            warnings: tuple[str, ...] = ()
        else:
            _require_known_gap(found, told, tuple(before.values()))
            draft, warnings = _draft(found, cards[load], told, load=load, loaded=loaded)
            written = file.pour(draft)
    for warning in warnings:
        tell(warning)
    if asked.json:
        say_json({"file": str(path), "load": load_data(written), "warnings": list(warnings)})
    else:
        _say(asked, written, path=path, pours=pours, inches=loaded.job.unit == "in")
    return 0


def _learned(loaded: LoadedJob, path: Path) -> LoadedJob:
    """The job as every command has it, with what the file's castings teach it."""
    if not path.exists():
        return loaded
    from mouldgen.cli.lessons import read_loads
    from mouldgen.learn import learn

    return learn(loaded, read_loads(path))


def _require_known_gap(found: MouldSet, told: Told, before: Sequence[Load]) -> None:
    """Castings move the gap of a job, but not that of moulds that are printed already.

    Raises UsageError where the job's last load had another gap and nobody says which these have.
    """
    own_mm = found.answer.gap.gap_mm
    if told.gap_mm or own_mm is None or not found.answer.question.learned.air_shift or not before:
        return
    last = max(before, key=lambda load: load.id)
    gaps = sorted({casting.gap_mm for casting in last.castings})
    if any(abs(gap_mm - own_mm) < _SAME_GAP_MM for gap_mm in gaps):
        return
    inches = found.answer.job.unit == "in"
    were = " and ".join(gap_words(gap_mm, inches=inches) for gap_mm in gaps)
    raise UsageError(
        f"castings have moved the gap since load {last.id} was poured: it was {were} and is"
        f" {gap_words(own_mm, inches=inches)} now; which do these moulds have?",
        allowed=f'--gap "{gaps[0]:.2f} mm", or --gap "{own_mm:.2f} mm"; it is lettered on them',
    )


def which_load(
    number: int | None,
    loads: Sequence[int],
    before: Mapping[int, Load],
    *,
    name: str,
    pours: int,
    again: bool,
) -> tuple[int, Load | None]:
    """The load on the card that is meant, and its row where this is a later pour of it.

    number : as typed; None for the next one.
    loads : on the pot card.
    before : the newest row of each load that was poured.
    name : of the job, as typed.
    pours : that a load is filled in.
    again : whether a load that was poured is cast once more.

    Raises UsageError where it cannot be told.
    """
    if number is None:
        number = _next_load(loads, before, name=name, pours=pours, again=again)
    if number not in loads:
        raise UsageError(
            f"the pot card of {name} has no load {number}",
            allowed=f"{name}:1 to {name}:{loads[-1]}" if len(loads) > 1 else f"{name}:1",
        )
    there = before.get(number)
    if there is None or again:
        return number, None
    if there.poured < pours:
        return number, there
    raise UsageError(
        f"{name}:{number} is written down already, as load {there.id}, poured"
        f" {there.poured_at[:16].replace('T', ' ')}",
        try_="Cast once more, it is a new load with --again. To change what was written last, take"
        " it back with mouldgen log undo.",
    )


def _next_load(
    loads: Sequence[int], before: Mapping[int, Load], *, name: str, pours: int, again: bool
) -> int:
    if len(loads) == 1:
        return loads[0]
    fresh = [load for load in loads if load not in before]
    waiting = [load for load in loads if load in before and before[load].poured < pours]
    if again or not (fresh or waiting):
        raise UsageError(
            "which load is cast again?" if again else f"all loads of {name} are written down",
            allowed=f"{name}:1 to {name}:{loads[-1]} --again",
        )
    if waiting and (fresh or len(waiting) > 1):
        kinds = [f"{name}:{load} for pour {before[load].poured + 1} of it" for load in waiting]
        kinds += [f"{name}:{load} for its first pour" for load in fresh[:1]]
        raise UsageError("which load was poured?", allowed="; ".join(kinds))
    return (waiting or fresh)[0]


def _cards(found: MouldSet, made: Mixing | None) -> dict[int, OnCard]:
    """What the card says of each load.

    Where not one mould can be poured in time there is no card, and one load holds all moulds.
    """
    job = found.answer.job
    if found.answer.gap.gap_mm is None or made is None:
        raise NoAnswerError(
            f"no gap meets every rule, so no mould was made. {found.answer.gap.conflict}",
            where=job.name,
            try_="Tell the gap of the moulds that you have, such as --set mould.gap='1.2 mm'.",
        )
    first = [session for session in made.sessions if session.pour == 1]
    if not first:
        return {1: OnCard(tuple(range(1, found.answer.fillings + 1)), job.pour.close)}
    return {session.load: OnCard(session.moulds, session.clock.close_s) for session in first}


def _draft(
    found: MouldSet, card: OnCard, told: Told, *, load: int, loaded: LoadedJob
) -> tuple[LoadDraft, tuple[str, ...]]:
    """The rows, and what the maker is warned of."""
    from mouldgen.castings.as_poured import Poured, load_as_poured

    answer, job = found.answer, loaded.job
    numbers = told.moulds or card.numbers
    strange = sorted(set(told.gaps_mm) - set(numbers))
    if strange:
        raise UsageError(
            f"--gap speaks of {listed(strange)}, and this load has {listed(numbers)}",
            try_="Say with --moulds which were poured.",
        )
    label = None if found.plan is None else found.plan.body_label
    own_gap_mm = answer.gap.gap_mm or 0.0
    poured = Poured(
        poured_at=told.when,
        shop_c=job.pour.shop if told.shop_c is None else told.shop_c,
        close_s=card.close_s if told.close_s is None else told.close_s,
        pressure_kpa=_pressure_kpa(loaded, told),
        gap_mm=told.gap_mm or own_gap_mm,
        gaps_mm=told.gaps_mm,
        mould_id="" if label is None or told.gap_mm else label.text.split()[0],
        sequence=answer.gap.sequence,
        note=told.note,
        mixed_g=told.mixed_g,
        left_g=told.left_g,
    )
    draft = load_as_poured(
        answer.question,
        poured,
        job=job,
        fingerprint=found.fingerprint,
        load=load,
        numbers=numbers,
    )
    return draft, tuple(_warnings(found, poured, draft))


def _pressure_kpa(loaded: LoadedJob, told: Told) -> float:
    """As told, or as the card has it; asked for where the card has a blank."""
    from mouldgen.sheet.pot_hold import pressure_kpa

    job = loaded.job
    if told.pressure_kpa is not None:
        return told.pressure_kpa
    if job.pot is None and job.pour.pressure is None:
        return 0.0
    on_card = pressure_kpa(job)
    if on_card is None:
        raise UsageError(
            "the pot card has a blank for the pressure: what did the gauge show?",
            allowed='--pressure "45 psi", or --pressure "0 psi" for none',
        )
    return on_card


def _warnings(found: MouldSet, poured: Poured, draft: LoadDraft) -> list[str]:
    from mouldgen.castings.as_poured import resin_as_poured
    from mouldgen.gap.air import gelled
    from mouldgen.job.rating import pressure_words

    job, told = found.answer.job, []
    rating = None if job.pot is None else job.pot.rating
    if rating is not None and poured.pressure_kpa > rating:
        told.append(
            f"{pressure_words(poured.pressure_kpa)} is above the rating on the pot's plate,"
            f" {pressure_words(rating)}: never go above it. It is written down as you said it."
        )
    elif rating is None and poured.pressure_kpa > 0.0:
        told.append(
            "The pot's rating is not known, so this pressure was not held against it: read it off"
            " the plate and write [pot] rating in the job or in shop.toml."
        )
    resin = resin_as_poured(found.answer.question, poured)
    if resin.gelled:
        told.append(
            f"By the data sheet, {gelled(resin)}: no gap would have let the air out, and the air"
            " rule has no answer for these castings. That is what is written down."
        )
    if poured.close_s < job.pour.mix:
        told.append("By that clock the mould was shut before mixing ended: look at --close.")
    tight = [casting.number for casting in draft.castings if casting.open_mm <= 0.0]
    if tight:
        told.append(
            f"In {listed(tight)} the thickest insert to be expected takes up the whole gap: is"
            " --gap right?"
        )
    told += slips(
        numbers=[casting.number for casting in draft.castings],
        fillings=found.answer.fillings,
        shop_c=poured.shop_c,
        gaps_mm=[casting.gap_mm for casting in draft.castings],
        used_g=None if poured.mixed_g is None else poured.mixed_g - (poured.left_g or 0.0),
        least_g=takes_g(found, len(draft.castings)),
    )
    return told


def _require_later(asked: PourAsked, later: Load) -> None:
    """A later pour is noted; how the castings began stays as it is."""
    words = {
        "--gap": bool(asked.gap),
        "--moulds": asked.moulds is not None,
        "--pressure": asked.pressure is not None,
        "--mixed": asked.mixed is not None,
        "--left": asked.left is not None,
    }
    given = [name for name, there in words.items() if there]
    if given:
        raise UsageError(
            f"{', '.join(given)} belongs to the first pour of a load, and load {later.id} has had"
            " it",
            try_="Say it with --note, or cast the load once more with --again.",
        )


def _later_note(told: Told, pour: int) -> str:
    parts = [f"pour {pour} on {told.when[:16].replace('T', ' ')}"]
    if told.shop_c is not None:
        parts.append(f"{told.shop_c:g} C")
    if told.close_s is not None:
        parts.append(f"shut after {told.close_s / 60.0:g} min")
    return ", ".join([*parts, *([told.note] if told.note else [])])


def _say(asked: PourAsked, load: Load, *, path: Path, pours: int, inches: bool) -> None:
    if load.poured > 1:
        say_wrapped(f"Noted as pour {load.poured} of {pours}: {load_words(load)}.")
        return
    day = load.poured_at[:16].replace("T", " ")
    say_wrapped(f"{load_words(load)}, poured {day}.")
    if asked.quiet:
        return
    say_wrapped(f"{_how(load, inches=inches)}")
    if pours > 1:
        say_wrapped(f"It takes {count(pours, 'pour')}: note the next with the same words.")
    say_wrapped(
        f"Write {load.id} on its card. After the lathe: mouldgen log result {load.id}"
        f' "all good"{named(path)}. Wrong? mouldgen log undo{named(path)}. It is kept in {path}.'
    )


def _how(load: Load, *, inches: bool) -> str:
    """How it was poured, and what the air rule makes of that."""
    first = load.castings[0]
    same = all(casting.gap_mm == first.gap_mm for casting in load.castings)
    gaps = sorted({casting.gap_mm for casting in load.castings})
    told = (
        f"gap {gap_words(first.gap_mm, inches=inches)}, of which"
        f" {gap_words(first.open_mm, inches=inches)} is open"
        if same
        else "gaps " + ", ".join(gap_words(gap, inches=inches) for gap in gaps)
    )
    asks = (
        f"; as poured, the air rule asks for {gap_words(first.air_mm, inches=inches)} open"
        if first.air_mm < float("inf")
        else ""
    )
    return f"{pour_words(first)}, {first.sequence}, {told}{asks}."
