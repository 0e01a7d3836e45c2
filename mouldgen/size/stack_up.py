"""Does the blank have the length that pieces, facing, saw cuts and chuck take?"""

from __future__ import annotations

from dataclasses import dataclass

from mouldgen.job.lathe import Lathe
from mouldgen.job.model import Piece


@dataclass(frozen=True, eq=False)
class StackUp:
    """The length of a blank and all that is taken of it.

    From the end that is faced and drilled first: a facing, the pieces with a cut between each
    two, a facing, and where a chuck holds the blank a cut and the grip.

    blank_mm : length as cast [mm].
    pieces : out of this blank.
    piece_mm : length of each, finished [mm].
    facing_mm : taken off at either end [mm].
    grip_mm : held by the chuck, 0 with none [mm].
    kerf_mm : of each cut [mm].
    """

    blank_mm: float
    pieces: int
    piece_mm: float
    facing_mm: float
    grip_mm: float
    kerf_mm: float

    @property
    def cuts(self) -> int:
        """Between pieces, and one more to part the last one off the grip."""
        return self.pieces - 1 + (self.grip_mm > 0.0)

    @property
    def shares(self) -> tuple[tuple[str, int, float], ...]:
        """What takes length, how often, and how much each time [mm]."""
        told = (
            ("piece", self.pieces, self.piece_mm),
            ("facing", 2, self.facing_mm),
            ("cut", self.cuts, self.kerf_mm),
            ("grip", 1, self.grip_mm),
        )
        return tuple(share for share in told if share[1] * share[2] > 0.0)

    @property
    def needed_mm(self) -> float:
        """Length of the shortest blank that would do [mm]."""
        return sum(count * each for _, count, each in self.shares)

    @property
    def spare_mm(self) -> float:
        """What the blank has over that, negative where it is short [mm]."""
        return self.blank_mm - self.needed_mm

    @property
    def held_mm(self) -> float:
        """Length beyond the last piece, at the end that is held [mm]."""
        return self.facing_mm + (self.kerf_mm + self.grip_mm if self.grip_mm > 0.0 else 0.0)

    def marks_mm(self, first_mm: float) -> tuple[float, ...]:
        """Where each cut begins, from the end of the blank that is faced first [mm].

        first_mm : length of that end that is faced away [mm].
        """
        step = self.piece_mm + self.kerf_mm
        ends = [first_mm + self.piece_mm + k * step for k in range(self.pieces)]
        if self.grip_mm > 0.0:
            ends[-1] += self.facing_mm
        return tuple(ends[: self.cuts])


def stack_up(
    piece: Piece, *, blank_mm: float, facing_mm: float, lathe: Lathe, pieces: int = 1
) -> StackUp:
    """What a piece, or several, take of a blank.

    piece : the table of the job file; its grip and kerf go before the lathe's habits.
    blank_mm : length as cast [mm].
    facing_mm : taken off at either end [mm].
    lathe : habits of gripping and sawing.
    pieces : out of this blank.
    """
    return StackUp(
        blank_mm=blank_mm,
        pieces=pieces,
        piece_mm=piece.length,
        facing_mm=facing_mm,
        grip_mm=lathe.grip_mm if piece.grip is None else piece.grip,
        kerf_mm=lathe.kerf_mm if piece.kerf is None else piece.kerf,
    )
