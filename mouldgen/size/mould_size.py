"""What every size of a mould tells, whatever its family."""

from __future__ import annotations

from typing import Protocol


class MouldSize(Protocol):
    """A mould with its lid at one gap; volumes are those of one blank."""

    @property
    def gap_mm(self) -> float:
        """Between the insert's lowest section and the bare cavity [mm]."""

    @property
    def slope(self) -> float:
        """By how much a wall leans for each mm of height, tan(draft)."""

    @property
    def fill_mm(self) -> float:
        """Height that the finished blank must reach [mm]."""

    @property
    def level_mm(self) -> float:
        """Height to pour to [mm]."""

    @property
    def rim_mm(self) -> float:
        """Height of the body's rim [mm]."""

    @property
    def open_mm(self) -> float:
        """Height from which a cell is open to its side or its lid [mm]."""

    @property
    def wall_mm(self) -> float:
        """Printed wall [mm]."""

    @property
    def across_mm(self) -> float:
        """Radius of the round about its middle that body and lid go into [mm]."""

    @property
    def sides_mm(self) -> tuple[float, float] | None:
        """Width and depth of what it covers, lifting tabs included; None where it is round [mm]."""

    @property
    def runner(self) -> object | None:
        """What fills it from below, or None."""

    @property
    def lies_mm(self) -> tuple[float, float, float] | None:
        """Width, length and height of the body as printed, where it lies on its back [mm]."""

    @property
    def body_height_mm(self) -> float:
        """Of the body as printed [mm]."""

    @property
    def lid_height_mm(self) -> float:
        """Of the lid as printed [mm]."""

    @property
    def stack_height_mm(self) -> float:
        """Of body and lid put together [mm]."""

    @property
    def blanks(self) -> int:
        """How many blanks are cast in one mould at once."""

    @property
    def cavity_ml(self) -> float:
        """Bare cavity of one blank up to `fill_mm` [ml]."""

    @property
    def insert_ml(self) -> float:
        """The part of its insert below `fill_mm` [ml]."""

    @property
    def riser_ml(self) -> float:
        """Resin from `fill_mm` to `level_mm` [ml]."""

    @property
    def net_ml(self) -> float:
        """Resin of one blank up to `fill_mm` [ml]."""
