"""A runner that fills a mould from below, in closed form: funnel, channel beside the bore, gate.

The funnel stands over the rim, beside the lid, on the side of the x axis.  The channel goes down
from it to just over the floor, where the gate leads into the bore.
"""

from __future__ import annotations

from dataclasses import dataclass, fields

from mouldgen.size.question import FUNNEL_MM
from mouldgen.size.round import Size, SizeQuestion

LEAST_RUNNER_MM = 6.0  # bore: belief, told as the least for a bottom feed
MOST_RUNNER_MM = 16.0  # our own choice: a wider one wastes more resin than it saves time
STEP_MM = 0.5  # bores are drawn in whole steps
GATE_MM = 1.0  # lowest of the gate over the inside floor: never in the floor's own plane
WIDER_MM = 6.0  # by which the funnel's radius grows to its brim: a cup's lip finds it


@dataclass(frozen=True, eq=False)
class RunnerQuestion(SizeQuestion):
    """What the sizes of a mould with a runner depend on besides the gap.

    runner_mm : bore of the runner, 0 for none [mm].
    """

    runner_mm: float = 0.0

    @property
    def has_runner(self) -> bool:
        """Whether the mould is filled from below, through a runner."""
        return self.runner_mm > 0.0

    def whole(self, size: Size) -> Size:
        """The mould with its runner beside it.

        size : of a round mould with the bore.
        """
        return beside_bore(self, size)


@dataclass(frozen=True, eq=False)
class Runner:
    """A runner beside a bore; heights over the inside floor.

    radius_mm : of the channel and of the gate [mm].
    x_mm : of the channel's axis [mm].
    gate_mm : height of the gate's axis [mm].
    cone_mm : height at which the funnel begins to open [mm].
    brim_mm : height of its brim [mm].
    wide_mm : its radius there; it opens away from the mould, its inner side stands upright [mm].
    wall_mm : round all of it [mm].
    """

    radius_mm: float
    x_mm: float
    gate_mm: float
    cone_mm: float
    brim_mm: float
    wide_mm: float
    wall_mm: float

    @property
    def near_mm(self) -> float:
        """Least distance of its wall from the mould's axis, over the rim [mm]."""
        return self.x_mm - self.radius_mm - self.wall_mm

    @property
    def far_mm(self) -> float:
        """Largest distance of its wall from the mould's axis [mm]."""
        return self.x_mm - self.radius_mm + 2.0 * self.wide_mm + self.wall_mm


@dataclass(frozen=True, eq=False, kw_only=True)
class InsideSize(Size):
    """A mould whose lid goes into the bore, because a skirt has no room outside.

    runner : beside the bore, or None.
    ring_mm : height of the lid's ring [mm].
    ring_inner_mm : inner radius of that ring: what legs, vents and port have [mm].
    """

    runner: Runner | None = None
    ring_mm: float
    ring_inner_mm: float

    @property
    def lid_bore_mm(self) -> float:
        """Radius within which the lid may be pierced [mm]."""
        return self.ring_inner_mm

    @property
    def lid_inside(self) -> bool:
        """Whether the lid's ring goes into the bore."""
        return True


def runner_of(question: RunnerQuestion, size: Size, *, lid_mm: float) -> Runner | None:
    """The runner of a mould, clear of its lid and its wall; None where none is asked for.

    question : what the sizes depend on.
    size : of the mould without it.
    lid_mm : outside radius of the lid [mm].
    """
    q = question
    if q.runner_mm <= 0.0:
        return None
    radius = q.runner_mm / 2.0
    beside_lid = lid_mm + 2.0 * q.clearance_mm + q.wall_mm
    # A wall that leans by up to 45 degrees is up to root 2 thicker, level.
    beside_bore = size.bore.widest_mm(0.0, size.rim_mm) + 1.5 * q.wall_mm
    brim = size.rim_mm + FUNNEL_MM
    return Runner(
        radius_mm=radius,
        x_mm=max(beside_lid, beside_bore) + radius,
        gate_mm=GATE_MM + radius,
        # Its outer side opens by twice the growth of its radius: at 45 degrees it prints.
        cone_mm=brim - 2.0 * WIDER_MM,
        brim_mm=brim,
        wide_mm=radius + WIDER_MM,
        wall_mm=q.wall_mm,
    )


def lid_inside(question: SizeQuestion, size: Size) -> InsideSize:
    """The same mould with a lid whose ring goes into the bore.

    question : what the sizes depend on.
    size : of the mould with a lid that goes over it.
    """
    q, rim = question, size.rim_mm
    ring = min(q.skirt_mm, 0.5 * q.freeboard_mm)  # never down to the resin
    narrow = size.bore.narrowest_mm(rim - ring, rim)
    known = {field.name: getattr(size, field.name) for field in fields(Size)}
    return InsideSize(
        **known
        | {
            # Its disc lies on the wall behind the vent grooves too.
            "lid_reach_mm": size.bore_mm(rim) + q.groove_mm + q.wall_mm,
            "lid_height_mm": q.lid_mm + max(ring, rim - q.insert_top_mm + q.finger_mm),
        },
        ring_mm=ring,
        ring_inner_mm=narrow - q.clearance_mm - q.wall_mm,
    )


def beside_bore(question: RunnerQuestion, size: Size) -> InsideSize:
    """A round mould with its runner beside it.

    question : what the sizes depend on; it asks for a runner.
    size : of the mould without it.
    """
    inside = lid_inside(question, size)
    runner = runner_of(question, size, lid_mm=inside.lid_reach_mm)
    if runner is None:
        return inside
    reach = size.bore.widest_mm(0.0, size.rim_mm) + question.outside_mm
    known = {field.name: getattr(inside, field.name) for field in fields(InsideSize)}
    return InsideSize(
        **known
        | {
            "runner": runner,
            # The smallest round that holds both: the mould's axis is not in its middle.
            "across_mm": 0.5 * (runner.far_mm + reach),
            "body_height_mm": question.floor_mm + runner.brim_mm,
            "stack_height_mm": question.floor_mm + runner.brim_mm,
        }
    )
