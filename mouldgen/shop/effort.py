"""The hands that an order takes, step by step: how long each time and how often."""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass
from typing import TYPE_CHECKING, Literal

if TYPE_CHECKING:
    from mouldgen.job.work import WorkTimes
    from mouldgen.shop.needs import Needs

When = Literal["set-up", "casting", "refill", "fill", "piece"]


@dataclass(frozen=True, eq=False)
class Hands:
    """One step of the work.

    key : of ``[work]`` that says how long.
    when : ``set-up`` comes once a batch, load, mix or bed; ``casting`` with every casting, good or
        lost; ``refill`` once for all voids together; ``fill`` with every void that is filled;
        ``piece`` with every piece that is good.
    each_s : of hands [s].
    number : how often; of ``fill`` and ``piece`` as if every casting had a void and one piece
        were good.
    """

    key: str
    when: When
    each_s: float
    number: float

    @property
    def seconds(self) -> float:
        """Of hands in all [s]."""
        return self.each_s * self.number


def effort(needs: Needs, times: WorkTimes) -> tuple[Hands, ...]:
    """Every step of the work, in its order.

    Drilling, tapping and turning are done in batches, so that jig and stop are set up once for
    many: common practice, no source.  What is lost shows when it is turned round, so all before
    it is spent on every casting.

    needs : counts of the order.
    times : of each step.
    """
    blanks = needs.cast * needs.per_blank
    tinted = needs.mixes * needs.tints
    poured = needs.fillings * needs.pours
    split = tinted if needs.tints > 1 else 0
    place_s = max(times.place, needs.pushed_s)
    drilled, tapped, pressed = int(needs.drilled), int(needs.tapped), int(needs.loads > 0)
    steps: list[tuple[str, When, float, float]] = [
        ("wood", "casting", times.wood, needs.cast),
        ("bed", "set-up", times.bed, needs.beds),
        ("leak_test", "casting", times.leak_test, needs.moulds),
        ("release", "casting", times.release, needs.fillings),
        ("weigh", "set-up", times.weigh, needs.mixes),
        ("split", "set-up", times.split, split),
        ("stir", "set-up", times.stir, tinted),
        ("pour", "casting", times.pour, poured),
        ("place", "casting", place_s, needs.cast),
        ("lid", "casting", times.lid, needs.fillings),
        ("load", "set-up", times.load, needs.loads),
        ("unload", "set-up", times.unload, needs.loads),
        ("demould", "casting", times.demould, needs.cast),
        ("face_setup", "set-up", times.face_setup, needs.batches),
        ("face", "casting", times.face, blanks),
        ("drill_setup", "set-up", times.drill_setup, needs.batches * drilled),
        ("drill", "casting", times.drill, blanks * drilled),
        ("tap_setup", "set-up", times.tap_setup, needs.batches * tapped),
        ("tap", "casting", times.tap, blanks * tapped),
        ("turn_setup", "set-up", times.turn_setup, needs.batches),
        ("rough", "casting", times.rough, blanks),
        ("weigh", "refill", times.weigh, needs.fill_mixes),
        ("stir", "refill", times.stir, needs.fill_mixes),
        ("load", "refill", times.load, needs.fill_mixes * pressed),
        ("unload", "refill", times.unload, needs.fill_mixes * pressed),
        ("turn_setup", "refill", times.turn_setup, needs.fill_mixes),
        ("fill", "fill", times.fill, needs.cast),
        ("finish", "piece", times.finish, 1),
        ("sand", "piece", times.sand, 1),
        ("hardware", "piece", times.hardware, drilled),
        ("inspect", "piece", times.inspect, 1),
        ("pack", "piece", times.pack, 1),
    ]
    return tuple(Hands(*step) for step in steps if step[3])


def seconds(steps: Iterable[Hands], when: When) -> float:
    """Of hands at one time of the work [s].

    steps : of the order.
    when : as `Hands` has it.
    """
    return math.fsum(step.seconds for step in steps if step.when == when)
