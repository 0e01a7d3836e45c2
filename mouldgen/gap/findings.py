"""What a maker should look at, or must fix, about the gap."""

from __future__ import annotations

import math
from collections.abc import Iterator
from typing import TYPE_CHECKING

from mouldgen.finding import Bound, Finding, Severity, worst_first
from mouldgen.gap.aging import at_shop
from mouldgen.gap.air import smallest_free_bubble_mm
from mouldgen.gap.budget import GIVEN, Gap
from mouldgen.gap.choice import sentence
from mouldgen.gap.feed import least_runner_mm
from mouldgen.gap.heat import SOFTENS_LESS_K, hot_at, resin_limit_c, softens_c
from mouldgen.gap.sequence import BOTTOM_FEED
from mouldgen.gap.words import gap_mm, hours, least_mm, mm
from mouldgen.size.question import FUNNEL_MM

if TYPE_CHECKING:
    from mouldgen.gap.question import GapQuestion
    from mouldgen.size.runner import Runner

_SLACK_MM = 1e-6
_FAR_TIMES = 3.0  # as far as castings move air without a word of caution; belief
_WISHES = ("cover", "heat", "depth", "budget")  # bands and wishes: a blank can be cast anyway


def findings_of(gap: Gap, question: GapQuestion) -> tuple[Finding, ...]:
    """Every finding about a gap, the worst first; lengths in mm."""
    found: list[Finding] = []
    if gap.conflict is not None:
        found.append(Finding("gap.conflict", "gap", "stop", gap.conflict, place="gap"))
    elif gap.set_by == GIVEN:
        found += _of_given(gap)
    else:
        found += _of_habit(gap, question)
        found += _of_castings(gap, question)
    if gap.gap_mm is not None:
        found += _of_sequence(gap, gap.gap_mm, question)
        found += _of_heat(gap, gap.gap_mm, question)
    found += _of_small_bubbles(question)
    return worst_first(found)


def _of_heat(gap: Gap, gap_: float, question: GapQuestion) -> Iterator[Finding]:
    """The hot end of what is believed, where the likely middle has nothing to say."""
    likely = next((b for b in gap.bounds if b.rule == "heat"), None)
    if likely is None or likely.value_mm is None or gap_ > likely.value_mm:
        return
    if hot_at(question, gap_):
        wall = softens_c(question) - SOFTENS_LESS_K
        what = "One pour at a gap" if question.sizes.lies else "The ring"
        message = (
            f"{what} of {gap_mm(gap_)} may run hot: with every doubt taken at its hot end the"
            f" wall passes {wall:g} degC or the resin {resin_limit_c(question.resin):g} degC. Look"
            " at mouldgen heat; cast one mould first, in a cool shop."
        )
        yield Finding("gap.hot", "heat", "warn", message, gap_, None, "gap")


def _of_given(gap: Gap) -> Iterator[Finding]:
    """The maker's own gap against every rule."""
    asked = gap.gap_mm
    if asked is None:
        return
    if asked < gap.take_up_mm - _SLACK_MM:
        message = (
            f"A gap of {gap_mm(asked)} is less than the {gap_mm(gap.take_up_mm)} that the thickest"
            " insert and the printer take up: that insert will not enter the mould."
        )
        yield Finding("gap.take-up", "slide", "stop", message, asked, gap.take_up_mm, "[mould] gap")
    for bound in gap.bounds:
        finding = _of_given_bound(asked, bound)
        if finding is not None:
            yield finding


def _of_given_bound(asked: float, bound: Bound) -> Finding | None:
    if bound.kind == "advice":
        return None
    name, limit = f"gap.{bound.rule}", bound.value_mm
    if limit is None:
        stops: Severity = "warn" if bound.rule in _WISHES else "stop"
        helps = f" What would help: {'; or '.join(bound.relax)}." if bound.relax else ""
        message = f"{sentence(bound.why)}{helps}"
        return Finding(name, bound.rule, stops, message, asked, None, "[mould] gap")
    if bound.kind == "at_least" and asked < limit - _SLACK_MM:
        message = (
            f"Your gap of {gap_mm(asked)} is under the {least_mm(limit)} of the {bound.rule} rule:"
            f" {bound.why}."
        )
        return Finding(name, bound.rule, "warn", message, asked, limit, "[mould] gap")
    if bound.kind == "at_most" and asked > limit + _SLACK_MM:
        # What goes into no pot cannot be cast; the others are bands and wishes.
        severity: Severity = "stop" if bound.rule == "fits" else "warn"
        message = f"Your gap of {gap_mm(asked)} is too wide: {bound.why}."
        return Finding(name, bound.rule, severity, message, asked, limit, "[mould] gap")
    return None


def _of_habit(gap: Gap, question: GapQuestion) -> Iterator[Finding]:
    """A reckoned gap that is narrower than the trade's, with no castings to back it."""
    if gap.gap_mm is None or question.learned.castings:
        return
    for bound in gap.bounds:
        if bound.rule == "habit" and bound.value_mm is not None and gap.gap_mm < bound.value_mm:
            message = (
                f"The reckoned gap of {gap_mm(gap.gap_mm)} is narrower than usual:"
                f" {bound.why}. No casting backs it yet; cast one mould first and log it."
            )
            yield Finding(
                "gap.habit", bound.rule, "warn", message, gap.gap_mm, bound.value_mm, "gap"
            )


def _of_castings(gap: Gap, question: GapQuestion) -> Iterator[Finding]:
    """A gap that castings move, which moulds that are printed already must not follow."""
    if gap.gap_mm is None or gap.set_by != "air" or not question.learned.air_shift:
        return
    times = math.exp(question.learned.air_shift)
    far = (
        f" It leaves {times:.1f} times what the air rule alone asks for: cast one mould first and"
        " log it."
        if not 1.0 / _FAR_TIMES < times < _FAR_TIMES
        else ""
    )
    message = (
        f"Your castings move this gap, and those to come will move it again. Once the moulds are"
        f' printed, hold it: [mould] gap = "{gap.gap_mm:.2f} mm".{far}'
    )
    yield Finding("gap.learned", "air", "note", message, gap.gap_mm, None, "[mould] gap")


def _of_sequence(gap: Gap, gap_mm_: float, question: GapQuestion) -> Iterator[Finding]:
    """Resin on top that may bridge, and a runner that the mould is drawn without."""
    for bound in gap.bounds:
        limit = bound.value_mm
        if bound.rule == "sequence" and limit is not None and gap_mm_ < limit < math.inf:
            yield Finding(
                "gap.sequence", "sequence", "warn", sentence(bound.why), gap_mm_, limit, "[pour]"
            )
    if question.pour.layers > 1:
        yield _of_layers(question)
    if gap.sequence == BOTTOM_FEED:
        wide = least_runner_mm(question, gap_mm_)
        if math.isfinite(wide):
            yield _of_runner(wide, question.size(gap_mm_).runner, question)


def _of_runner(wide: float, runner: Runner | None, question: GapQuestion) -> Finding:
    """Fed from the bottom: through the runner that is drawn, or one that is still missing."""
    needs = (
        f"Fed from the bottom, the resin needs a runner at least {wide:.1f} mm wide inside, with"
        f" its funnel {FUNNEL_MM:g} mm over the rim"
    )
    if runner is None:
        ask = ""
        if question.pour.sequence != BOTTOM_FEED:
            ask = '; write [pour] sequence = "bottom-feed" and it is drawn'
        message = f"{needs}; the mould is drawn without one{ask}."
        return Finding("gap.runner", "feed", "warn", message, limit=wide, place="[pour]")
    drawn = 2.0 * runner.radius_mm
    message = f"{needs}. It is drawn {mm(drawn)} wide: fill the funnel and keep it full."
    if drawn >= wide:
        return Finding("gap.runner", "feed", "note", message, drawn, wide, "[pour]")
    message = f"{needs}. No wider one than {mm(drawn)} is drawn: warm the resin, or close later."
    return Finding("gap.runner", "feed", "warn", message, drawn, wide, "[pour]")


def _of_layers(question: GapQuestion) -> Finding:
    window = question.resin.recoat
    when = (
        f"between {hours(window[0])} and {hours(window[1])} after the last was mixed"
        if window
        else "once the last has set and while it still bonds, as the data sheet says"
    )
    message = (
        f"The mould is filled in {question.pour.layers} layers of {mm(question.layer_mm)}, each"
        f" mixed anew; pour the next {when}."
    )
    return Finding("gap.layers", "sequence", "note", message, place="[pour] layers")


def _of_small_bubbles(question: GapQuestion) -> Iterator[Finding]:
    """The free bubbles that stay in at any gap, for the pot to shrink."""
    resin = at_shop(question.resin, question.pour)
    if resin.gelled:
        return
    height = question.layer_mm
    smallest = smallest_free_bubble_mm(height, resin)
    message = (
        f"Loose bubbles under {gap_mm(smallest)} do not climb {mm(height)} before the gel, whatever"
        " the gap; only pressure makes them small."
    )
    yield Finding("gap.bubbles", "air", "note", message, limit=smallest, place="resin")
