"""What the sizes of a mould depend on, from the maker's tables and the allowances."""

from __future__ import annotations

import math
from dataclasses import dataclass, fields

from mouldgen.insert.facts import InsertFacts
from mouldgen.job.allowances import Allowances
from mouldgen.job.material_tables import Rubber
from mouldgen.job.model import Mould
from mouldgen.job.shop_tables import Printer
from mouldgen.size.round import SizeQuestion

# Our own choices, no source: high enough for resin to run under the insert, thick enough for a
# lid that is lifted off by its edge, deep enough that the lid finds its place by touch.
PIP_MM = 2.0
LID_MM = 2.4
SKIRT_MM = 6.0
GROOVE_MM = 1.2
FUNNEL_MM = 40.0  # a runner's brim over the rim: belief, told as the least for a bottom feed
FILL_LINE_MM = 0.4  # depth of the line that resin is poured to; two lines of wall stay behind it


@dataclass(frozen=True, eq=False)
class Fastened:
    """What is asked for beyond the plain sizes.

    floor_mm : least thickness of the floor between the print bed and the inside floor [mm].
    below_mm : what is added to the floor besides [mm].
    skirt_mm, freeboard_mm : least of each [mm].
    beyond_mm : how far something stands out beyond lid or wall [mm].
    """

    floor_mm: float = 0.0
    below_mm: float = 0.0
    skirt_mm: float = 0.0
    freeboard_mm: float = 0.0
    beyond_mm: float = 0.0


def size_question(
    insert: InsertFacts,
    *,
    mould: Mould,
    printer: Printer,
    allowances: Allowances,
    soak_ml: float,
    shrinkage: float,
    rubber: Rubber | None = None,
) -> SizeQuestion:
    """The sizes of a round mould from the allowances: walls in whole lines, floors in whole layers.

    insert : the insert.
    mould : what the maker chose about the mould.
    printer : whose lines and layers the walls are made of.
    allowances : of the insert's size class.
    soak_ml : resin that open pores take under pressure [ml].
    shrinkage : of the resin's volume before it gels, as a share.
    rubber : that a mould of the family ``master`` is cast in.
    """

    def lines(least_mm: float) -> float:
        return math.ceil(least_mm / printer.line - 1e-9) * printer.line

    def layers(least_mm: float) -> float:
        return math.ceil(least_mm / printer.layer - 1e-9) * printer.layer

    more = _fastened(mould, printer)
    question = SizeQuestion(
        insert=insert,
        fill_mm=mould.fill,
        head_mm=allowances.head_mm if mould.head is None else mould.head,
        soak_ml=soak_ml,
        shrinkage=shrinkage,
        freeboard_mm=max(allowances.freeboard_mm, more.freeboard_mm),
        pip_mm=layers(PIP_MM),
        wall_mm=lines(max(allowances.wall_mm, 2.0 * printer.line + FILL_LINE_MM)),
        floor_mm=layers(max(allowances.floor_mm, more.floor_mm) + more.below_mm),
        lid_mm=layers(LID_MM),
        skirt_mm=layers(max(SKIRT_MM, more.skirt_mm)),
        groove_mm=GROOVE_MM if mould.vent_grooves else 0.0,
        clearance_mm=printer.clearance,
        line_mm=printer.line,
        draft_deg=mould.draft,
        family=mould.family,
        beyond_mm=more.beyond_mm,
    )
    if mould.family == "split":
        from mouldgen.size.split import LAND_MM, SplitQuestion  # late: most moulds are cups

        known = {field.name: getattr(question, field.name) for field in fields(SizeQuestion)}
        return SplitQuestion(
            **known
            | {
                "wall_mm": lines(allowances.reusable_mm),
                # The halves meet below the bore too, on as wide a land.
                "floor_mm": layers(max(LAND_MM, allowances.floor_mm)),
            }
        )
    if rubber is None or mould.family != "master":
        return question
    from mouldgen.size.rubber import PLATE_MM, PLUG_WALL_MM, RubberQuestion  # late, as above

    return RubberQuestion(
        **{field.name: getattr(question, field.name) for field in fields(SizeQuestion)},
        up=mould.up or 1,
        rubber_mm=rubber.wall,
        between_mm=rubber.between,
        rubber_floor_mm=rubber.floor,
        shrink=rubber.shrink,
        frame_mm=lines(allowances.reusable_mm),
        plate_mm=layers(max(PLATE_MM, allowances.floor_mm)),
        plug_mm=lines(PLUG_WALL_MM),
    )


def _fastened(mould: Mould, printer: Printer) -> Fastened:
    plain = mould.hold == "lid" and not mould.lid_screws and mould.tenon is None
    if plain and not mould.knock_out:
        return Fastened()
    from mouldgen.size.fastened import fastened  # late: most jobs ask for none

    return fastened(mould, line_mm=printer.line, clearance_mm=printer.clearance)
