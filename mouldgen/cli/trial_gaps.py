"""``--gaps``: a list such as ``0.6,0.9,1.2`` or a range such as ``0.6..1.4``, in mm.

And the other way round: the lines that ask for a trial and write its pour down.
"""

from __future__ import annotations

import shlex
from collections.abc import Sequence
from pathlib import Path

from mouldgen import units
from mouldgen.cli.sweep_range import unit_of
from mouldgen.errors import UnitError, UsageError
from mouldgen.job.words import printable

ALLOWED = "a list such as 0.6,0.9,1.2, or a range such as 0.6..1.4"
STEPS = 5
MOST = 26  # letters from A to Z
AROUND = 0.4  # of the job's own gap, to either side
_WHERE = "--gaps"


def read_gaps(text: str, *, steps: int | None, unit: str | None) -> tuple[float, ...]:
    """The gaps as they were typed, rising [mm].

    A range is divided to hundredths, which is what the moulds are lettered with.

    text : a unit written once, with the last gap, goes for all.
    steps : how many gaps of a range; `STEPS` where None.
    unit : of the job's bare lengths, or None.

    Raises UsageError and UnitError.
    """
    if ".." in text:
        ends = [_written(end) for end in text.split("..", 1)]
        low, high = _lengths(ends, unit)
        if high <= low:
            raise UsageError(
                "the range does not go up",
                where=_WHERE,
                allowed="from the smaller gap to the larger",
            )
        return _checked(spread(low, high, steps=steps or STEPS))
    if steps is not None:
        raise UsageError(
            "--steps does not go with a list of gaps", allowed="--gaps 0.6..1.4 --steps 5"
        )
    return _checked(sorted(_lengths([_written(one) for one in text.split(",")], unit)))


def spread(low_mm: float, high_mm: float, *, steps: int) -> tuple[float, ...]:
    """Evenly spread gaps, each to a hundredth [mm].

    low_mm, high_mm : the two ends [mm].
    steps : how many, at least 2.
    """
    return tuple(round(low_mm + i * (high_mm - low_mm) / (steps - 1), 2) for i in range(steps))


def around(gap_mm: float, *, steps: int | None) -> tuple[float, ...]:
    """A ladder with the job's own gap in the middle [mm].

    gap_mm : the job's [mm].
    steps : how many rungs, an odd number so that one is the job's own; `STEPS` where None.

    Raises UsageError.
    """
    count = steps or STEPS
    if count % 2 == 0:
        raise UsageError(
            f"a ladder of {count} rungs has none in the middle",
            where="--steps",
            allowed="an odd number with --around",
        )
    return _checked(spread((1.0 - AROUND) * gap_mm, (1.0 + AROUND) * gap_mm, steps=count))


def _written(text: str) -> str:
    if not text.strip():
        raise UsageError("a gap is missing", where=_WHERE, allowed=ALLOWED)
    return text.strip()


def _lengths(texts: Sequence[str], unit: str | None) -> list[float]:
    try:
        for text in texts:  # each by itself first: what is no length must not lend its unit
            units.length(text, default="mm")
        common = unit_of(texts[-1]) or unit
        return [units.length(text, default=common) for text in texts]
    except UnitError as problem:
        raise problem.at(_WHERE) from None


def _checked(gaps: Sequence[float]) -> tuple[float, ...]:
    if len(gaps) > MOST:
        raise UsageError(
            f"{len(gaps)} gaps are more than there are letters",
            where=_WHERE,
            allowed=f"up to {MOST}",
        )
    lettered = [f"{gap:.2f}" for gap in gaps]
    for text, gap in zip(lettered, gaps, strict=True):
        if gap <= 0.0:
            raise UsageError(
                f"a gap of {printable(f'{gap:g}')} mm is none", where=_WHERE, allowed="above 0 mm"
            )
        if lettered.count(text) > 1:
            raise UsageError(
                f"two gaps would both be lettered {text} mm",
                where=_WHERE,
                allowed="gaps that differ by 0.01 mm or more",
            )
    return tuple(gaps)


def trial_line(job: str, gaps_mm: Sequence[float], *, each: int, sets: Sequence[str] = ()) -> str:
    """The line that makes the moulds of a trial.

    job : as it was asked for.
    gaps_mm : rising [mm].
    each : moulds of every gap.
    sets : settings of the job.
    """
    gaps = ",".join(f"{gap:.2f}" for gap in gaps_mm)
    often = [] if each == 1 else ["--each", str(each)]
    words = ["mouldgen", "trial", job, "--gaps", f"{gaps}mm", *often, *_settings(sets)]
    return shlex.join(words)


def log_line(
    job: str,
    gaps_mm: Sequence[float],
    *,
    name: str,
    each: int,
    sets: Sequence[str] = (),
    castings: Path | None = None,
) -> str:
    """The line that writes the pour of a trial down, its castings numbered from the narrowest on.

    It goes under a name of its own, so that the loads of the job keep their numbers.

    job, gaps_mm, each, sets : as `trial_line` takes them.
    name : of the job.
    castings : the file, where it was named.
    """
    words = ["mouldgen", "log", "pour", f"{job}:1", "--moulds", _numbers(1, each * len(gaps_mm))]
    for place, gap in enumerate(gaps_mm):
        words += ["--gap", f"{_numbers(each * place + 1, each * (place + 1))}={gap:.2f}mm"]
    file = [] if castings is None else ["--castings", str(castings)]
    return shlex.join([*words, *_settings([*sets, f"name={name}-trial"]), *file])


def _numbers(first: int, last: int) -> str:
    return str(first) if first == last else f"{first}-{last}"


def _settings(sets: Sequence[str]) -> list[str]:
    return [word for setting in sets for word in ("--set", setting)]
