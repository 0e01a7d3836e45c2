"""A tray: open pockets side by side for inserts that lie, in closed form.

A pocket is a rectangle whose sides lean outward by the draft.  Seen from above x runs across the
pockets and y along them; heights are measured from the inside floor upward.  The pockets end at a
deck, lower than the rim round it, over which the resin of all pockets finds one level.  Volumes
are those of one pocket.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import ClassVar

from mouldgen.errors import JobError
from mouldgen.size.lying import Lying
from mouldgen.size.round import RELIEF_MM, SizeQuestion

# Our own choices, no source, but for land and border: the trays of the trade (common practice, no
# source) leave about 6 mm between two pockets and 5 mm round them.
LAND_MM = 6.0
BORDER_MM = 5.0
DECK_OVER_MM = 1.0  # of the deck over the level that is poured to
FOOT_MM = 3.0  # least height of the lid over the deck, for air and for what runs over
PROUD_MM = 1.0  # of the lid over the rim, so that a band or a weight bears on it
EAR_MM = 8.0
EAR_WIDE_MM = 20.0
EAR_THICK_MM = 3.0
LEAST_EAR_MM = 3.0
HOOK_HALF_MM = 4.5  # half the width of a hook for a band, as a cup's
FILL_LINE_MM = 0.4  # as deep as a cup's


@dataclass(frozen=True, eq=False)
class TrayQuestion(SizeQuestion):
    """What the sizes of a tray depend on besides the gap.

    laid : how the insert lies.
    rows, columns : of pockets: along them, and side by side.
    land_mm, border_mm : plastic between two pockets and round all, where pips end [mm].
    layer_mm : of the printer [mm].
    saw : columns and rows of pieces that stand side by side in a blank; None where they lie.
    per_blank : pieces that lie end to end in a blank.
    kerf_mm : of a saw cut [mm].
    pours : that fill a pocket.
    over_lid_mm : of the rim over where it else would end, for dowels across the lid [mm].
    """

    joined_later: ClassVar[frozenset[str]] = frozenset({"beyond_mm", "over_lid_mm"})

    laid: Lying = Lying(1.0, 1.0, 1.0, (0.0, 0.0), (0.0, 0.0), (0.0, 0.0))
    rows: int = 1
    columns: int = 1
    land_mm: float = LAND_MM
    border_mm: float = BORDER_MM
    layer_mm: float = 0.2
    saw: tuple[int, int] | None = None
    per_blank: int = 1
    kerf_mm: float = 0.0
    pours: int = 1
    over_lid_mm: float = 0.0

    @property
    def lines_mm(self) -> float:
        """How far the fill lines reach into the sides at the deck [mm].

        A groove would lock a blank in that is to come out: where the sides lean each line is a step
        outward, and one more is kept for a second pour.
        """
        return FILL_LINE_MM * (self.pours + 1 if self.draft_deg else 1)

    @property
    def insert_top_mm(self) -> float:
        """Height of the lying insert's highest place over the inside floor [mm]."""
        return self.pip_mm + self.laid.tall_mm

    @property
    def rise_mm(self) -> float:
        """Height of the insert as it lies [mm]."""
        return self.laid.tall_mm

    @property
    def blanks(self) -> int:
        """How many blanks are cast in one mould at once."""
        return self.rows * self.columns

    @property
    def lies(self) -> bool:
        """Whether the insert lies in the mould."""
        return True

    def layers(self, least_mm: float) -> float:
        """The least height in whole layers that is not below this [mm]."""
        return math.ceil(least_mm / self.layer_mm - 1e-9) * self.layer_mm


@dataclass(frozen=True, eq=False)
class TraySize:
    """A tray with its lid at one gap; lengths in mm, volumes in ml.

    gap_mm : between the lying insert's sides and the pocket's, where the insert stands on pips.
    slope : growth of a pocket's half width for each mm of height, tan(draft).
    foot_mm : width and length of a pocket at the inside floor.
    fill_mm, level_mm : height of the finished blank, and to pour to.
    deck_mm, rim_mm : of the deck between the pockets, and of the rim round it.
    wall_mm : printed wall, of the rim too.
    rows, columns : of pockets.
    pitch_mm : from one pocket's middle to the next across and along.
    body_mm : width and depth of the body, lifting tabs left out.
    lid_mm : width and depth of the lid.
    lines_mm : how far the fill lines reach into the sides at the deck.
    lid_foot_mm : height of the lid's underside over the deck.
    ear_mm : how far a lifting tab stands out at either end.
    body_height_mm, lid_height_mm, stack_height_mm : as printed, and put together; the lid with
        legs, which one over dowels has not.
    cavity_ml, insert_ml, riser_ml : of one pocket: bare to `fill_mm`, its insert, and above.
    beyond_mm : how far hooks stand out beyond the right and the left side.
    """

    gap_mm: float
    slope: float
    foot_mm: tuple[float, float]
    fill_mm: float
    level_mm: float
    deck_mm: float
    rim_mm: float
    wall_mm: float
    rows: int
    columns: int
    pitch_mm: tuple[float, float]
    body_mm: tuple[float, float]
    lid_mm: tuple[float, float]
    lines_mm: float
    lid_foot_mm: float
    ear_mm: float
    body_height_mm: float
    lid_height_mm: float
    stack_height_mm: float
    cavity_ml: float
    insert_ml: float
    riser_ml: float
    beyond_mm: float = 0.0

    @property
    def net_ml(self) -> float:
        """Resin of one pocket to `fill_mm` [ml]."""
        return self.cavity_ml - self.insert_ml

    @property
    def blanks(self) -> int:
        """How many blanks are cast at once."""
        return self.rows * self.columns

    @property
    def open_mm(self) -> float:
        """Height from which a pocket is open to all sides [mm]."""
        return self.deck_mm

    @property
    def across_mm(self) -> float:
        """Half of the body's diagonal, within which tabs stand, or out to a hook [mm]."""
        # Lettering keeps off the corners, so a round about these holds it.
        diagonal = math.hypot(*self.body_mm) / 2.0
        if not self.beyond_mm:
            return diagonal
        side = self.body_mm[0] / 2.0 + self.beyond_mm
        return max(diagonal, math.hypot(side, self.hook_at_mm + HOOK_HALF_MM))

    @property
    def hook_at_mm(self) -> float:
        """Along the tray from its middle to a hook, where it has any [mm]."""
        return self.body_mm[1] / 4.0

    @property
    def runner(self) -> None:
        """A tray is filled from above."""
        return

    @property
    def lies_mm(self) -> None:
        """A tray is printed as it stands."""
        return

    @property
    def sides_mm(self) -> tuple[float, float]:
        """Width and depth of what it covers: tabs, hooks, and lettering on the right wall [mm]."""
        wide, deep = self.body_mm
        right = max(self.beyond_mm, RELIEF_MM)
        return wide + self.beyond_mm + right, deep + 2.0 * self.ear_mm

    @property
    def places(self) -> tuple[tuple[float, float], ...]:
        """Middles of the pockets, x and y [mm]: row by row from the back, left to right."""
        across, along = self.pitch_mm
        return tuple(
            (
                (column - (self.columns - 1) / 2.0) * across,
                ((self.rows - 1) / 2.0 - row) * along,
            )
            for row in range(self.rows)
            for column in range(self.columns)
        )

    def pocket_mm(self, height_mm: float) -> tuple[float, float]:
        """Width and length of a pocket at a height over the inside floor [mm]."""
        grown = 2.0 * self.slope * height_mm
        return self.foot_mm[0] + grown, self.foot_mm[1] + grown

    def volume_ml(self, height_mm: float) -> float:
        """A pocket from the floor to a height [ml]."""
        return pocket_ml(self.foot_mm, self.slope, height_mm)


def pocket_ml(foot_mm: tuple[float, float], slope: float, height_mm: float) -> float:
    """Volume of a pocket whose four sides lean alike, ``a b h + (a + b) s h^2 + 4/3 s^2 h^3`` [ml].

    foot_mm : width a and length b at the floor [mm].
    slope : s, growth of half the width for each mm of height.
    height_mm : h [mm].
    """
    a, b = foot_mm
    return height_mm * (a * b + slope * height_mm * (a + b + 4.0 / 3.0 * slope * height_mm)) / 1e3


def height_for_mm(foot_mm: tuple[float, float], slope: float, volume_ml: float) -> float:
    """Height that a volume stands at in a pocket [mm], the inverse of `pocket_ml`.

    Newton's steps from above, where the volume is convex in the height: they never pass below.

    foot_mm : width and length at the floor [mm].
    slope : growth of half the width for each mm of height.
    volume_ml : at least 0 [ml].
    """
    a, b = foot_mm
    height = 1000.0 * volume_ml / (a * b)
    for _ in range(60):
        area = (a + 2.0 * slope * height) * (b + 2.0 * slope * height)
        step = 1000.0 * (pocket_ml(foot_mm, slope, height) - volume_ml) / area
        height -= step
        if abs(step) <= 1e-13 * height:
            break
    return height


def tray_size_of(question: TrayQuestion, gap_mm: float) -> TraySize:
    """The tray at a gap [mm].

    Raises JobError where a given fill height does not cover the lying insert, or the draft closes
    a pocket at its floor.
    """
    q, laid = question, question.laid
    top = q.insert_top_mm
    fill = top if q.fill_mm is None else q.fill_mm
    if fill < top - 1e-9:
        raise JobError(
            f"a fill height of {fill:g} mm leaves a lying insert bare, whose top is {top:g} mm over"
            " the floor",
            where="[mould] fill",
            allowed=f"{top:g} mm or more",
        )
    slope = math.tan(math.radians(q.draft_deg))
    foot = (
        laid.width_mm + 2.0 * (gap_mm - slope * q.pip_mm),
        laid.length_mm + 2.0 * (gap_mm - slope * q.pip_mm),
    )
    if min(foot) <= 2.0 * q.line_mm:
        raise JobError(
            f"a draft of {q.draft_deg:g} degrees closes the pocket at the floor",
            where="[mould] draft",
            try_="Take less draft.",
        )
    cavity, insert_ml = pocket_ml(foot, slope, fill), q.insert.volume_ml
    sinks = q.soak_ml + q.shrinkage * (cavity - insert_ml)
    level = max(height_for_mm(foot, slope, cavity + sinks), fill, top + q.head_mm)
    deck = q.layers(level + DECK_OVER_MM)
    over = q.over_lid_mm
    under = q.layers(max(q.freeboard_mm - over, FOOT_MM + q.lid_mm - PROUD_MM))
    # Whole layers, and a lid that stands proud of the rim, unless dowels go across it.
    lid_foot = under + q.layers(PROUD_MM) - q.lid_mm
    rim = deck + under + (q.layers(over) if over else 0.0)
    heights = _Heights(fill, level, deck, rim, lid_foot)
    return _laid_out(question, gap_mm, foot, heights)


@dataclass(frozen=True, eq=False)
class _Heights:
    """Of the blank, the level, the deck and the rim, and of the lid over the deck [mm]."""

    fill: float
    level: float
    deck: float
    rim: float
    lid_foot: float


def _laid_out(
    q: TrayQuestion, gap_mm: float, foot: tuple[float, float], heights: _Heights
) -> TraySize:
    """Walls, lid and tabs round pockets whose heights are known."""
    slope, h = math.tan(math.radians(q.draft_deg)), heights
    held = gap_mm + q.laid.width_mm / 2.0, gap_mm + q.laid.length_mm / 2.0
    # What the draft takes from a land higher up is added where less than a wall would stay.
    grown = 2.0 * slope * (h.deck - q.pip_mm) + 2.0 * q.lines_mm
    land = max(q.land_mm, _lines(q.wall_mm + grown, q.line_mm))
    # Inside the rim a foot of the lid keeps two lines of deck to stand on, or the deck is a wall.
    ledge = max(q.wall_mm, q.clearance_mm + 2.0 * q.line_mm)
    border = max(q.border_mm, _lines(q.wall_mm + ledge + grown / 2.0, q.line_mm))
    pitch = _even(2.0 * held[0] + land), _even(2.0 * held[1] + land)
    body = (
        (q.columns - 1) * pitch[0] + 2.0 * (held[0] + border),
        (q.rows - 1) * pitch[1] + 2.0 * (held[1] + border),
    )
    inset = 2.0 * (q.wall_mm + q.clearance_mm)
    half = math.hypot(*body) / 2.0
    ear = min(EAR_MM, math.sqrt(half**2 - (EAR_WIDE_MM / 2.0) ** 2) - body[1] / 2.0)
    ear = ear if ear >= LEAST_EAR_MM and body[0] > EAR_WIDE_MM else 0.0
    cavity = pocket_ml(foot, slope, h.fill)
    return TraySize(
        gap_mm=gap_mm,
        slope=slope,
        foot_mm=foot,
        fill_mm=h.fill,
        level_mm=h.level,
        deck_mm=h.deck,
        rim_mm=h.rim,
        wall_mm=q.wall_mm,
        rows=q.rows,
        columns=q.columns,
        pitch_mm=pitch,
        body_mm=body,
        lid_mm=(body[0] - inset, body[1] - inset),
        lines_mm=q.lines_mm,
        lid_foot_mm=h.lid_foot,
        ear_mm=ear,
        body_height_mm=q.floor_mm + h.rim,
        lid_height_mm=h.deck + h.lid_foot + q.lid_mm - q.insert_top_mm,
        stack_height_mm=q.floor_mm + max(h.rim, h.deck + h.lid_foot + q.lid_mm),
        cavity_ml=cavity,
        insert_ml=q.insert.volume_ml,
        riser_ml=pocket_ml(foot, slope, h.level) - cavity,
        beyond_mm=q.beyond_mm,
    )


def _lines(least_mm: float, line_mm: float) -> float:
    return math.ceil(least_mm / line_mm - 1e-9) * line_mm


def _even(length_mm: float) -> float:
    """A pitch whose half lies on the grid that files are written on."""
    from mouldgen.solid.mesh import GRID_MM  # late: it brings numpy

    return math.ceil(length_mm / (2.0 * GRID_MM) - 1e-9) * 2.0 * GRID_MM
