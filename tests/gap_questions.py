"""A job's facts for the gap, built by hand: the coat pegs of a small shop, with changes."""

import math
from dataclasses import replace
from typing import Any

from mouldgen.finding import NOTHING_LEARNED
from mouldgen.gap.question import GapQuestion
from mouldgen.insert.facts import InsertFacts
from mouldgen.insert.flute import flute_radius
from mouldgen.job.allowances import Allowances
from mouldgen.job.material_tables import Plastic, Resin
from mouldgen.job.model import Piece, Pour
from mouldgen.job.shop_tables import Pot, Printer
from mouldgen.size import SizeQuestion

ROD = InsertFacts(
    shape="rod",
    length_mm=70.0,
    envelope_mm=15.0,
    core_mm=15.0,
    section_mm2=706.8583470577034,
    opening_mm=0.0,
    density_g_ml=0.68,
)
MEDIUM = Allowances(
    size="medium",
    turning_mm=3.0,
    facing_mm=2.0,
    flow_gap_epoxy_mm=3.0,
    flow_gap_urethane_mm=2.0,
    cover_mm=1.5,
    head_mm=9.0,
    freeboard_mm=10.0,
    wall_mm=1.6,
    reusable_mm=3.2,
    floor_mm=2.0,
    vent_mm=2.5,
    cup_loss_g=8.0,
)
POUR = Pour.model_construct(
    sequence="auto", shop=25.0, mix=360.0, close=840.0, push=20.0, push_time=60.0
)
PRINTER = Printer.model_construct(shape="rectangle", width=220.0, depth=220.0, height=250.0)
POT = Pot.model_construct(diameter=228.0, height=230.0)
PLASTIC = Plastic.model_construct(density=1.27, softens=70.0)


def resin(**changes: Any) -> Resin:
    """A slow epoxy whose mixed density is 1.1 g/ml."""
    values: dict[str, Any] = {
        "kind": "epoxy",
        "viscosity": 0.5,
        "gel": 2400.0,
        "gel_mass": 100.0,
        "gel_temperature": 25.0,
        "ratio": (2.0, 1.0),
        "ratio_basis": "volume",
        "density_a": 1.1,
        "density_b": 1.1,
        "loss": 0.1,
    }
    return Resin.model_construct(**{**values, **changes})


def rod(**changes: Any) -> InsertFacts:
    """An insert of 30 x 70 mm; a rod of another radius has its own core and section."""
    if "envelope_mm" in changes:
        radius = changes["envelope_mm"]
        changes = {"core_mm": radius, "section_mm2": math.pi * radius**2, **changes}
    return replace(ROD, **changes)


def flute(*, flutes: int = 6, share: float = 0.2, **changes: Any) -> InsertFacts:
    """The same with flutes."""
    radius = changes.get("envelope_mm", ROD.envelope_mm)
    deep = flute_radius(radius, flutes=flutes, share=share)
    section = math.pi * radius**2 * (1.0 - share)
    return rod(
        **{"envelope_mm": radius, **changes},
        shape="flute",
        core_mm=radius - deep,
        section_mm2=section,
        flutes=flutes,
        flute_mm=deep,
    )


def bar(*, width: float = 24.0, thickness: float = 18.0, **changes: Any) -> InsertFacts:
    """A bar in the same round; its readings are those of that round."""
    x, y = width / 2.0, thickness / 2.0
    return rod(
        envelope_mm=math.hypot(x, y),
        shape="bar",
        core_mm=min(x, y),
        section_mm2=width * thickness,
        corners_mm=((x, y), (-x, y), (-x, -y), (x, -y)),
        reading_scale=math.hypot(x, y) / x,
        **changes,
    )


def pour(**changes: Any) -> Pour:
    return POUR.model_copy(update=changes)


def printer(**changes: Any) -> Printer:
    return PRINTER.model_copy(update=changes)


def exact_printer(**changes: Any) -> Printer:
    """A printer whose holes come out as drawn and whose parts need no clearance."""
    return printer(undersize=0.0, clearance=0.0, **changes)


def pot(**changes: Any) -> Pot:
    return POT.model_copy(update=changes)


def question(**changes: Any) -> GapQuestion:
    """The coat pegs with some of their facts changed."""
    insert = changes.pop("insert", ROD)
    values: dict[str, Any] = {
        "insert": insert,
        "sizes": cup(insert),
        "moulds": 22,
        "piece": Piece.model_construct(diameter=26.0, length=60.0, turning=2.0),
        "turning_mm": 2.0,
        "pour": POUR,
        "resin": resin(),
        "printer": PRINTER,
        "plastic": PLASTIC,
        "pot": POT,
        "allowances": MEDIUM,
        "learned": NOTHING_LEARNED,
        "given_mm": None,
    }
    return GapQuestion(**{**values, **changes})


def without_take_up(**changes: Any) -> GapQuestion:
    """The same with every insert measured as drawn and an exact printer."""
    insert = changes.pop("insert", ROD)
    measured = replace(insert, measured_mm=(2.0 * insert.envelope_mm,) * 22)
    return question(insert=measured, printer=exact_printer(), **changes)


def cup(insert: InsertFacts) -> SizeQuestion:
    return SizeQuestion(
        insert=insert,
        fill_mm=None,
        soak_ml=0.0,
        shrinkage=0.0,
        head_mm=9.0,
        freeboard_mm=10.0,
        pip_mm=1.0,
        wall_mm=1.68,
        floor_mm=2.0,
        lid_mm=2.0,
        skirt_mm=6.0,
        groove_mm=1.5,
        clearance_mm=0.25,
        line_mm=0.42,
        draft_deg=0.0,
    )
