"""Where moulds stand in the pot: on a tray, each foot in a seat that leaves it free.

All radii are from the pot's axis or a mould's own.  The tray keeps the pot's margin, or what the
print bed holds where that is less; the rack lies in the tray whether or not one is printed.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from mouldgen.errors import InternalError, NoAnswerError
from mouldgen.mould.plan import RELIEF
from mouldgen.packing.pack import pack
from mouldgen.packing.shapes import Disc, RoundBed

if TYPE_CHECKING:
    from mouldgen.job.shop_tables import Pot, Printer
    from mouldgen.mould.extras.question import ExtrasQuestion

# Our own choices, no source: room for a strip of tape or a rubber band round a mould, a rack that
# lifts out of its tray, guides tall enough to stop a push with a sleeve and low enough to see a
# leak, room for a loose string between neighbours, a guide that does not end on the plate's edge.
SEAT_MM = 1.0
LOOSE_MM = 0.5
GUIDE_MM = 12.0
APART_MM = 2.0
EDGE_MM = 0.5
SNAP_MM = 1.0 / 16.0


@dataclass(frozen=True, eq=False)
class InPot:
    """Moulds as they stand in the pot.

    across_mm : diameter that the pot leaves within its margin [mm].
    tray_mm, inside_mm, rack_mm : radius of the tray, of its inside and of the rack [mm].
    guide_mm : height of the seats' guides over the tray [mm].
    foot_mm : largest radius of a mould up to there [mm].
    seat_mm, collar_mm : radius of a seat, and of the guide round it [mm].
    needs_mm : radius that one mould takes in the pot, its guide and its lid [mm].
    seats : x and y of each seat from the pot's axis [mm].
    loads : pots that all moulds take.
    bed_limits : whether the print bed keeps the tray smaller than the pot would.
    """

    across_mm: float
    tray_mm: float
    inside_mm: float
    rack_mm: float
    guide_mm: float
    foot_mm: float
    seat_mm: float
    collar_mm: float
    needs_mm: float
    seats: tuple[tuple[float, float], ...]
    loads: int
    bed_limits: bool


def in_pot(question: ExtrasQuestion) -> InPot:
    """As many moulds as stand in the pot at once, or all of them.

    Raises NoAnswerError where not one does.
    """
    pot, size, wall = _pot(question), question.size, question.sizes.wall_mm
    across = pot.diameter - 2.0 * pot.margin
    bed = _bed_across(question.printer)
    # Less what the corners of a polygon stand off its circle, and a little for rounding.
    tray = min(across, bed) / 2.0 - question.chord_mm - 0.01
    inside = tray - wall
    guide = question.layers(min(GUIDE_MM, size.body_height_mm / 2.0))
    stands_out = max(question.sizes.groove_mm, RELIEF if question.lettered else 0.0)
    foot = size.bore.widest_mm(-question.sizes.floor_mm, guide) + wall + stands_out
    seat = foot + SEAT_MM
    collar, rack = seat + wall, inside - LOOSE_MM
    needs = max(size.across_mm, collar + EDGE_MM + across / 2.0 - rack)
    try:
        plates = pack(
            [Disc(needs)] * question.moulds,
            RoundBed(across),
            margin_mm=0.0,
            spacing_mm=APART_MM,
            snap_mm=SNAP_MM,
        )
    except NoAnswerError:
        raise NoAnswerError(
            f"a mould takes {2.0 * needs:.1f} mm in the pot, with the guide of its seat, and the"
            f" pot leaves {across:.6g} mm within its margin",
            where="[extras]",
            try_="Use a larger pot, or print no tray and no rack.",
        ) from None
    middle = across / 2.0
    seats = tuple((placed.x_mm - middle, placed.y_mm - middle) for placed in plates[0])
    return InPot(
        across, tray, inside, rack, guide, foot, seat, collar, needs, seats,
        loads=len(plates), bed_limits=bed < across,
    )  # fmt: skip


def _pot(question: ExtrasQuestion) -> Pot:
    if question.pot is None:
        raise InternalError("a tray or a rack was asked for without a pot")
    return question.pot


def _bed_across(printer: Printer) -> float:
    """Diameter of the largest round that the bed takes within its margin [mm]."""
    sides = (printer.diameter,) if printer.shape == "round" else (printer.width, printer.depth)
    return min(side for side in sides if side is not None) - 2.0 * printer.margin
