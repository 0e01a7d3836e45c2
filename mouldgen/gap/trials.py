"""The changes that are tried in a conflict, a kind a function, the smallest change first."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace
from functools import partial
from typing import TYPE_CHECKING, TypeVar

from mouldgen.errors import PresetError
from mouldgen.gap.aging import at_shop
from mouldgen.gap.changes import Change, changed
from mouldgen.gap.cost import resin_cost
from mouldgen.gap.cover import least_piece_mm, narrowest_mm
from mouldgen.gap.rules import gap_of
from mouldgen.gap.sequence import BOTTOM_FEED, RESIN_FIRST
from mouldgen.gap.shut_in import INSERT_FIRST
from mouldgen.gap.slide import slide_mm
from mouldgen.gap.take_up import take_up
from mouldgen.gap.words import minutes, mm
from mouldgen.job.changes import from_card, to_card
from mouldgen.job.material_tables import Plastic, Resin
from mouldgen.job.presets import names

if TYPE_CHECKING:
    from mouldgen.gap.question import GapQuestion

SOONER_STEPS = 60
STEP_S, SHORT_STEP_S, SHORT_CLOSE_S = 120.0, 60.0, 600.0
SLOWER = ((2, "twice"), (3, "three times"), (4, "four times"))
OTHER_SHOP_K = (4.0, 8.0)
COOLEST_SHOP = 15.0  # degC; resins mix and cure badly below
WARMEST_SHOP = 30.0  # degC
SMALLER_BATCHES = (2.0, 4.0, 8.0)
MORE_GROOVES = (3, 6)
MOST_GROOVES = 12
_ENDLESS_MM = 2_000.0  # more than any; a split mould is no wider than 57 heights, its floor leans
_FEW = 4  # steps where two changes are tried together


@dataclass(frozen=True, eq=False)
class Trial:
    """One change, or several that go together.

    text : what to do.
    changes : the settings of the job that it stands for.
    """

    text: str
    changes: tuple[Change, ...]


T = TypeVar("T", Resin, Plastic)


def _close_sooner(question: GapQuestion, *, steps: int = SOONER_STEPS) -> Iterator[Trial]:
    pour = question.pour
    step = STEP_S if pour.close > SHORT_CLOSE_S else SHORT_STEP_S
    skip = 1 if steps == SOONER_STEPS else math.ceil((pour.close - pour.mix) / step / steps)
    for number in range(1, steps + 1):
        close = round((pour.close - number * skip * step) / 60.0, 2)
        if 60.0 * close <= pour.mix:
            return
        text = f"close the mould {minutes(pour.close - 60.0 * close)} sooner,"
        text += f" {minutes(60.0 * close)} after mixing starts"
        yield Trial(text, (("pour.close", f"{close:.10g} min"),))


def _slower_hardener(question: GapQuestion) -> Iterator[Trial]:
    for times, words in SLOWER:
        gel = round(times * question.resin.gel / 60.0, 2)
        if gel == 0.0:  # a resin that is hard at once
            continue
        text = f"take a slower hardener: the same resin with {words} the gel time,"
        yield Trial(f"{text} {minutes(60.0 * gel)}", (("resin.gel", f"{gel:.10g} min"),))


def _other_resin(question: GapQuestion, *, card: str) -> Iterator[Trial]:
    other = _card(Resin, card)
    priced = question.resin_budget is None or (other is not None and other.price is not None)
    if other is not None and priced and card != question.resin.card:
        changes = to_card("resin", card)
        yield Trial(f"take another resin: {other.title or card}", changes)


def _cooler_shop(question: GapQuestion) -> Iterator[Trial]:
    for step in OTHER_SHOP_K:
        shop = question.pour.shop - step
        if shop >= COOLEST_SHOP:
            yield Trial(
                f"cool the shop and the resin to {shop:.3g} degC", (("pour.shop", f"{shop:g} C"),)
            )


def _warmer_shop(question: GapQuestion) -> Iterator[Trial]:
    for step in OTHER_SHOP_K:
        shop = question.pour.shop + step
        if shop <= WARMEST_SHOP:
            yield Trial(
                f"warm the shop and the resin to {shop:.3g} degC", (("pour.shop", f"{shop:g} C"),)
            )


def _smaller_batch(question: GapQuestion) -> Iterator[Trial]:
    """Down to what one mould takes in one pour."""
    now = question.resin.gel_mass if question.pour.batch is None else question.pour.batch
    size = question.mould_size(max(slide_mm(question, take_up(question)), 0.01))
    density = at_shop(question.resin, question.pour).density_kg_m3 / 1000.0
    one_g = size.blanks * (size.net_ml + size.riser_ml) * density * (1.0 + question.resin.loss)
    for parts in SMALLER_BATCHES:
        batch = math.floor(now / parts)
        if batch >= one_g / question.pour.layers:
            yield Trial(f"mix no more than {batch} g at once", (("pour.batch", f"{batch} g"),))


def _measure_all(question: GapQuestion) -> Iterator[Trial]:
    # Readings of a whole bundle are not used: see `job.shapes`.
    if take_up(question).all_measured or question.insert.shape == "bundle":
        return
    insert = question.insert
    largest = max(insert.measured_mm, default=2.0 * insert.envelope_mm) / insert.reading_scale
    reading = math.ceil(100.0 * largest - 1e-6) / 100.0
    readings = ", ".join([f'"{reading:.10g} mm"'] * question.moulds)
    text = f"measure all {question.moulds} inserts: enough if none is over {mm(reading)}"
    yield Trial(text, (("insert.measured", f"[{readings}]"),))


def _push_longer(question: GapQuestion) -> Iterator[Trial]:
    if question.pour.sequence in ("auto", RESIN_FIRST):
        time = f"{2.0 * question.pour.push_time:.10g} s"
        yield Trial(f"push for {time}", (("pour.push_time", time),))


def _push_harder(question: GapQuestion) -> Iterator[Trial]:
    if question.pour.sequence in ("auto", RESIN_FIRST):
        force = f"{2.0 * question.pour.push:.10g} N"
        yield Trial(f"push with {force}", (("pour.push", force),))


def _more_grooves(question: GapQuestion) -> Iterator[Trial]:
    if question.sizes.family == "shell":
        return  # its wall has none
    for more in MORE_GROOVES:
        grooves = question.vent_grooves + more
        if grooves <= MOST_GROOVES:
            yield Trial(f"take {grooves} vent grooves", (("mould.vent_grooves", f"{grooves}"),))


def _layers(question: GapQuestion) -> Iterator[Trial]:
    if question.pour.layers == 1:
        half = mm(question.layer_mm / 2.0)
        text = f"fill the mould in two layers of {half}, the second once the first has set"
        yield Trial(text, (("pour.layers", "2"),))


def _other_sequence(question: GapQuestion, *, sequence: str) -> Iterator[Trial]:
    if sequence == BOTTOM_FEED and question.sizes.family in _NO_RUNNER:
        return
    if question.pour.sequence not in ("auto", sequence):
        yield Trial(_SEQUENCES[sequence], (("pour.sequence", sequence),))


_NO_RUNNER = ("block", "master", "shell", "tray")  # families that are made without one
_SEQUENCES = {
    RESIN_FIRST: "pour the resin in first and push the insert into it",
    BOTTOM_FEED: "feed the resin from the bottom",
    INSERT_FIRST: "put the insert in first and pour the resin on top",
}


def _other_plastic(question: GapQuestion) -> Iterator[Trial]:
    """From the one that stands least more heat upward."""
    if question.rubber is not None:
        return  # what the box is printed in makes the rubber no cooler
    cards = ((name, _card(Plastic, name)) for name in names("plastics"))
    hotter = [
        (card.softens, name, card.title)
        for name, card in cards
        if card is not None and card.softens > question.plastic.softens
    ]
    for softens, name, title in sorted(hotter):
        text = f"print in {title or name}, which softens at {softens:g} degC"
        yield Trial(text, to_card("plastic", name))


def _larger_pot(question: GapQuestion) -> Iterator[Trial]:
    pot = question.pot
    if pot is None:
        return
    gap = gap_of(replace(question, pot=None))
    if gap is not None:
        size = question.mould_size(gap)
        wide = math.ceil(max(pot.diameter, 2.0 * (size.across_mm + pot.margin)) - 1e-9)
        lost = pot.height - pot.usable_mm
        high = math.ceil(max(pot.usable_mm, size.stack_height_mm) + lost - 1e-9)
        needs = math.ceil(2.0 * (size.across_mm + pot.margin)), math.ceil(size.stack_height_mm)
        text = f"cast in a pot at least {needs[0]} mm wide and {needs[1]} mm high, or without one"
        yield Trial(text, (("pot.diameter", f"{wide} mm"), ("pot.height", f"{high} mm")))


def _larger_bed(question: GapQuestion) -> Iterator[Trial]:
    sides = ("diameter",) if question.printer.shape == "round" else ("width", "depth")
    endless = question.printer.model_copy(update=dict.fromkeys((*sides, "height"), _ENDLESS_MM))
    gap = gap_of(replace(question, printer=endless))
    if gap is not None:
        size, printer = question.mould_size(gap), question.printer
        wide = math.ceil(2.0 * (size.across_mm + printer.margin))
        high = math.ceil(max(size.body_height_mm, size.lid_height_mm))
        if size.lies_mm is not None:
            width, length, thick = size.lies_mm
            across = math.hypot(width, length) if printer.shape == "round" else max(width, length)
            wide = math.ceil(across + 2.0 * printer.margin)
            high = math.ceil(max(thick, size.lid_height_mm))
        text = f"print on a bed at least {wide} mm wide with {high} mm of height"
        larger = {side: max(wide, getattr(printer, side) or 0.0) for side in sides}
        larger["height"] = max(high, printer.height)
        yield Trial(text, tuple((f"printer.{k}", f"{v:.10g} mm") for k, v in larger.items()))


def _less_cover(question: GapQuestion) -> Iterator[Trial]:
    asked = question.piece.cover
    if asked is None:
        return
    spare = (narrowest_mm(question) - least_piece_mm(question)) / 2.0 + asked
    cover = math.floor(100.0 * spare + 1e-6) / 100.0
    if 0.0 < cover < asked:
        yield Trial(f"be content with {mm(cover)} of cover", (("piece.cover", f"{cover:g} mm"),))


def _more_money(question: GapQuestion) -> Iterator[Trial]:
    if question.resin_budget is None:
        return
    gap = gap_of(replace(question, resin_budget=None))
    needs = None if gap is None else resin_cost(question, gap)
    if needs is not None:
        money = f"{math.ceil(100.0 * needs) / 100.0 + 0.01:.2f}"
        yield Trial(f"give {money} for the resin", (("order.resin_budget", money),))


def _card(model: type[T], name: str) -> T | None:
    """A card; None for one that cannot be read, which is no remedy."""
    try:
        return from_card(model, name)
    except (PresetError, ValueError):
        return None


def kinds(question: GapQuestion) -> Iterator[Iterator[Trial]]:
    """Every kind of change by itself, the least trouble first."""
    for trials in (_close_sooner, _slower_hardener):
        yield trials(question)
    for card in names("resins"):
        yield _other_resin(question, card=card)
    for trials in (_cooler_shop, _warmer_shop, _smaller_batch, _measure_all):
        yield trials(question)
    for trials in (_push_longer, _push_harder, _more_grooves, _layers):
        yield trials(question)
    for sequence in _SEQUENCES:
        yield _other_sequence(question, sequence=sequence)
    for trials in (_other_plastic, _larger_pot, _larger_bed, _less_cover, _more_money):
        yield trials(question)


def pairs(question: GapQuestion) -> Iterator[Iterator[Trial]]:
    """Two kinds of change together, in fewer and larger steps."""
    firsts = (partial(_close_sooner, steps=_FEW), _slower_hardener, _cooler_shop)
    seconds = [_no_cure(question, kind) for kind in (_layers, _other_plastic, _more_grooves)]
    for first in firsts:
        ones = _no_cure(question, first)
        for twos in seconds:
            yield (_both(one, two) for one in ones for two in twos)


def _no_cure(
    question: GapQuestion, kind: Callable[[GapQuestion], Iterator[Trial]]
) -> tuple[Trial, ...]:
    """Those that do not help alone: with a second change they are no better than without."""
    return tuple(
        trial for trial in kind(question) if gap_of(changed(question, trial.changes)) is None
    )


def _both(one: Trial, two: Trial) -> Trial:
    return Trial(f"{one.text}, and {two.text}", (*one.changes, *two.changes))
