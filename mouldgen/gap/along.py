"""The passage past an insert that is not the same all along: passages one above the other.

Creeping flow past a section at height z, up to the length L, wants a pressure gradient
``mu Q/K(z)``, so that the pressures add up as ``integral dz/K``:

- push: the insert of section A(z) drives ``Q = A U`` past z, and the force is
  ``F = mu U integral C dz`` with ``C = (A + M)^2/K + D`` (`mouldgen.physics.general_push`), in a
  thin gap ``mu U integral A^2/K dz``; home at constant force in ``mu/F integral C (L - z) dz``.
- feed: ``J rho g >= 2 integral A_o R/(H - z) dz``, ``R = integral from the foot dz/K``, A_o open.
- run-down: the same from the top, ``integral A_o R/z dz`` in place of ``A_o L/K``.

Where the round grows or shrinks evenly the gap is taken in equal factors, so that the integrals
hold however narrow its narrowest place is.  For an insert that is the same all along every one of
them is the closed form in `mouldgen.gap.passage`, which is used.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace
from functools import cached_property
from itertools import accumulate, pairwise
from typing import TYPE_CHECKING

from mouldgen.gap.passage import Passage, beside
from mouldgen.physics.quadrature import integrate

if TYPE_CHECKING:
    from mouldgen.gap.question import GapQuestion
    from mouldgen.insert.facts import Slice

Cell = tuple[float, float, float]
_POINTS = 24  # of Gauss along a stretch: the push is then exact to a millionth
_CELLS = 64  # of equal factors, over all stretches: the runs are then within a few thousandths
_FEWEST = 12  # along each of many


@dataclass(frozen=True, eq=False)
class Stretch:
    """A piece of the way.

    length : along the axis [m].
    lower, upper : radius of the round that encloses the insert at either end [m].
    passage : beside it; where the two differ only its vents and bores count.
    """

    length: float
    lower: float
    upper: float
    passage: Passage

    def at(self, radius: float) -> Passage:
        """The passage where the round has a radius [m]."""
        if self.lower == self.upper:
            return self.passage
        return replace(self.passage, envelope=radius, section=math.pi * radius**2)

    def place(self, bore: float) -> Callable[[float], tuple[float, float, float]]:
        """From a share u of the stretch to height in it, growth of that with u, and gap [m].

        bore : its radius [m].
        """
        first, last = bore - self.lower, bore - self.upper
        if first == last:
            return lambda u: (self.length * u, self.length, first)
        factor = math.log(last / first)

        def found(u: float) -> tuple[float, float, float]:
            gap = first * math.exp(factor * u)
            height = self.length * (gap - first) / (last - first)
            return height, self.length * gap * factor / (last - first), gap

        return found


@dataclass(frozen=True, eq=False)
class Along:
    """Stretches from the lower end up.

    envelope : radius of the round that encloses all of them; gaps are reckoned from it [m].
    stretches : at least one.
    """

    envelope: float
    stretches: tuple[Stretch, ...]

    @property
    def length(self) -> float:
        """Of all stretches [m]."""
        return math.fsum(one.length for one in self.stretches)

    def drag(self, gap: float) -> float:
        """Of a straight insert as long that takes as long to push home [-].

        ``2/L^2 integral C (L - z) dz``, z from the end that goes in first.

        gap : between the bore and the round that encloses the insert [m].
        """
        length, bore, start = self.length, self.envelope + gap, 0.0
        parts = []
        for one in self.stretches:
            end = start + one.length
            if one.lower == one.upper:
                weight = (length - start) ** 2 - (length - end) ** 2
                parts.append(one.passage.drag(bore - one.lower) * weight)
            else:
                parts.append(2.0 * _cone(one, bore, left=length - start))
            start = end
        return math.fsum(parts) / length**2

    def open_area(self, gap: float) -> float:
        """Area of the open section, its mean [m2].

        gap : between the bore and the round that encloses the insert [m].
        """
        return math.fsum(dz * area for dz, area, _ in self._cells(gap)) / self.length

    def conductance(self, gap: float) -> float:
        """Of a straight passage of the mean area that resin runs down as fast [m4].

        gap : between the bore and the round that encloses the insert [m].
        """
        cells = self._cells(gap)
        area = math.fsum(dz * area for dz, area, _ in cells) / self.length
        return area / (_filling(cells[::-1], lambda depth: depth) / self.length)

    def way_up(self, gap: float, *, head: float) -> float:
        """How far resin under a head rises, reckoned in the passage that it runs down [m].

        gap : between the bore and the round that encloses the insert [m].
        head : of the funnel over the foot [m].
        """
        cells = self._cells(gap)
        up = _filling(cells, lambda height: head - height)
        return up / (_filling(cells[::-1], lambda depth: depth) / self.length)

    def _cells(self, gap: float) -> list[Cell]:
        """Height, open area and conductance of every cell, from the lowest up; the last are kept,
        since one gap is asked about several times in a row."""
        if gap not in self._kept:
            self._kept.clear()
            bore, count = self.envelope + gap, max(_FEWEST, _CELLS // len(self.stretches))
            self._kept[gap] = [
                cell for one in self.stretches for cell in _cells(one, bore, count=count)
            ]
        return self._kept[gap]

    @cached_property
    def _kept(self) -> dict[float, list[Cell]]:
        return {}


def _cells(one: Stretch, bore: float, *, count: int) -> Iterator[Cell]:
    if one.lower == one.upper:
        across = bore - one.lower
        cell = one.passage.open_area(across), one.passage.conductance(across)
        yield from ((one.length / count, *cell) for _ in range(count))
        return
    place = one.place(bore)
    edges = [place(k / count)[0] for k in range(count + 1)]
    for k, (low, high) in enumerate(pairwise(edges)):
        across = place((k + 0.5) / count)[2]
        passage = one.at(bore - across)
        yield high - low, passage.open_area(across), passage.conductance(across)


def passages(question: GapQuestion) -> tuple[Passage | Along, ...]:
    """What resin passes through beside each layer of the insert, the lowest first.

    Where the insert is the same all along they are one.
    """
    pieces = question.insert.pieces
    if all(_like(piece, pieces[0]) for piece in pieces):
        return (beside(question, pieces[0]),)
    layer = question.layer_mm
    return tuple(
        Along(
            envelope=question.insert.envelope_mm / 1000.0,
            stretches=tuple(_stretches(question, k * layer, (k + 1) * layer)),
        )
        for k in range(question.pour.layers)
    )


def _like(piece: Slice, first: Slice) -> bool:
    """Whether two pieces are one to the resin: round the same outline, straight up."""
    round_ = piece.lower_mm == piece.upper_mm == first.lower_mm
    return round_ and (piece.outline_mm2, piece.corners_mm) == (first.outline_mm2, first.corners_mm)


def _stretches(question: GapQuestion, low_mm: float, high_mm: float) -> Iterator[Stretch]:
    pieces = question.insert.pieces
    edges = list(accumulate((piece.length_mm for piece in pieces), initial=0.0))
    for (start, end), piece in zip(pairwise(edges), pieces, strict=True):
        low, high = max(low_mm, start), min(high_mm, end)
        if high - low <= 1e-9 * question.insert.length_mm:
            continue
        if question.sizes.family == "shell":
            yield _followed(question, piece, (high - low) / 1000.0)
            continue
        yield Stretch(
            length=(high - low) / 1000.0,
            lower=_radius(piece, low - start) / 1000.0,
            upper=_radius(piece, high - start) / 1000.0,
            passage=beside(question, piece),
        )


def _followed(question: GapQuestion, piece: Slice, length: float) -> Stretch:
    """Beside a wall that follows the insert: the gap round a circle of the piece's area.

    Where the wall is open above a wider place there is more room than that, which is left out.
    """
    envelope, radius = question.insert.envelope_mm / 1000.0, math.sqrt(piece.section_mm2 / math.pi)
    even = replace(piece, lower_mm=radius, upper_mm=radius)
    return Stretch(length, lower=envelope, upper=envelope, passage=beside(question, even))


def _radius(piece: Slice, height_mm: float) -> float:
    if piece.lower_mm == piece.upper_mm:
        return piece.lower_mm
    return piece.lower_mm + (piece.upper_mm - piece.lower_mm) * height_mm / piece.length_mm


def _cone(one: Stretch, bore: float, *, left: float) -> float:
    """``integral C (L - z) dz`` over a stretch, `left` of L beyond its lower end [m2]."""
    place = one.place(bore)

    def weighed(u: float) -> float:
        height, growth, gap = place(u)
        return one.at(bore - gap).drag(gap) * (left - height) * growth

    return integrate(weighed, 0.0, 1.0, points=_POINTS)


def _filling(cells: list[Cell], drive: Callable[[float], float]) -> float:
    """``integral A R/drive dz`` from the first cell on, R the resistance behind the front [1/m]."""
    place = resistance = total = 0.0
    for dz, area, conductance in cells:
        middle, behind = place + 0.5 * dz, resistance + 0.5 * dz / conductance
        total += area * behind / drive(middle) * dz
        place, resistance = place + dz, resistance + dz / conductance
    return total
