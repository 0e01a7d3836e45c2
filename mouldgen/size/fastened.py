"""What fastening an insert or a lid, and a tenon, ask of a mould's sizes, in closed form.

Read only where a job asks for one of them.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from mouldgen.job.fastening import fastening
from mouldgen.job.model import Mould
from mouldgen.size.question import Fastened

WEB_LINES = 2.0  # printed lines between a bore and an edge
CHANNEL_MM = 2.5  # between a hook and the wall, for a band; our own choice
FLANGE_LINES = 3.0  # of a hook, and round a bolt
SEAT_MM = 0.4  # between the ears of lid and body, so that the lid sits on the rim


@dataclass(frozen=True, eq=False)
class ScrewHole:
    """The hole of a countersunk screw through the floor.

    pilot_mm, head_mm : radius of the hole and of the bore for the head [mm].
    recess_mm : straight part of that bore, from the bed up [mm].
    seal_mm : of the pilot hole in the floor [mm].
    bite_mm : least in the insert [mm].
    """

    pilot_mm: float
    head_mm: float
    recess_mm: float
    seal_mm: float
    bite_mm: float

    @property
    def cone_mm(self) -> float:
        """From the bed to where the countersink has closed to the pilot hole [mm]."""
        return self.recess_mm + self.head_mm - self.pilot_mm

    @property
    def floor_mm(self) -> float:
        """Of the whole floor [mm]."""
        return self.cone_mm + self.seal_mm


@dataclass(frozen=True, eq=False)
class DowelBore:
    """The bores that a dowel slides through.

    radius_mm : of the bores [mm].
    above_mm : from the level poured to up to the bore [mm].
    web_mm : between a bore and an edge [mm].
    """

    radius_mm: float
    above_mm: float
    web_mm: float

    @property
    def tip_mm(self) -> float:
        """From the middle of a bore to the point of its roof of 45 degrees [mm]."""
        return math.sqrt(2.0) * self.radius_mm


@dataclass(frozen=True, eq=False)
class BoltEar:
    """An ear for a bolt.

    hole_mm, tap_mm : radius of the hole in the lid's ear and in the body's [mm].
    half_mm : half the width of an ear [mm].
    grip_mm : length of thread in the body's ear [mm].
    """

    hole_mm: float
    tap_mm: float
    half_mm: float
    grip_mm: float

    @property
    def reach_mm(self) -> float:
        """How far it stands out beyond the lid [mm]; the hole keeps clear of the skirt."""
        return self.hole_mm + self.half_mm


def screw_hole(diameter_mm: float, *, clearance_mm: float) -> ScrewHole:
    """The hole for a screw of a diameter [mm].

    clearance_mm : round its head [mm].

    Raises PresetError where the presets cannot be read.
    """
    head, recess, pilot, seal, bite = fastening("screw", "head", "recess", "pilot", "seal", "bite")
    return ScrewHole(
        pilot_mm=pilot * diameter_mm / 2.0,
        head_mm=head * diameter_mm / 2.0 + clearance_mm,
        recess_mm=recess,
        seal_mm=seal,
        bite_mm=bite,
    )


def dowel_bore(diameter_mm: float, *, clearance_mm: float, line_mm: float) -> DowelBore:
    """The bores for a dowel of a diameter [mm].

    clearance_mm : round it [mm].
    line_mm : width of a printed line [mm].

    Raises PresetError where the presets cannot be read.
    """
    (above,) = fastening("dowel", "above")
    return DowelBore(diameter_mm / 2.0 + clearance_mm, above, WEB_LINES * line_mm)


def bolt_ear(name: str, *, line_mm: float) -> BoltEar:
    """The ear for a bolt such as ``M3``.

    line_mm : width of a printed line [mm].

    Raises PresetError where the presets cannot be read.
    """
    hole, tap, grip = fastening(name, "hole", "tap", "grip")
    half = hole / 2.0 + (FLANGE_LINES + 1.0) * line_mm
    return BoltEar(hole / 2.0, tap / 2.0, half, grip)


def disc_least_mm(line_mm: float) -> float:
    """Least thickness of the disc over a hole in the floor [mm]: two lines, as of any wall.

    line_mm : width of a printed line [mm].
    """
    return 2.0 * line_mm


def fastened(mould: Mould, *, line_mm: float, clearance_mm: float) -> Fastened:
    """What a mould's hold, its bolts, its tenon and a hole through its floor ask for.

    mould : what the maker chose about it.
    line_mm : width of a printed line [mm].
    clearance_mm : a side, for a sliding fit [mm].

    Raises PresetError where the presets cannot be read.
    """
    floor = skirt = freeboard = ears = 0.0
    if mould.hold == "screw":
        floor = screw_hole(mould.screw, clearance_mm=clearance_mm).floor_mm
    elif mould.hold == "dowel" and mould.family != "tray":  # a tray's own are in `size.cells`
        bore = dowel_bore(mould.dowel, clearance_mm=clearance_mm, line_mm=line_mm)
        skirt = 2.0 * (bore.web_mm + bore.tip_mm)
        freeboard = bore.above_mm + bore.radius_mm + bore.tip_mm + bore.web_mm
    elif mould.hold == "weight" and mould.family != "tray":  # its lid is a level plate
        (ears,) = fastening("ledge", "wide")
    elif mould.hold == "band":
        ears = CHANNEL_MM + FLANGE_LINES * line_mm
    if mould.lid_screws:
        ears = bolt_ear(mould.bolt, line_mm=line_mm).reach_mm
    below = mould.tenon_length if mould.tenon is not None else 0.0
    if mould.knock_out:  # the floor keeps its thickness under the disc
        below = disc_least_mm(line_mm)
    return Fastened(floor, below, skirt, freeboard, ears)
