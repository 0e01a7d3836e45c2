"""Where a finished piece is in the blank that it is turned from."""

from __future__ import annotations

from dataclasses import dataclass

Row = tuple[float, float, float, float]


@dataclass(frozen=True, eq=False)
class Pose:
    """A piece upright about its middle, or lying with its lower end to the back.

    x_mm, y_mm, z_mm : of its middle, about the axis or the middle of its cell and over the inside
        floor [mm].
    lies : whether its axis is along y.
    """

    x_mm: float
    y_mm: float
    z_mm: float
    lies: bool

    @property
    def matrix(self) -> tuple[Row, Row, Row]:
        """Takes what stands about the origin to its place, a turn and a move [mm]."""
        if self.lies:
            return (
                (1.0, 0.0, 0.0, self.x_mm),
                (0.0, 0.0, -1.0, self.y_mm),
                (0.0, 1.0, 0.0, self.z_mm),
            )
        return (
            (1.0, 0.0, 0.0, self.x_mm),
            (0.0, 1.0, 0.0, self.y_mm),
            (0.0, 0.0, 1.0, self.z_mm),
        )
