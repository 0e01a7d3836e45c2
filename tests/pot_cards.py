"""Cards of the shipped jobs in closed form, each worked out once a test process."""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import cache
from typing import Any

from mouldgen.answer import Answer, answer_job
from mouldgen.job.load import load_job
from mouldgen.mix.mixing import Mixing, mixing
from mouldgen.sheet.pot_card_values import CardCup, CardMix, CardPot, CardSpot, PotCard, pot_cards
from mouldgen.sheet.pot_loads import most_per_load


@dataclass(frozen=True, eq=False)
class Carded:
    """A job's cards, and what they were made from."""

    answer: Answer
    made: Mixing
    cards: tuple[PotCard, ...]


@cache
def carded(job: str, *sets: str) -> Carded:
    """The cards of a shipped job with settings such as ``shop.scale=0.1 g``."""
    answer = answer_job(load_job(job, sets=sets).job)
    made = mixing(answer, most_per_load=most_per_load(answer))
    return Carded(answer, made, _cards(answer, made))


def with_tables(found: Carded, **tables: dict[str, Any]) -> PotCard:
    """The last card with values of the job that no reader has looked at, in kPa, s and so on."""
    job = found.answer.job
    changed = {
        name: getattr(job, name).model_copy(update=values) for name, values in tables.items()
    }
    batches = found.made.batches
    assert batches is not None
    last = replace(found.made, batches=replace(batches, sessions=batches.sessions[-1:]))
    (card,) = _cards(replace(found.answer, job=job.model_copy(update=changed)), last)
    return card


def _cards(answer: Answer, made: Mixing) -> tuple[PotCard, ...]:
    assert answer.size is not None
    return pot_cards(answer, made, size=answer.size, lettered="XX-1 0.90")


# A card made up by hand: two mixes, one of them split, on two tiers, second pour of three.
HAND_MADE = PotCard(
    job="river-rails",
    lettered="RR-7 1.20",
    load=2,
    loads=3,
    pour=2,
    pours=3,
    moulds=(5, 6, 7, 8),
    all_moulds=12,
    again=True,
    pieces=(9, 16),
    all_pieces=24,
    ordered=20,
    kind="urethane",
    shop_c=24.0,
    digit_g=0.1,
    mixes=(
        CardMix(
            a_g=212.0, b_g=176.4, total_g=388.4, mixed_ml=370.0, start_s=0.0, tint_before=False,
            cups=(
                CardCup("smoke", True, g=250.0, tint_g=3.9, start_s=80.0, done_s=200.0,
                        into=(5, 6, 7, 8)),
                CardCup("amber", True, g=138.4, tint_g=None, start_s=95.0, done_s=170.0,
                        into=(5, 6)),
            ),
        ),
        CardMix(
            a_g=88.0, b_g=73.1, total_g=161.1, mixed_ml=150.0, start_s=210.0, tint_before=True,
            cups=(CardCup("red", True, g=161.1, tint_g=1.6, start_s=210.0, done_s=330.0,
                          into=(5, 6, 7, 8)),),
        ),
    ),
    mix_s=60.0,
    pour_s=110.0,
    close_s=400.0,
    limit_s=460.5,
    limited_by="gel",
    sequence="insert-first",
    fill_mm=50.8,
    each_ml=120.0,
    pot=CardPot(
        diameter_mm=228.0,
        spots=(
            CardSpot(1, (5, 5), x=-0.4, y=0.0),
            CardSpot(1, (6, 6), x=0.4, y=0.0),
            CardSpot(2, (7, 7), x=-0.4, y=0.0),
            CardSpot(2, (8, 8), x=0.4, y=0.0),
        ),
        tiers=2,
        headroom_mm=12.7,
        floor_plate_mm=6.35,
        rack=False,
        tray=True,
        rating_kpa=None,
    ),
    pressure_kpa=None,
    pressed=True,
    hold_s=7200.0,
    pot_hold_s=None,
    since=(7200.0, 86400.0),
    then=(7200.0, 86400.0),
    demould_s=18000.0,
    turn_s=86400.0,
    left_ml=44.0,
    catch_moulds=2,
    catch_ml=30.0,
    hold="dowel",
    release="release",
    rubber=False,
    tests=1,
    first_alone=False,
    stops=(),
)  # fmt: skip
