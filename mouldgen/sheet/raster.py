"""A z-buffer on arrays: triangles are cut into rows, rows into pixels, all at once.

Pixels are counted from the left and from the top; pixel (i, j) is sampled at its centre,
(i + 0.5, j + 0.5).  Depth grows towards the viewer and is measured in pixels as well.
"""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]

_CHUNK = (
    1 << 19
)  # rows or pixels held at a time, so that the working arrays stay near the processor
_DEPTH_STEPS = 1 << 10  # steps a pixel of depth
_NAME_BITS = 26  # names up to 67 million; depth keeps 37 bits, 134 million steps
_NOTHING = -1
_TIE = 1e-6  # far above rounding, far below what is seen [pixels]


class ZBuffer:
    """Which named triangle is nearest at each pixel, and how near.

    Depths given to it lie between 0 and `MOST_DEPTH` pixels.
    """

    MOST_DEPTH = float(1 << 26)

    def __init__(self, width: int, height: int) -> None:
        self.width = width
        self.height = height
        self._keys = np.full(width * height, _NOTHING, np.int64)

    def draw(self, corners: Floats, names: Ints) -> None:
        """Draw triangles (n, 3, 3) in pixels and depth, named by whole numbers (n,).

        A pixel goes to the nearest triangle that holds its centre, between equals to the
        highest name.  Triangles that share an edge leave no pixel between them.
        """
        # Tall triangles are cut into columns: a long needle then makes few runs of pixels.
        extent = np.ptp(corners[:, :, :2], axis=1)
        tall = extent[:, 1] > extent[:, 0]
        self._scan(corners[~tall], names[~tall], upright=False)
        self._scan(corners[tall][:, :, [1, 0, 2]], names[tall], upright=True)

    def _scan(self, corners: Floats, names: Ints, *, upright: bool) -> None:
        """Cut triangles into rows, or with x and y swapped into columns, and lay them in."""
        rows, columns = (self.width, self.height) if upright else (self.height, self.width)
        row_step, column_step = (1, self.width) if upright else (self.width, 1)
        # Where a row and a column triangle meet, the column takes the pixels on the edge: a
        # pixel given twice does no harm, one that neither takes would be a hole.
        more = _TIE if upright else 0.0
        order = np.argsort(corners[:, :, 1], axis=1, kind="stable")
        corners = np.take_along_axis(corners, order[:, :, None], axis=1)
        top = _counted(corners[:, 0, 1] - more, rows)
        end = _counted(corners[:, 2, 1] + more, rows)
        for part in _parts(end - top):
            triangle, step = _spread((end - top)[part])
            row = top[part][triangle] + step
            left, right, depth, slope = _spans(corners[part], triangle, row)
            start, stop = _counted(left - more, columns), _counted(right + more, columns)
            keep = np.flatnonzero(stop > start)
            depth += (start + 0.5 - left) * slope
            self._fill(
                row[keep] * row_step + start[keep] * column_step,
                (stop - start)[keep],
                depth[keep] * _DEPTH_STEPS,
                slope[keep] * _DEPTH_STEPS,
                names[part][triangle[keep]],
                stride=column_step,
            )

    def _fill(
        self, first: Ints, length: Ints, depth: Floats, slope: Floats, names: Ints, *, stride: int
    ) -> None:
        """Lay runs of pixels into the buffer: where each begins, how long, how deep."""
        for part in _parts(length):
            run = length[part]
            owner, count = _spread(run)
            pixel = first[part][owner] + count * stride
            key = (depth[part][owner] + count * slope[part][owner]).astype(np.int64)
            np.maximum.at(self._keys, pixel, (key << _NAME_BITS) | names[part][owner])

    def names(self) -> Ints:
        """The name seen at each pixel (height * width,), -1 where nothing is."""
        return np.where(self._keys < 0, _NOTHING, self._keys & ((1 << _NAME_BITS) - 1))

    def depths(self) -> Floats:
        """The depth seen at each pixel (height * width,), below 0 where nothing is."""
        return (self._keys >> _NAME_BITS) / float(_DEPTH_STEPS)


def line_pixels(ends: Floats, *, width: int, height: int) -> tuple[Ints, Ints, Floats]:
    """The pixels under straight lines (n, 2, 3) given in pixels and depth.

    Returns the line (m,), the pixel (m,) and the depth of the line there (m,), one sample for
    each pixel of the longer of its two extents.  Samples outside the picture are left out.
    """
    run = ends[:, 1] - ends[:, 0]
    count = np.ceil(np.abs(run[:, :2]).max(axis=1)).astype(np.int64) + 1
    line, step = _spread(count)
    share = (step + 0.5) / count[line]
    at = ends[line, 0] + share[:, None] * run[line]
    column = np.floor(at[:, 0]).astype(np.int64)
    row = np.floor(at[:, 1]).astype(np.int64)
    inside = (column >= 0) & (column < width) & (row >= 0) & (row < height)
    pixel = row[inside] * width + column[inside]
    return line[inside], pixel, at[inside, 2]


def _counted(edge: Floats, count: int) -> Ints:
    """How many of `count` pixels have their centre before each edge."""
    return np.clip(np.ceil(edge - 0.5), 0, count).astype(np.int64)


def _parts(counts: Ints) -> Iterator[slice]:
    """Slices that hold about `_CHUNK` of what is counted, and at least one owner, each."""
    ends = np.cumsum(counts)
    low = 0
    while low < len(ends):
        before = ends[low - 1] if low else 0
        high = max(low + 1, int(np.searchsorted(ends, before + _CHUNK, side="right")))
        yield slice(low, high)
        low = high


def _spread(counts: Ints) -> tuple[Ints, Ints]:
    """For counts (2, 0, 3): owners (0, 0, 2, 2, 2) and steps (0, 1, 0, 1, 2)."""
    owner = np.repeat(np.arange(len(counts)), counts)
    step = np.arange(len(owner)) - np.repeat(np.cumsum(counts) - counts, counts)
    return owner, step


def _spans(corners: Floats, triangle: Ints, row: Ints) -> tuple[Floats, Floats, Floats, Floats]:
    """Where the middles of rows cross triangles whose corners are sorted downward.

    Returns left and right [pixels], the depth at the left end, its growth a pixel.
    """
    y: Floats = row + np.float64(0.5)
    upper = y < corners[triangle, 1, 1]
    long_x, long_z = _crossing(corners, triangle, y, 0, 2)
    # Each side is reckoned from its upper corner, in either triangle that has it: the same
    # figures in the same order, so that neighbours meet exactly.
    short_x, short_z = np.empty_like(long_x), np.empty_like(long_z)
    for chosen, a, b in ((upper, 0, 1), (~upper, 1, 2)):
        short_x[chosen], short_z[chosen] = _crossing(corners, triangle[chosen], y[chosen], a, b)
    left, right = np.minimum(long_x, short_x), np.maximum(long_x, short_x)
    start = np.where(long_x <= short_x, long_z, short_z)
    stop = np.where(long_x <= short_x, short_z, long_z)
    span = right - left
    slope: Floats = np.divide(stop - start, span, out=np.zeros_like(span), where=span > 1e-3)
    return left, right, start, slope


def _crossing(corners: Floats, triangle: Ints, y: Floats, a: int, b: int) -> tuple[Floats, Floats]:
    run = corners[:, b] - corners[:, a]
    fall = np.where(run[:, 1] > 0.0, run[:, 1], 1.0)
    grow = run / fall[:, None]
    down = y - corners[triangle, a, 1]
    x = corners[triangle, a, 0] + down * grow[triangle, 0]
    return x, corners[triangle, a, 2] + down * grow[triangle, 2]
