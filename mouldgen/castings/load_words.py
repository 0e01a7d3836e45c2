"""A load and what was found on it in a maker's words."""

from __future__ import annotations

from collections.abc import Sequence

from mouldgen.castings.records import Casting, Load, Outcome
from mouldgen.units import in_inches

_SAME_MM = 0.006  # a size that a ruler's fraction says exactly, as it was told
_OUTCOMES: tuple[Outcome, ...] = ("good", "repaired", "scrapped")


def load_words(load: Load) -> str:
    """Which load it is: ``Load 12: boathouse-pegs:2, castings 5-11``."""
    numbers = listed([casting.number for casting in load.castings])
    some = "casting" if len(load.castings) == 1 else "castings"
    return f"Load {load.id}: {load.job}:{load.number}, {some} {numbers}"


def found_words(load: Load, *, inches: bool = False) -> str:
    """What was found, in one clause: ``voids in 3 and 7; 3 repaired, 7 scrapped, 5 good``.

    inches : whether the job is in inches.
    """
    told = [casting for casting in load.castings if casting.result is not None]
    if not told:
        return "open"
    outcomes = (_outcome(told, one, of=len(load.castings)) for one in _OUTCOMES)
    parts = [_voids(told, inches=inches), ", ".join(filter(None, outcomes))]
    minutes = sum(casting.result.rework_min for casting in told if casting.result is not None)
    if minutes:
        parts.append(f"{round(minutes, 1):g} min of rework")
    still = [casting.number for casting in load.castings if casting.result is None]
    if still:
        parts.append(f"{listed(still)} still open")
    return "; ".join(parts)


def listed(numbers: Sequence[int]) -> str:
    """``1-4, 6 and 9``: three or more that follow one another as a run.

    numbers : at least one.
    """
    runs: list[list[int]] = []
    for number in sorted(numbers):
        if runs and number == runs[-1][-1] + 1:
            runs[-1].append(number)
        else:
            runs.append([number])
    told: list[str] = []
    for run in runs:
        told += [f"{run[0]}-{run[-1]}"] if len(run) > 2 else map(str, run)
    return told[0] if len(told) == 1 else f"{', '.join(told[:-1])} and {told[-1]}"


def size_words(worst_mm: float, *, inches: bool = False) -> str:
    """The size of a void [mm], with inches beside it where the job is in inches."""
    told = f"{round(worst_mm, 1):g} mm"
    if not inches:
        return told
    ruler = in_inches(worst_mm)
    exact = abs(ruler.residual_mm) <= _SAME_MM and worst_mm > _SAME_MM
    return f"{told} ({ruler.text if exact else f'{worst_mm / 25.4:.3f} in'})"


def _voids(told: Sequence[Casting], *, inches: bool) -> str:
    found = [(casting.number, casting.result) for casting in told if casting.result is not None]
    numbers = [number for number, result in found if result.voids]
    if not numbers:
        return "no voids"
    more = [
        f"{number}: {', '.join(filter(None, (_size(result.worst_mm, inches), result.place)))}"
        for number, result in found
        if result.worst_mm is not None or result.place
    ]
    return f"voids in {listed(numbers)}" + (f" ({'; '.join(more)})" if more else "")


def _size(worst_mm: float | None, inches: bool) -> str:
    return "" if worst_mm is None else size_words(worst_mm, inches=inches)


def _outcome(told: Sequence[Casting], outcome: Outcome, *, of: int) -> str:
    numbers = [
        casting.number
        for casting in told
        if casting.result is not None and casting.result.outcome == outcome
    ]
    if not numbers:
        return ""
    return f"all {outcome}" if len(numbers) == of > 1 else f"{listed(numbers)} {outcome}"
