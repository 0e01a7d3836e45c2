"""What castings say of the gap, in a maker's words."""

from __future__ import annotations

import math
from collections.abc import Callable
from typing import TYPE_CHECKING

from mouldgen.gap.words import gap_mm

if TYPE_CHECKING:
    from mouldgen.castings.next_trial import Trial
    from mouldgen.castings.tune import Tuned

Length = Callable[[float], str]

_SAME_MM = 0.025  # two gaps that are told as one
_WIDE = 1.4  # upper end of a range over its lower one, from which it is called wide
_MANY = 1.0 / 3.0  # castings with a void at the best gap, from which that is told
_FAR = math.log(10.0)  # of ln(gap): beyond it, how far is no more than a guess
_UNLIKE = 1.5  # as much more than chance, from which it is said that loads differ


def first_sentence(tuned: Tuned, *, length: Length = gap_mm) -> str:
    """The answer: what the last loads showed, the gap of least cost, and what it takes and saves.

    tuned : what castings say of a job's gap.
    length : writes a gap as the reader thinks of it [mm].
    """
    least, recent = tuned.least, tuned.recent
    best = f"a good piece costs least at a gap of {length(least.gap_mm)}"
    if not tuned.castings:
        return (
            "No castings are logged yet, so there is only the physics, which asks for"
            f" {length(least.now_mm)}; by what is believed of voids"
            f" {best}{_against(tuned, length)}."
        )
    where = "the last load" if recent.loads == 1 else f"the last {recent.loads} loads"
    if recent.loads == tuned.loads:
        where = {1: "the only load", 2: "both loads"}.get(tuned.loads, f"all {tuned.loads} loads")
    had = f"{_voids(recent.voids)} of {_count(recent.castings, 'casting')} of {where} had voids"
    if recent.castings == 1:
        had = f"The one casting of {where} had {'a void' if recent.voids else 'no void'}"
    if no_answer(tuned):
        why = "no gap is known to cure" if tuned.hopeless else "speaks against the physics"
        return f"{had}, which {why}; until it is known why, the gap stays {length(least.now_mm)}."
    return f"{had}; {best}{_against(tuned, length)}."


def further_sentences(tuned: Tuned, *, length: Length = gap_mm) -> tuple[str, ...]:
    """What belongs to the answer: its range, what the job does, what speaks against the physics.

    tuned : what castings say of a job's gap.
    length : writes a gap as the reader thinks of it [mm].
    """
    of_the_gap = (
        _range(tuned, length),
        _end(tuned),
        _filled(tuned),
        _trust(tuned),
        _surer(tuned, length),
        _one_gap(tuned),
    )
    said = (
        *(() if no_answer(tuned) else of_the_gap),
        _luck(tuned),
        against_physics(tuned),
        _columns(tuned),
        _left_out(tuned),
    )
    return tuple(filter(None, said))


def against_physics(tuned: Tuned) -> str:
    """Whether the castings speak against the physics, and where to look; empty where not.

    tuned : what castings say of a job's gap.
    """
    shift = tuned.shift
    times = math.exp(min(max(shift.middle, -_FAR), _FAR))
    more = "more than " if shift.middle > _FAR else ""
    less = "less than" if shift.middle < -_FAR else "only"
    match shift.contradicts if tuned.castings else "":
        case "slope":
            return (
                f"Your castings speak against the physics: the chance is"
                f" {_percent(shift.wrong_way)} that a wider gap has more voids. Look for voids that"
                " are not shut-in air: damp wood, a mix that foams, a cold mould."
            )
        case "above":
            return (
                f"Your castings speak against the physics: they have voids as if air asked for"
                f" {more}{times:.1f} times the rule's gap, outside of 95 % of what was thought"
                " possible. Check the resin's viscosity and gel time, the minutes to closing and"
                " the inserts' size."
            )
        case "below":
            return (
                f"Your castings speak against the physics: they have voids as if air asked for"
                f" {less} {times:.1f} times the rule's gap, outside of 95 % of what was thought"
                " possible. Check the resin's viscosity and gel time, and whether small voids were"
                " logged."
            )
        case _:
            return ""


def trial_sentence(trial: Trial, *, look_first: bool = False, length: Length = gap_mm) -> str:
    """The trial that is worth most, or that none is, with the sum.

    trial : as `next_trial` found it.
    look_first : whether castings speak against the physics, which is to be looked at before.
    length : writes a gap as the reader thinks of it [mm].
    """
    if not trial.worth_it and trial.best is None:
        return "There is no trial to cast: the other rules leave one gap."
    told = trial if trial.worth_it else trial.best or trial
    gaps = [length(gap) for gap in told.gaps_mm]
    cast = f"{told.each} castings each at {', '.join(gaps[:-1])} and {gaps[-1]}"
    less = " with its good pieces sold" if told.sold else ""
    paid = f"costs {told.costs:.2f}{less}" if told.costs >= 0.0 else f"costs nothing{less}"
    saves = f"is expected to save {told.saves:.2f} over {told.pieces} good pieces"
    if trial.worth_it:
        worth = "Once that is checked, worth a trial" if look_first else "Worth a trial"
        return f"{worth}: {cast}; it {paid} and {saves}."
    return f"No trial is worth it: the best one, {cast}, {paid} and {saves}."


def no_trial_sentence(tuned: Tuned) -> str:
    """That no trial of gaps is told, where none is known to help; empty where one is.

    tuned : what castings say of a job's gap.
    """
    if not no_answer(tuned):
        return ""
    return "No trial of other gaps is told: find out first where the voids come from."


def no_answer(tuned: Tuned) -> bool:
    """Whether the gap of least cost is not worth telling."""
    return tuned.castings > 0 and (tuned.hopeless or tuned.shift.doubted)


def _against(tuned: Tuned, length: Length) -> str:
    """What the gap of least cost takes and saves against the gap of today."""
    least = tuned.least
    if abs(least.gap_mm - least.now_mm) < _SAME_MM:
        return ", which it has today"
    resin = _more(least.resin_ml_more, "ml", "resin")
    if least.minutes_less >= 0.05:
        time = f"saves {least.minutes_less:.1f} min of repair"
    elif least.minutes_less <= -0.05:
        time = f"{-least.minutes_less:.1f} min more repair"
    else:
        time = (
            "no repair to speak of" if least.minutes_less < 0.0 else "saves no repair to speak of"
        )
    return f": against {length(least.now_mm)} each casting takes {resin} and {time}"


def _more(amount: float, unit: str, of: str) -> str:
    return f"{abs(amount):.1f} {unit} {'more' if amount >= 0.0 else 'less'} {of}"


def _range(tuned: Tuned, length: Length) -> str:
    least = tuned.least
    if least.high_mm - least.low_mm < _SAME_MM:
        if least.at_least or least.at_most:
            return ""
        return f"It is known to a step: {length(least.low_mm)} eight times in ten and more."
    told = f"Eight times in ten it lies between {length(least.low_mm)} and {length(least.high_mm)}"
    taken = tuned.job.taken_mm
    wide = (least.high_mm - taken) / (least.low_mm - taken) > _WIDE
    if not wide:
        return f"{told}."
    if not tuned.castings:
        return f"{told}: a wide range, since it is belief."
    return f"{told}: a wide range, since {_count(tuned.castings, 'casting')} cannot say more."


def _end(tuned: Tuned) -> str:
    if tuned.least.at_least:
        return "It is the narrowest gap that the other rules leave."
    if tuned.least.at_most:
        return "It is the widest gap that the other rules leave."
    return ""


def _filled(tuned: Tuned) -> str:
    if tuned.left_over < _MANY or not tuned.castings:
        return ""
    return (
        f"There {_percent(tuned.left_over)} of castings are expected to have a void: by the job's"
        " costs and yours, filling them is cheaper than the resin of a wider gap."
    )


def _trust(tuned: Tuned) -> str:
    from mouldgen.castings.tune import FULLY, LEAST_CASTINGS, LEAST_LOADS

    if tuned.trust >= 1.0:
        return ""
    if tuned.trust > 0.0:
        goes = f"The job's gap goes {_percent(tuned.trust)} of the way there"
        if tuned.castings < FULLY:
            return f"{goes}, from {FULLY} castings on all the way."
        return (
            f"{goes}, since it is not sure that a wider gap has fewer voids. Where it seems to have"
            " more, its cost is reckoned with as many: no gap is narrowed to be rid of voids."
        )
    return (
        f"The job's gap stays that of the physics until {LEAST_CASTINGS} castings of"
        f" {LEAST_LOADS} loads have a result."
    )


def _surer(tuned: Tuned, length: Length) -> str:
    found = tuned.surer
    if tuned.least.high_mm - tuned.least.low_mm < 2.0 * _SAME_MM:
        return ""
    if found.castings is None:
        return f"To halve the range takes more than {found.tried} more castings at any one gap."
    return (
        f"About {found.castings} more castings, best at {length(found.gap_mm)}, would halve the"
        " range."
    )


def _one_gap(tuned: Tuned) -> str:
    if not tuned.castings or tuned.shift.seen:
        return ""
    return "All were cast at one gap for their resin, so what another gap saves is belief."


def _luck(tuned: Tuned) -> str:
    ratio = tuned.luck.ratio
    if ratio is None or ratio < _UNLIKE:
        return ""
    return (
        f"Loads differ {ratio:.1f} times as much as chance has it, and the ranges allow for that;"
        " look for what the bad ones shared."
    )


def _columns(tuned: Tuned) -> str:
    return f"Told apart beside the gap: {', '.join(tuned.columns)}." if tuned.columns else ""


def _left_out(tuned: Tuned) -> str:
    out = tuned.rows.left_out
    if not out:
        return ""
    verb = "says" if out == 1 else "say"
    return (
        f"{_count(out, 'casting')} {verb} nothing of the gap, which was closed, or whose resin had"
        " gelled before it was shut."
    )


def _count(number: int, noun: str) -> str:
    return f"{number} {noun}{'' if number == 1 else 's'}"


def _voids(number: int) -> str:
    return "None" if number == 0 else str(number)


def _percent(share: float) -> str:
    return f"{100.0 * share:.0f} %"
