"""Where every feature of a cup and its lid goes: numbers only, no solids.

Angles are counted from the x axis in degrees, heights from the inside floor.  Grooves and ribs
take turns round the bore, so that no rib stands in a groove.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from mouldgen.finding import Finding
from mouldgen.insert.facts import InsertFacts
from mouldgen.job.model import Mould, Piece
from mouldgen.job.shop_tables import Printer
from mouldgen.mould.cup_lettering import Lettering, letter_cup
from mouldgen.mould.label import Label, Round
from mouldgen.mould.lid_holes import (
    MORE_TURNS,
    VENT_TURNS,
    no_opening,
    no_port,
    place_port,
    place_vents,
)
from mouldgen.mould.lines import FillLine, fill_lines, topped_up
from mouldgen.mould.sockets import Sockets, place_sockets, socket_remarks
from mouldgen.mould.stands import legs_on, pips_under, stand_remarks
from mouldgen.mould.turns import take_turns
from mouldgen.size import Size, SizeQuestion
from mouldgen.size.question import FILL_LINE_MM
from mouldgen.size.round import RELIEF_MM
from mouldgen.solid.circle import segments

if TYPE_CHECKING:
    from mouldgen.mould.feature import Feature, HoldDown

# Our own choices, no source.
LEAD = 0.6
RELIEF = RELIEF_MM
ENGRAVING = 0.4
FILL_LINE = FILL_LINE_MM
LEGLESS = ("screw", "glue", "none")  # what is held at its foot, or not at all, needs no leg


@dataclass(frozen=True, eq=False)
class CupPlan:
    """Every number that the solids of a cup and its lid are made from.

    insert, size, question : the insert and the closed form that the plan rests on.
    sides : of every circle about the axis.
    chord_mm : tolerance of the small circles [mm].
    groove_angles : where vent grooves stand [degrees].
    sockets : what centres the insert at either end.
    pips : of the floor, each x, y and radius.
    centre_pip : radius and height of the cone that leaves a drill mark.
    legs, vents : of the lid, each x, y and radius.
    port : of the lid, x, y and radius, or None where there is no room.
    body_label, lid_label : lettering, or None.
    remarks : what was left out for want of room, as findings.
    lines : round the bore, one a pour, the lowest first.
    lid_note : the lid's second line of lettering, or None.
    hold : how the insert is held, in the words of the job file.
    held_by : what the mould has for that beside the lid's legs, or None.
    tenon_mm : radius and depth of the recess for a tenon, 0 with none [mm].
    released_by : what the mould has so that the blank comes out.
    lifted : whether the blank is pushed out upward.
    """

    insert: InsertFacts
    size: Size
    question: SizeQuestion
    sides: int
    chord_mm: float
    groove_angles: tuple[float, ...]
    sockets: Sockets
    pips: tuple[Round, ...]
    centre_pip: tuple[float, float]
    legs: tuple[Round, ...]
    vents: tuple[Round, ...]
    port: Round | None
    body_label: Label | None
    lid_label: Label | None
    remarks: tuple[Finding, ...]
    lines: tuple[FillLine, ...] = ()
    lid_note: Label | None = None
    hold: str = "lid"
    held_by: HoldDown | None = None
    tenon_mm: tuple[float, float] = (0.0, 0.0)
    released_by: tuple[Feature, ...] = ()
    lifted: bool = False

    @property
    def insert_foot_mm(self) -> float:
        """Height of the insert's lower end [mm]."""
        return self.question.pip_mm

    @property
    def insert_top_mm(self) -> float:
        """Height of the insert's upper end [mm]."""
        return self.question.pip_mm + self.insert.length_mm

    @property
    def insert_middle_mm(self) -> float:
        """Height midway along the insert, where the finished piece has its middle [mm]."""
        return (self.insert_foot_mm + self.insert_top_mm) / 2.0

    @property
    def blank_mm(self) -> float:
        """Length of the blank along its piece's axis [mm]."""
        return self.size.fill_mm

    def with_second(self) -> CupPlan:
        """The same with a line at the blank's height, for a second pour.

        Without it where the blank is pushed out: resin in the line would keep it in.
        """
        if self.lifted:
            return self
        return replace(self, lines=topped_up(self.lines, self.size))

    @property
    def lid_genus(self) -> int:
        """Holes through the lid: the vents, the port, and those that hold it."""
        return len(self.vents) + (self.port is not None) + sum(f.lid_genus for f in self.features)

    @property
    def body_genus(self) -> int:
        """Holes through the body: a cup has none of its own."""
        return sum(feature.body_genus for feature in self.features)

    @property
    def features(self) -> tuple[Feature, ...]:
        """What is added to the plain body and lid."""
        held = () if self.held_by is None else (self.held_by,)
        return (*held, *self.released_by)

    @property
    def lid_labels(self) -> tuple[Label, ...]:
        """Every line of lettering on the lid."""
        return tuple(label for label in (self.lid_label, self.lid_note) if label is not None)


def plan_cup(
    question: SizeQuestion,
    size: Size,
    *,
    slide_mm: float,
    mould: Mould,
    piece: Piece,
    printer: Printer,
    mould_id: str,
    letter: str = "",
    resin_g_ml: float | None = None,
    layers: int = 1,
) -> CupPlan:
    """Place the features of a cup and its lid.

    question, size : the closed form.
    slide_mm : what the thickest expected insert takes up, with its sliding clearance; the
        sockets leave this much free on every side [mm].
    mould, piece, printer : the maker's tables.
    mould_id : lettered on both parts.
    letter : of a trial's rung, lettered before it; empty for none.
    resin_g_ml : density of the mixed resin, to letter what the mould takes; None leaves that
        out [g/ml].
    layers : pours that fill the mould by equal heights of the insert.

    Raises JobError where there is no room for a hold or a tenon that is asked for.
    """
    insert = question.insert
    remarks: list[Finding] = []
    grooves, ribs = take_turns(mould.vent_grooves, aside=size.lid_inside)
    sockets = place_sockets(
        question,
        size,
        angles=ribs,
        slide_mm=slide_mm,
        piece=piece,
        grooved=bool(grooves),
        lifted=mould.knock_out,
    )
    if size.halves:
        from mouldgen.mould.split_hollow import (  # late: most moulds are cups
            grooves_of_halves,
            seated,
        )

        sockets = seated(sockets, question, size)
        grooves, dropped = grooves_of_halves(mould.vent_grooves, size, question.groove_mm)
        remarks += dropped
    if size.follows:
        sockets = replace(sockets, lower=False, upper="none")
    else:
        remarks += socket_remarks(sockets, size, question)
    remarks += stand_remarks(insert)
    legs = () if mould.hold in LEGLESS else legs_on(insert.upper)
    port = place_port(legs, sockets, bore_mm=size.lid_bore_mm)
    if port is None:
        remarks.append(no_port())
    turns = VENT_TURNS if insert.ends is None else (*VENT_TURNS, *MORE_TURNS)
    vents = place_vents(legs, sockets, port=port, bore_mm=size.lid_bore_mm, turns=turns)
    if port is None and not vents:
        remarks.append(no_opening())
    held_by, more = _held_by(
        question, size, mould, piece, sockets=sockets, legs=legs, layer_mm=printer.layer
    )
    remarks += more
    pips = _pips(question, size, mould)
    remarks += _tenon_remarks(mould, size, piece)
    lettering = Lettering()
    if mould.lettering:
        lettering = letter_cup(
            size,
            mould_id=mould_id,
            letter=letter,
            line_mm=printer.line,
            holes=[*vents, *([port] if port else [])],
            grooves=len(grooves),
            taped=mould.hold == "tape",
            resin_g_ml=resin_g_ml,
        )
    plan = CupPlan(
        insert=insert,
        size=size,
        question=question,
        sides=segments(size.across_mm, chord_mm=mould.chord),
        chord_mm=mould.chord,
        groove_angles=grooves,
        sockets=sockets,
        pips=pips,
        centre_pip=(min(1.5, 0.25 * insert.lower.outer_mm), 0.7 * question.pip_mm),
        legs=legs,
        vents=vents,
        port=port,
        body_label=lettering.body,
        lid_label=lettering.lid,
        remarks=(*remarks, *lettering.remarks),
        lines=fill_lines(question, size, layers=layers, lifted=mould.knock_out),
        lid_note=lettering.note,
        hold=mould.hold,
        held_by=held_by,
        tenon_mm=(0.0, 0.0) if mould.tenon is None else (mould.tenon / 2.0, mould.tenon_length),
        lifted=mould.knock_out,
    )
    return _with_release(plan, mould, printer) if mould.knock_out or mould.score else plan


def _with_release(plan: CupPlan, mould: Mould, printer: Printer) -> CupPlan:
    from mouldgen.mould.release import released_by  # late: most moulds are turned away

    features, uses = released_by(plan, mould, printer)
    return replace(plan, released_by=features, remarks=(*plan.remarks, *uses))


def _held_by(
    question: SizeQuestion,
    size: Size,
    mould: Mould,
    piece: Piece,
    *,
    sockets: Sockets,
    legs: tuple[Round, ...],
    layer_mm: float,
) -> tuple[HoldDown | None, tuple[Finding, ...]]:
    """What holds lid or insert, where that is more than the lid's own weight and legs."""
    # Read late: most moulds have neither, and none has both.
    if mould.lid_screws:
        from mouldgen.mould.ears import place_ears

        return place_ears(question, size, mould), ()
    if mould.hold in ("lid", "none"):
        return None, ()
    from mouldgen.mould.hold import Site, hold_down

    return hold_down(
        Site(
            question=question,
            size=size,
            mould=mould,
            piece=piece,
            sockets=sockets,
            legs=legs,
            layer_mm=layer_mm,
        )
    )


def _pips(question: SizeQuestion, size: Size, mould: Mould) -> tuple[Round, ...]:
    """What the insert stands on; glued down it stands on its pad."""
    if mould.hold == "glue":
        return ()
    if mould.tenon is None:
        return pips_under(question.insert.lower)
    from mouldgen.mould.tenon import pips_round_tenon

    return pips_round_tenon(question, size, mould.tenon)


def _tenon_remarks(mould: Mould, size: Size, piece: Piece) -> tuple[Finding, ...]:
    if mould.tenon is None:
        return ()
    from mouldgen.mould.tenon import tenon_findings

    return tenon_findings(mould, size, piece)
