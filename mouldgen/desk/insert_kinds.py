"""The kinds of inserts that ``mouldgen new`` offers: every shape of the job file, a bundle thrice.

A kind says how it is called and asked for, which size is taken where nobody knows, and how an
answer is read.  `mouldgen.desk.calliper` draws where each is measured.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass
from functools import partial

from mouldgen.desk.insert_line import Choice, InsertTold, Words, read_line
from mouldgen.desk.insert_readers import (
    FLUTES,
    read_bundle,
    read_flute,
    read_heap,
    read_outline,
)

# What an insert is larger than its piece by where nobody knows its size.
TURNING_MM = 2.0  # a side
LYING_MM = 5.0  # a side, where a tray's blank is as high as its insert is thick
FACING_MM = 5.0  # each end
FULL = 0.55  # of its round, a loose heap; belief


@dataclass(frozen=True, eq=False)
class Room:
    """What an insert of unknown size is to fill.

    across_mm : diameter of the round about it [mm].
    length_mm : along it [mm].
    lies : whether it lies in a tray; `across_mm` is then the side of a box.
    density_g_ml : of its material [g/ml].
    """

    across_mm: float
    length_mm: float
    lies: bool
    density_g_ml: float

    @property
    def side_mm(self) -> float:
        """Of a square section: its corners lie on the round [mm]."""
        return self.across_mm if self.lies else halves(self.across_mm / math.sqrt(2.0))


@dataclass(frozen=True, eq=False)
class Kind:
    """An insert as a maker knows it.

    name : in the list to choose from.
    shape : in the job file.
    words : what it is, a clause.
    asks : what is asked for, before an example.
    read : the answer.
    usual : an answer for one who does not know.
    also : other names for it.
    finished : diameter and length of a usual piece [mm], and what that would be.
    mould : the usual family.
    material : key and value of what it is usually made of, and its name; empty for a usual wood.
    """

    name: str
    shape: str
    words: str
    asks: str
    read: Callable[[str], InsertTold]
    usual: Callable[[Room], str]
    also: tuple[str, ...] = ()
    finished: tuple[float, float, str] = (26.0, 60.0, "a coat peg")
    mould: str = "cup"
    material: tuple[str, str, str] = ("", "", "")


def halves(mm: float) -> float:
    """Up to the next half millimetre [mm]."""
    return math.ceil(2.0 * mm - 1e-9) / 2.0


def _lengths(*mm: float) -> str:
    return " x ".join(f"{round(each, 2):g} mm" for each in mm)


def _outline(room: Room) -> str:
    wide, waist, length = room.across_mm / 2.0, 0.3 * room.across_mm, room.length_mm
    pairs = [(0.0, wide), (0.25, wide), (0.5, waist), (0.75, wide), (1.0, wide)]
    return ", ".join(f"{round(at * length, 2):g}:{round(r, 2):g}" for at, r in pairs) + " mm"


def _heap(room: Room) -> str:
    volume = FULL * math.pi * room.across_mm**2 / 4.0 * room.length_mm / 1000.0
    weight = max(0.1, round(volume * room.density_g_ml, 0 if volume > 10.0 else 1))
    return f"{_lengths(room.across_mm, room.length_mm)}, {weight:g} g"


def _honeycomb(room: Room) -> str:
    cell = min(5.0, round(room.side_mm / 4.0, 1))
    sizes = _lengths(room.side_mm, room.side_mm, room.length_mm)
    return f"{sizes}, cell {cell:g} mm, wall {round(cell / 10.0, 2):g} mm"


def _coil(room: Room) -> str:
    # So that it winds a few times, however short; across is never less than 4 mm.
    wire = max(1.0, math.floor(min(0.44 * room.across_mm, 0.4 * room.length_mm)) / 2.0)
    sizes = _lengths(room.across_mm, room.length_mm)
    return f"{sizes}, wire {wire:g} mm, pitch {halves(1.6 * wire):g} mm"


_LENGTH = ("length", "length")
_BAR = (("width", "width"), ("thickness", "thickness"), _LENGTH)
_ROUND = (("diameter", "diameter"), _LENGTH)

KINDS: tuple[Kind, ...] = (
    Kind(
        name="rod",
        shape="rod",
        words="a round stick",
        asks="Diameter x length",
        read=partial(read_line, sides=_ROUND),
        usual=lambda room: _lengths(room.across_mm, room.length_mm),
        also=("stick", "dowel"),
    ),
    Kind(
        name="tube",
        shape="tube",
        words="a round stick or a pipe with a bore from end to end",
        asks="Outside x bore x length, and whether its ends are open or plugged",
        read=partial(
            read_line,
            sides=(("diameter", "outside"), ("inside", "bore"), _LENGTH),
            thinner=("inside", "diameter"),
            choices=(
                Choice(
                    "plugged",
                    {
                        r"(?:ends\s+)?open|(?:not\s+|un)plugged": False,
                        r"(?:both\s+)?(?:ends\s+)?(?:plugged|shut|closed)": True,
                    },
                ),
            ),
        ),
        usual=lambda room: (
            f"{_lengths(room.across_mm, halves(room.across_mm / 2.0), room.length_mm)}, open"
        ),
        also=("pipe",),
    ),
    Kind(
        name="bar",
        shape="bar",
        words="a stick with four flat sides",
        asks="Width x thickness x length",
        read=partial(read_line, sides=_BAR),
        usual=lambda room: _lengths(room.side_mm, room.side_mm, room.length_mm),
        also=("square",),
    ),
    Kind(
        name="twist",
        shape="twist",
        words="a stick with four sides that wind round it",
        asks="Width x thickness x length, how far one turn takes, and its hand: right as a common"
        " screw, or left",
        read=partial(
            read_line,
            sides=_BAR,
            words=(
                Words(
                    "turn_length",
                    r"(?:(?:one|a|1)\s+)?(?:whole\s+)?turns?(?:\s+(?:every|in|of|takes|per|each))?",
                    "how far one turn takes, such as one turn every 120 mm",
                    after=r"(?:a|per|each|to\s+a|to\s+one)\s+(?:whole\s+)?turn",
                ),
            ),
            choices=(
                Choice(
                    "hand",
                    {
                        r"right(?:[\s-]*hand(?:ed)?)?": "right",
                        r"left(?:[\s-]*hand(?:ed)?)?": "left",
                    },
                ),
            ),
        ),
        usual=lambda room: (
            f"{_lengths(room.side_mm, room.side_mm, room.length_mm)},"
            f" one turn every {2.0 * room.length_mm:g} mm, right"
        ),
        also=("twisted bar", "barley twist"),
    ),
    Kind(
        name="flute",
        shape="flute",
        words="a round stick with grooves along it",
        asks="Diameter x length, and how many flutes",
        read=read_flute,
        usual=lambda room: f"{_lengths(room.across_mm, room.length_mm)}, {FLUTES} flutes",
        also=("fluted", "grooved"),
    ),
    Kind(
        name="coil",
        shape="coil",
        words="cane, withy or wire wound round and round",
        asks="Outside diameter x length, how thick the wire is, and its pitch, from one winding"
        " to the next",
        read=partial(
            read_line,
            sides=(("diameter", "outside diameter"), _LENGTH),
            words=(
                Words(
                    "wire",
                    r"wire(?:\s+of)?",
                    "how thick the wire is, such as wire 5 mm",
                    after=r"(?:thick\s+)?wire",
                ),
                Words("pitch", r"pitch(?:\s+of)?", "the pitch, such as pitch 8 mm", after="pitch"),
            ),
        ),
        usual=_coil,
        also=("spring", "winding"),
        finished=(20.0, 50.0, "a light pull"),
        material=("density", "0.45 g/ml", "willow, peeled and dried"),
    ),
    Kind(
        name="taper",
        shape="taper",
        words="a cone, or a round stick thinner at one end",
        asks="Thick end x thin end x length, and where its thin end stands when it is cast, up or"
        " down",
        read=partial(
            read_line,
            sides=(("diameter", "thick end"), ("small", "thin end"), _LENGTH),
            thinner=("small", "diameter"),
            choices=(
                Choice(
                    "point",
                    {
                        r"(?:thin\s+end\s+|point\s+)?up": "up",
                        r"(?:thin\s+end\s+|point\s+)?down": "down",
                    },
                ),
            ),
        ),
        usual=lambda room: (
            f"{_lengths(room.across_mm, halves(room.across_mm / 1.5), room.length_mm)}, thin end up"
        ),
        also=("cone",),
    ),
    Kind(
        name="outline",
        shape="outline",
        words="turned on a lathe: beads, coves, shoulders",
        asks="Height:radius from the lower end up, or later, and write them into the file",
        read=read_outline,
        usual=_outline,
        also=("turned", "spindle"),
    ),
    Kind(
        name="scan",
        shape="scan",
        words="any form, scanned to a file: a burl, a root, a cone",
        asks="",
        read=lambda text: InsertTold({"file": text}),
        usual=lambda _: "burl-knob.stl",
        also=("mesh", "burl"),
        mould="shell",
    ),
    Kind(
        name="bundle",
        shape="bundle",
        words="round sticks, all alike, tied or glued together",
        asks="How many sticks, and diameter x length of one",
        read=read_bundle,
        usual=lambda room: f"7 sticks of {_lengths(halves(room.across_mm / 3.0), room.length_mm)}",
        also=("sticks", "rods"),
    ),
    Kind(
        name="honeycomb",
        shape="bundle",
        words="a core of open cells, such as paper honeycomb",
        asks="Width x thickness x length, how wide a cell is inside, and how thick its walls are",
        read=partial(
            read_line,
            sides=_BAR,
            words=(
                Words(
                    "cell",
                    r"cells?(?:\s+of)?",
                    "how wide a cell is, such as cell 5 mm",
                    after="cells?",
                ),
                Words(
                    "cell_wall",
                    r"walls?(?:\s+of)?",
                    "how thick its walls are, such as wall 0.5 mm",
                    after="walls?",
                ),
            ),
        ),
        usual=_honeycomb,
        also=("comb", "cells"),
        finished=(14.0, 60.0, "half a pen"),
        mould="tray",
        material=("density", "0.75 g/ml", "paper"),
    ),
    Kind(
        name="heap",
        shape="bundle",
        words="offcuts, chips or beads, known by their weight",
        asks="Diameter x length of the round that they fit in, or width x thickness x length of"
        " their box, and their weight",
        read=read_heap,
        usual=_heap,
        also=("offcuts", "pieces", "chips"),
    ),
)


def kind_of(name: str) -> Kind:
    """The kind of a name in the list."""
    return next(kind for kind in KINDS if kind.name == name)


def names() -> tuple[str, ...]:
    """In the order of the list."""
    return tuple(kind.name for kind in KINDS)
