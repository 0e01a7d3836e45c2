"""What castings teach, as a maker reads it: the answer first, the next trial last."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from pathlib import Path
from typing import TYPE_CHECKING

from mouldgen.castings.seen import seen_at
from mouldgen.castings.words import (
    against_physics,
    first_sentence,
    further_sentences,
    no_answer,
    no_trial_sentence,
    trial_sentence,
)
from mouldgen.cli.chance_plot import ChanceRow, chance_plot
from mouldgen.cli.say import say, say_wrapped, width
from mouldgen.cli.words import count, percent
from mouldgen.cli.words import gap as gap_words
from mouldgen.units.beside import in_both

if TYPE_CHECKING:
    from mouldgen.castings.tune import Tuned
    from mouldgen.cli.tune import Lesson

_ROWS = 9  # of the plot
_OF_THE_JOB = "The job's gap "  # how a sentence begins that is no use where the maker wrote it


def say_lesson(lesson: Lesson, *, quiet: bool, verbose: bool, picture: Path | None) -> None:
    """Say what castings teach.

    quiet : without the plot and what it rests on.
    verbose : with prices and where the rows are.
    picture : that was drawn, or None.
    """
    inches = lesson.job.unit == "in"

    def length(mm: float) -> str:
        return gap_words(mm, inches=inches)

    taught, tuned = lesson.taught, lesson.taught.tuned
    say_wrapped(answer(lesson, length))
    if tuned is not None and not quiet:
        say()
        say(void_plot(lesson, length))
        say()
        for sentence in further_sentences(tuned, length=length):
            if not (taught.written and sentence.startswith(_OF_THE_JOB)):
                say_wrapped(sentence)
        if strangers := _strangers(lesson):
            say_wrapped(strangers)
    if not quiet:
        for line in (_job_gap(lesson, length), _good(lesson, length), _loss(lesson)):
            say_wrapped(line)
        if verbose:
            for line in _basis(lesson):
                say_wrapped(line)
    _say_trial(lesson, length)
    if picture is not None:
        say_wrapped(f"Picture: {picture.as_posix()}")


def answer(lesson: Lesson, length: Callable[[float], str]) -> str:
    """The first sentence: what castings say of the gap, or why nothing can be said.

    length : writes a gap as the reader thinks of it [mm].
    """
    tuned = lesson.taught.tuned
    if tuned is None:
        why = in_both(lesson.taught.why_not, inches=lesson.job.unit == "in").rstrip(".")
        return f"Castings can say nothing of this gap: {why}."
    return first_sentence(tuned, length=length)


def void_plot(lesson: Lesson, length: Callable[[float], str]) -> str:
    """The chance of a void at some gaps, with the castings that stand for each.

    length : writes a gap as the reader thinks of it [mm].
    """
    from mouldgen.cli.plots import signs

    tuned = lesson.taught.tuned
    if tuned is None:
        return ""
    places = shown_places(tuned)
    gaps = [float(tuned.choices.gap_mm[place]) for place in places]
    seen = seen_at(tuned, gaps)
    told_best = not no_answer(tuned)
    rows = []
    for place, at in zip(places, seen, strict=True):
        point = tuned.band[place]
        side = "narrower" if place == places[0] else "wider"
        told = f"{at.voids} of {at.castings}" if at.castings else ""
        if at.beyond:
            told += f" {side}" if at.beyond == at.castings else f" ({at.beyond} {side})"
        marks = [told, "least cost" if place == tuned.best and told_best else ""]
        words = ", ".join(mark for mark in marks if mark)
        rows.append(ChanceRow(length(point.gap_mm), point.low, point.mean, point.high, words))
    return chance_plot(rows, columns=width(), drawn=signs())


def shown_places(tuned: Tuned) -> list[int]:
    """Which of the gaps that are compared a plot shows: some, with the best and today's."""
    gaps = tuned.choices.gap_mm
    least = tuned.least
    last = int((gaps <= max(least.high_mm, least.now_mm) + 1e-9).sum()) - 1
    last = min(max(last, tuned.best, _ROWS - 1), len(gaps) - 1)
    step = max(1, -(-last // (_ROWS - 1)))
    today = int(abs(gaps - least.now_mm).argmin())
    named = {tuned.best, today} if today <= last else {tuned.best}
    spread = range(0, last + 1, step)
    return sorted(named.union(p for p in spread if all(2 * abs(p - q) > step for q in named)))


def _strangers(lesson: Lesson) -> str:
    """That no casting was of the job's resin; empty where one was, or where there is none."""
    tuned, resin = lesson.taught.tuned, lesson.job.resin
    used = () if tuned is None else tuned.rows.used
    own = resin.card or resin.title
    if not used or any(casting.resin == own for casting in used):
        return ""
    return (
        f"None of these castings was of {own}: they count by how much wider they were than air"
        " asked of their own resin, and say nothing of how right this one's data sheet is."
    )


def _job_gap(lesson: Lesson, length: Callable[[float], str]) -> str:
    gap, taught = lesson.gap, lesson.taught
    if gap.gap_mm is None:
        conflict = in_both(gap.conflict or "", inches=lesson.job.unit == "in")
        return f"No gap meets every rule. {conflict}"
    if taught.written:
        return f"You wrote the gap of {length(gap.gap_mm)}, and castings leave it as it is."
    now = taught.answer.gap.gap_mm
    if not taught.loaded.learned.air_shift or gap.gap_mm == now:
        return f"The gap of the job is {length(gap.gap_mm)}, set by {gap.set_by}."
    was = "" if now is None else f" in the place of {length(now)}"
    return f"The gap of the job is {length(gap.gap_mm)} now{was}, set by {gap.set_by}."


def _good(lesson: Lesson, length: Callable[[float], str]) -> str:
    taught, order = lesson.taught, lesson.job.order
    noted = taught.noted
    if taught.good is None or not noted:
        return f"Yield: {percent(order.yield_)}, as the job has it; no casting has a result yet."
    good = taught.good
    told = (
        f"Yield: {percent(good.mean)} come good by your own {count(noted, 'casting')}"
        f"{_seen(lesson, length)}, eight times in ten {percent(good.low)} to {percent(good.high)}"
    )
    if taught.loaded.learned.yield_ is None:
        return (
            f"{told}; you wrote {percent(order.yield_)}, which stands. Leave [order] yield out, and"
            " the log tells it."
        )
    return (
        f"{told}; without them it was {percent(order.yield_)}.{_fills(lesson)}"
        f"{_not_at(lesson, length)}"
    )


def _seen(lesson: Lesson, length: Callable[[float], str]) -> str:
    """At which gaps, a clause; empty where the job's is among them."""
    at_mm = lesson.taught.seen_gap_mm
    return "" if at_mm is None else f", whose gaps count here as around {length(at_mm)}"


def _not_at(lesson: Lesson, length: Callable[[float], str]) -> str:
    """That a learned yield was seen at other gaps than the job's, a sentence; empty where not."""
    gap_mm = lesson.gap.gap_mm
    if lesson.taught.seen_gap_mm is None or gap_mm is None:
        return ""
    return f" They say little of the yield at the job's {length(gap_mm)}."


def _fills(lesson: Lesson) -> str:
    """Castings that are filled, as a sentence; empty where castings say nothing of them."""
    found, believed = lesson.taught.loaded.learned.fills, lesson.job.order.fills
    if found is None:
        return ""
    return f" Filled and turned again: {percent(found)}; without them it was {percent(believed)}."


def _loss(lesson: Lesson) -> str:
    taught, believed = lesson.taught, lesson.job.resin.loss
    if not taught.loss.loads:
        return (
            f"Resin lost: {percent(believed)}, as the job has it; no load of this job was weighed."
        )
    told = (
        f"Resin lost: {percent(taught.loss.share)} by your own"
        f" {count(taught.loss.loads, 'weighed load')}"
    )
    if taught.loaded.learned.loss is None:
        return (
            f"{told}; you wrote {percent(believed)}, which stands. Leave [resin] loss out, and the"
            " log tells it."
        )
    return f"{told}; without them it was {percent(believed)}."


def _basis(lesson: Lesson) -> Iterator[str]:
    costs, tuned = lesson.taught.costs, lesson.taught.tuned
    yield f"Castings: {lesson.file}."
    if costs is None or tuned is None:
        return
    for name, price in (("Resin", costs.resin), ("Plastic", costs.plastic)):
        yield f"{name}: {price.says}{'' if price.given else ', which is belief'}."
    least = tuned.least
    yield (
        f"A good piece costs {least.cost_per_good:.2f} up to the lathe, {least.now_cost:.2f} at the"
        f" gap of now; {percent(tuned.scrap.mean)} of castings with a void are lost; a repair"
        f" takes {tuned.rework_min:.1f} min of hands. Set-ups, the order and finishing are the same"
        " at every gap and left out."
    )


def _say_trial(lesson: Lesson, length: Callable[[float], str]) -> None:
    trial, tuned = lesson.trial, lesson.taught.tuned
    if tuned is None:
        return
    say()
    if trial is None:
        say_wrapped(no_trial_sentence(tuned))
        return
    look_first = bool(against_physics(tuned))
    say_wrapped(trial_sentence(trial.found, look_first=look_first, length=length))
    if trial.make:
        say(f"    {trial.make}")
        say("After its pour, with --shop and --close as they were:")
        say(f"    {trial.pour}")
