"""Jobs for the plan that need no closed forms: facts written down, a shop, a week."""

from __future__ import annotations

import datetime as dt
from dataclasses import replace
from typing import Any

from mouldgen.job.work import work_times
from mouldgen.shop.hours import Hours
from mouldgen.shop.setting import Setting
from mouldgen.shop.steps import Shop
from mouldgen.shop.work_facts import BedFacts, CureFacts, LoadFacts, WorkFacts

HOUR = 3600
DAY = 24 * HOUR
MONDAY = dt.date(2026, 11, 30)


def hours(*, length_h: float = 8.0, days: int = 5) -> Hours:
    """From 8 o'clock, from Monday on."""
    return Hours(MONDAY, 8 * HOUR, round(length_h * HOUR), tuple(n < days for n in range(7)))


def load(fillings: int, *, pours: int = 1, each_s: float = 120.0) -> LoadFacts:
    """A load whose hands grow with its moulds."""
    return LoadFacts(fillings, fillings, (600.0 + each_s * fillings,) * pours)


def cure(**other: Any) -> CureFacts:
    """Of a resin that is demoulded after a day and turned after three, in a pot."""
    facts = CureFacts(hold_s=DAY, demould_s=DAY, full_s=3 * DAY, recoat_s=None)
    return replace(facts, **other)


def facts(castings: int = 20, *, per_load: int = 5, **other: Any) -> WorkFacts:
    """A job of cups that are used once, one piece of each, a fifth of them with a void."""
    left = castings - 1
    sizes = [min(per_load, left - done) for done in range(0, left, per_load)]
    known: dict[str, Any] = {
        "times": work_times(None),
        "cure": cure(),
        "inserts": castings,
        "drying": True,
        "beds": (BedFacts(2 * HOUR, 1, first=True), BedFacts(10 * HOUR, left)),
        "moulds": castings,
        "reused": False,
        "rubber": None,
        "blanks": 1,
        "castings": castings,
        "pieces_each": 1,
        "first": load(1),
        "trial": False,
        "approval_s": 0.0,
        "loads": tuple(load(size) for size in sizes),
        "pieces": castings - 2,
        "drilled": True,
        "tapped": True,
        "fills": 0.2,
    }
    return WorkFacts(**known | other)


def setting(
    job: WorkFacts | None = None, *, pots: int = 1, people: int = 1, **week: Any
) -> Setting:
    """A job in a shop with one printer."""
    shop = Shop(people=people, printers=1, pots=pots)
    return Setting(facts() if job is None else job, shop, hours(**week))
