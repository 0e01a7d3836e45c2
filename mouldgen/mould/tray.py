"""Where every feature of a tray and its lid goes: numbers only, no solids.

Every pocket is the same; its features stand about its own middle, x across it and y along it,
heights from the inside floor.  Pockets are numbered row by row from the back, left to right.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace
from itertools import pairwise

from mouldgen.errors import InternalError
from mouldgen.finding import Finding
from mouldgen.insert.facts import InsertFacts
from mouldgen.job.model import Mould, Piece
from mouldgen.job.shop_tables import Printer
from mouldgen.mould.label import LOWEST_LETTERS, Label, Round, letter_heights, stroke_of
from mouldgen.mould.lettering import text_width
from mouldgen.mould.lines import APART_MM, FillLine, topped_up
from mouldgen.mould.naming import label_texts
from mouldgen.mould.pose import Pose
from mouldgen.mould.tray_hold import TrayHold, TraySite, hold_in_tray
from mouldgen.size.lying import Range
from mouldgen.size.mould_size import MouldSize
from mouldgen.size.question import FILL_LINE_MM
from mouldgen.size.round import SizeQuestion
from mouldgen.size.tray import HOOK_HALF_MM, TrayQuestion, TraySize

# Our own choices, no source.
LEG_MM = (3.2, 4.0)  # of a leg or a pip: across and along
IN_MM = 2.0  # from an insert's end to a leg or a pip
FROM_LONG_MM = 80.0  # an insert so long is held in its middle too
ONE_LEG_MM = 8.0  # on a top narrower than that stands one leg, not two
PORT_MM = 6.0  # greatest radius of a port
LEAST_PORT_MM = 2.0
WEB_MM = 1.0
EDGE_MM = 1.5  # between lettering and an edge
MARK_LINES = 2  # width of a saw mark, in printed lines
MARK_LAYERS = 2  # its height, in layers

Rect = tuple[float, float, float, float]  # left, front, right, back [mm]


@dataclass(frozen=True, eq=False)
class TrayPlan:
    """Every number that the solids of a tray and its lid are made from.

    insert : as it stands when it is drawn.
    size, question : the closed form that the plan rests on.
    chord_mm : tolerance of circles [mm].
    pips, legs : under and on the insert, as seen from above.
    port : what resin is poured through; None where there is no room.
    lines : inside a pocket, one a pour, the lowest first.
    marks : raised on the floor where the blank is sawn.
    mark_mm : their height [mm].
    poses : of the finished pieces of one blank.
    spread : whether what is cast in fills its pocket evenly, as a honeycomb or a heap does.
    body_label : on the right wall, x along it from its middle, y up from the bed; or None.
    lid_label : on the lid, about its middle; or None.
    numbers : of each pocket, about the middle of that pocket; empty without lettering.
    remarks : what was left out for want of room.
    hold : how the insert is held, in the words of the job file.
    held_by : what the tray has for that beside the lid's legs, or None.
    """

    insert: InsertFacts
    size: TraySize
    question: TrayQuestion
    chord_mm: float
    pips: tuple[Rect, ...]
    legs: tuple[Rect, ...]
    port: Round | None
    lines: tuple[FillLine, ...]
    marks: tuple[Rect, ...]
    mark_mm: float
    poses: tuple[Pose, ...]
    spread: bool
    body_label: Label | None
    lid_label: Label | None
    numbers: tuple[Label | None, ...]
    remarks: tuple[Finding, ...]
    hold: str = "lid"
    held_by: TrayHold | None = None

    @property
    def insert_foot_mm(self) -> float:
        """Height of the insert's lowest place [mm]."""
        return self.question.pip_mm

    @property
    def insert_top_mm(self) -> float:
        """Height of its highest [mm]."""
        return self.question.insert_top_mm

    @property
    def lid_genus(self) -> int:
        """Holes through the lid: a port at every pocket."""
        return self.size.blanks * (self.port is not None)

    @property
    def body_genus(self) -> int:
        """Holes through the body: a tray has none of its own."""
        return 0 if self.held_by is None else self.held_by.body_genus(self.size)

    @property
    def blank_mm(self) -> float:
        """Length of a blank along its pieces' axes [mm]."""
        return self.size.fill_mm if self.question.saw else self.size.foot_mm[1]

    @property
    def sawn_mm(self) -> tuple[float, float]:
        """Width and depth of one piece of a blank that is sawn, at its lower face [mm]."""
        columns, rows = self.question.saw or (1, 1)
        wide, deep = self.size.foot_mm
        kerf = self.question.kerf_mm
        return (wide - (columns - 1) * kerf) / columns, (deep - (rows - 1) * kerf) / rows

    @property
    def off_mm(self) -> float:
        """How far the insert may lie off the middle of its pocket [mm]."""
        return 0.0 if self.spread else self.size.gap_mm

    def ends_mm(self, piece: Piece) -> tuple[float, float]:
        """What of a blank lies beyond its pieces at either end [mm]."""
        count = 1 if self.question.saw else self.question.per_blank
        row = count * piece.length + (count - 1) * self.question.kerf_mm
        return (self.blank_mm - row) / 2.0, (self.blank_mm - row) / 2.0

    def with_second(self) -> TrayPlan:
        """The same with a line at the blank's height, for a second pour."""
        return replace(self, lines=topped_up(self.lines, self.size))

    @property
    def grooves_mm(self) -> tuple[float, ...]:
        """Heights of the lines that are cut, rising; of two that would run into one the upper."""
        single = self.size.slope > 0.0  # steps are few: each makes the pocket wider
        heights = [(line.height_mm,) if single else line.grooves_mm for line in self.lines]
        middles = sorted({z for line in heights for z in line if z > FILL_LINE_MM})
        above = [*middles[1:], math.inf]
        return tuple(
            z for z, next_ in zip(middles, above, strict=True) if next_ - z >= APART_MM - 1e-9
        )


def plan_tray(
    question: SizeQuestion,
    size: MouldSize,
    *,
    slide_mm: float,
    mould: Mould,
    piece: Piece,
    printer: Printer,
    mould_id: str,
    letter: str = "",
    resin_g_ml: float | None = None,
    layers: int = 1,
    spread: bool = False,
) -> TrayPlan:
    """Place the features of a tray and its lid; the keywords are those of `plan_cup`.

    slide_mm : of no use here: no socket holds what lies [mm].
    resin_g_ml : density of the mixed resin, to letter what a pocket takes [g/ml].
    spread : whether what is cast in fills its pocket evenly.
    """
    del slide_mm, resin_g_ml
    if not isinstance(question, TrayQuestion) or not isinstance(size, TraySize):
        raise InternalError("a tray was planned from the size of another mould")
    laid, pip = question.laid, question.pip_mm
    stations = tuple(_stations(laid.length_mm))
    height = size.fill_mm
    poses = tuple(_poses(question, size, piece, height / 2.0))
    held_by, told = hold_in_tray(
        TraySite(question, size, mould, piece, poses, layer_mm=printer.layer)
    )
    legless = mould.hold == "none" or (held_by is not None and held_by.at_insert)
    legs = () if legless else tuple(_touching(laid.top_mm, stations))
    port = _port(size, legs)
    heights = [pip + laid.tall_mm * k / layers for k in range(1, layers)]
    body = lid = None
    numbers: tuple[Label | None, ...] = ()
    remarks = [*told, *([] if port is not None else [_no_port()])]
    if mould.lettering:
        stroke = stroke_of(printer.line)
        texts = label_texts(mould_id, size.gap_mm, letter=letter)
        body = _on_wall(texts, size, question.floor_mm, stroke, hooked=question.beyond_mm > 0.0)
        lid = _on_lid(texts, size, stroke)
        numbers = tuple(_number(k, size, stroke) for k in range(1, size.blanks + 1))
        remarks += _bare(body, lid, numbers)
    return TrayPlan(
        insert=question.insert,
        size=size,
        question=question,
        chord_mm=mould.chord,
        pips=(held_by.pads if held_by else ()) or tuple(_touching(laid.bottom_mm, stations)),
        legs=legs,
        port=port,
        lines=(
            *(FillLine(z, last=False) for z in heights if z < size.level_mm - APART_MM),
            FillLine(size.level_mm),
        ),
        marks=tuple(_marks(question, size, piece, MARK_LINES * printer.line)),
        mark_mm=MARK_LAYERS * printer.layer,
        poses=poses,
        spread=spread,
        body_label=body,
        lid_label=lid,
        numbers=numbers,
        remarks=tuple(remarks),
        hold=mould.hold,
        held_by=held_by,
    )


def _stations(length: float) -> Iterator[float]:
    """Where along the insert it is stood on and pressed on."""
    end = length / 2.0 - IN_MM - LEG_MM[1] / 2.0
    if end <= LEG_MM[1]:
        yield 0.0
        return
    yield -end
    if length > FROM_LONG_MM:
        yield 0.0
    yield end


def _touching(touched: Range, stations: tuple[float, ...]) -> Iterator[Rect]:
    """One rectangle on a narrow place, one at either end of a wide one."""
    low, high = touched
    wide, half = LEG_MM[0], LEG_MM[1] / 2.0
    middle = (low + high) / 2.0
    if high - low < ONE_LEG_MM:
        spans = [(min(low, middle - wide / 2.0), max(high, middle + wide / 2.0))]
    else:
        spans = [(low, low + wide), (high - wide, high)]
    for y in stations:
        for left, right in spans:
            yield left, y - half, right, y + half


def _port(size: TraySize, legs: tuple[Rect, ...]) -> Round | None:
    """A hole over one end of the pocket, as wide as it may be beside the legs."""
    width, length = size.foot_mm
    radius = min(PORT_MM, width / 2.0 - WEB_MM)
    while radius >= LEAST_PORT_MM:
        y = length / 2.0 - radius - WEB_MM
        while y > 0.0:
            if all(_apart(rect, y, radius) for rect in legs):
                return 0.0, y, radius
            y -= 0.5
        radius -= 0.25
    return None


def _apart(rect: Rect, y: float, radius: float) -> bool:
    left, front, right, back = rect
    dx, dy = max(left, -right, 0.0), max(front - y, y - back, 0.0)
    return dx * dx + dy * dy >= (radius + WEB_MM) ** 2


# ------------------------------------------------------------------------------------ pieces


def _poses(question: TrayQuestion, size: TraySize, piece: Piece, middle: float) -> Iterator[Pose]:
    """The pieces of one blank: end to end along it, or standing in columns and rows."""
    if question.saw is None:
        step = piece.length + question.kerf_mm
        first = (question.per_blank - 1) * step / 2.0
        for k in range(question.per_blank):
            yield Pose(0.0, first - k * step, middle, lies=True)
        return
    columns, rows = question.saw
    for y in _middles(size.foot_mm[1], rows, question.kerf_mm):
        for x in _middles(size.foot_mm[0], columns, question.kerf_mm):
            yield Pose(x, y, middle, lies=False)


def _middles(side: float, count: int, kerf: float) -> list[float]:
    each = (side - (count - 1) * kerf) / count
    return [(k - (count - 1) / 2.0) * (each + kerf) for k in range(count)]


def _marks(question: TrayQuestion, size: TraySize, piece: Piece, wide: float) -> Iterator[Rect]:
    """A ridge in the middle of every saw cut, from wall to wall."""
    x, y = size.foot_mm[0] / 2.0 + 1.0, size.foot_mm[1] / 2.0 + 1.0
    half = wide / 2.0
    if question.saw is None:
        step = piece.length + question.kerf_mm
        first = (question.per_blank - 2) * step / 2.0
        for k in range(question.per_blank - 1):
            at = first - k * step
            yield -x, at - half, x, at + half
        return
    columns, rows = question.saw
    for at in _cuts(size.foot_mm[0], columns, question.kerf_mm):
        yield at - half, -y, at + half, y
    for at in _cuts(size.foot_mm[1], rows, question.kerf_mm):
        yield -x, at - half, x, at + half


def _cuts(side: float, count: int, kerf: float) -> list[float]:
    middles = _middles(side, count, kerf)
    return [(a + b) / 2.0 for a, b in pairwise(middles)]


# --------------------------------------------------------------------------------- lettering


def _on_wall(
    texts: tuple[str, ...], size: TraySize, floor: float, stroke: float, *, hooked: bool
) -> Label | None:
    """Along the right wall, between the bed and the deck, and between hooks."""
    wide = 2.0 * (size.hook_at_mm - HOOK_HALF_MM) if hooked else size.body_mm[1]
    return _fitting(texts, stroke, wide=wide, high=size.deck_mm + floor, low_of=lambda _: EDGE_MM)


def _on_lid(texts: tuple[str, ...], size: TraySize, stroke: float) -> Label | None:
    """Across the lid, a quarter of a pocket in front of the front row's middle."""
    _, length = size.foot_mm
    y = size.places[-1][1] - length / 4.0
    return _fitting(
        texts, stroke, wide=size.lid_mm[0], high=length / 4.0, low_of=lambda h: y - h / 2.0
    )


def _number(number: int, size: TraySize, stroke: float) -> Label | None:
    return _fitting(
        (str(number),), stroke, wide=size.foot_mm[0], high=size.foot_mm[1] / 4.0,
        low_of=lambda h: -h / 2.0,
    )  # fmt: skip


def _fitting(
    texts: tuple[str, ...],
    stroke: float,
    *,
    wide: float,
    high: float,
    low_of: Callable[[float], float],
) -> Label | None:
    """The tallest line that fits, of the first text that fits at all, or None."""
    for text in texts:
        for height in letter_heights(stroke):
            width = text_width(text, height)
            if width + stroke + 2.0 * EDGE_MM > wide or height + stroke + 2.0 * EDGE_MM > high:
                continue
            return Label(text, height, stroke, -width / 2.0, low_of(height))
    return None


def _bare(
    body: Label | None, lid: Label | None, numbers: tuple[Label | None, ...]
) -> list[Finding]:
    places = [name for name, label in (("body", body), ("lid", lid)) if label is None]
    places += ["pockets"] if None in numbers else []
    if not places:
        return []
    return [
        Finding(
            id="tray.no-lettering",
            rule="tray",
            severity="note",
            message=(
                f"Too small for letters {LOWEST_LETTERS:g} mm high on the"
                f" {' and the '.join(places)}: mark it by hand."
            ),
            limit=LOWEST_LETTERS,
            place=" and ".join(places),
        )
    ]


def _no_port() -> Finding:
    return Finding(
        id="tray.no-port",
        rule="tray",
        severity="note",
        message=(
            "The lid has no room for a pour port of 4 mm beside its legs: fill the pockets before"
            " the lid goes on, or from the side under it."
        ),
        place="lid",
    )
