"""The plots of docs/performance.md, as SVG."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from typing import Any

from mouldgen.sheet.chart import (
    GREY,
    SMALL,
    Frame,
    apart,
    document,
    heading,
    n,
    rect,
    stroke,
    text,
    ticks,
)

WIDTH = 190.0  # page [mm]
ROW = 9.0
DARK = "#707070"


def bars_svg(rows: Mapping[str, tuple[float, float]], *, title: str, unit: str) -> str:
    """One bar a row, its first part dark.

    rows : by their names, import and work.
    title : above the plot.
    unit : of the values.
    """
    left, top = 58.0, 22.0
    most = max(sum(parts) for parts in rows.values())
    frame = Frame(left, top, WIDTH - left - 24.0, ROW * len(rows), 0.0, most, 0.0, 1.0)
    parts = [heading(title, width=WIDTH), text(6.0, 16.0, f"import dark, all else light [{unit}]")]
    for k, (name, (imports, work)) in enumerate(rows.items()):
        y = top + ROW * k
        wide, more = frame.x(imports) - left, frame.x(imports + work) - frame.x(imports)
        parts += [
            text(left - 3.0, y + 5.6, name, anchor="end"),
            rect(left, y + 1.5, wide, ROW - 3.0, fill=DARK),
            rect(left + wide, y + 1.5, more, ROW - 3.0, fill=GREY),
            text(left + wide + more + 2.0, y + 5.6, f"{imports + work:.2f} {unit}"),
        ]
    for value in ticks(0.0, most, most=8):
        x = frame.x(value)
        parts += [
            stroke(f"M{n(x)},{n(frame.foot)}v1.2"),
            text(x, frame.foot + 4.8, f"{value:g}", size=SMALL, anchor="middle"),
        ]
    parts.append(stroke(f"M{n(left)},{n(frame.foot)}H{n(frame.right)}"))
    told = ", ".join(f"{name} {sum(parts):.2f} {unit}" for name, parts in rows.items())
    return document(
        parts, name="whole", title=title, description=told, width=WIDTH, height=frame.foot + 9.0
    )


def growth_svg(series: Sequence[Mapping[str, Any]], *, title: str) -> str:
    """Time against size, both logarithmic, each line from its smallest size on.

    series : each with a name, sizes, seconds and an exponent.
    title : above the plot.
    """
    sizes = [size / one["sizes"][0] for one in series for size in one["sizes"]]
    times = [spent for one in series for spent in one["seconds"]]
    low, high = math.floor(math.log10(min(times))), math.ceil(math.log10(max(times)))
    wide = math.log10(max(sizes))
    frame = Frame(16.0, 24.0, 112.0, 84.0, 0.0, wide, low, high)
    parts = [heading(title, width=WIDTH), *_axes(frame)]
    ends = [frame.y(math.log10(one["seconds"][-1])) for one in series]
    places = apart(ends, least=9.0, low=frame.top + 3.0, high=frame.foot - 5.0)
    for one, place in zip(series, places, strict=True):
        points = [
            (math.log10(size / one["sizes"][0]), math.log10(spent))
            for size, spent in zip(one["sizes"], one["seconds"], strict=True)
        ]
        parts.append(stroke(frame.path(points), width=0.5))
        for x, y in points:
            parts.append(rect(frame.x(x) - 0.6, frame.y(y) - 0.6, 1.2, 1.2, fill="black"))
        end = frame.x(points[-1][0]), frame.y(points[-1][1])
        label = frame.right + 5.0
        parts += [
            stroke(f"M{n(end[0])},{n(end[1])}L{n(label - 1.0)},{n(place)}", colour=GREY),
            text(label, place, one["name"], size=SMALL),
            text(label, place + 4.0, f"exponent {one['exponent']:.2f}", size=SMALL),
        ]
    told = ", ".join(f"{one['name']} {one['exponent']:.2f}" for one in series)
    return document(
        parts, name="growth", title=title, description=f"Exponents: {told}", width=WIDTH,
        height=frame.foot + 14.0,
    )  # fmt: skip


def _axes(frame: Frame) -> Iterator[str]:
    yield stroke(f"M{n(frame.left)},{n(frame.top)}V{n(frame.foot)}H{n(frame.right)}")
    for power in range(int(frame.y_from), int(frame.y_to) + 1):
        y = frame.y(power)
        yield stroke(f"M{n(frame.left)},{n(y)}h-1.2")
        yield text(frame.left - 2.0, y + 1.1, f"{10.0**power:g}", size=SMALL, anchor="end")
    for power in range(int(frame.x_to) + 1):
        x = frame.x(power)
        yield stroke(f"M{n(x)},{n(frame.foot)}v1.2")
        yield text(x, frame.foot + 4.8, f"{10.0**power:g}", size=SMALL, anchor="middle")
    yield text(frame.left - 2.0, frame.top - 4.0, "time [s]")
    yield text(
        frame.left + frame.width / 2.0, frame.foot + 10.0, "times the smallest size",
        anchor="middle",
    )  # fmt: skip
