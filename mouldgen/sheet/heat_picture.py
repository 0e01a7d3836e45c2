"""The heat of a cure as SVG: temperatures in the mould over time, and how long a cup lasts.

Every quantity is a band, from the cool to the hot end of what is believed.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import replace
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from mouldgen.physics.constants import ZERO_CELSIUS
from mouldgen.sheet.chart import (
    DASHED,
    DOTTED,
    GREY,
    SMALL,
    Frame,
    Point,
    document,
    heading,
    n,
    rect,
    stroke,
    text,
    within,
    x_axis,
    y_axis,
)
from mouldgen.units import fahrenheit

if TYPE_CHECKING:
    from mouldgen.mix.cure_heat import CureHeat
    from mouldgen.physics.bands import Band, Bands
    from mouldgen.physics.history import CureHistory

_WIDTH, _HEIGHT = 200.0, 118.0  # page [mm]
_TOP, _HIGH = 34.0, 62.0  # of both plots
_LEFT, _ROOM = 16.0, 80.0  # of the mould's
_CUP_LEFT, _CUP_ROOM = 120.0, 68.0
_COOLED = 0.05  # of the highest rise: where the picture ends
_HOURS_FROM_MIN = 180.0


def heat_svg(found: CureHeat, *, plastic: str, title: str, inches: bool = False) -> str:
    """The heat of one job as a whole SVG document, the same text for the same heat.

    plastic : of the mould, such as PETG.
    title : above the picture and for screen readers; any text.
    inches : whether the job is in inches: the axis is then in °F, which stands beside °C in words.
    """
    parts = [
        heading(title, width=_WIDTH),
        *(
            _mould(found, found.mould, plastic, inches=inches)
            if found.mould is not None
            else _no_mould()
        ),
        *_cup(found),
        text(_LEFT, _HEIGHT - 4.0, _LEGEND, size=SMALL),
    ]
    return document(
        parts,
        name="heat",
        title=title,
        description=_description(found, plastic, inches=inches),
        width=_WIDTH,
        height=_HEIGHT,
    )


_LEGEND = "Bands go from the cool to the hot end of what is believed; full lines are their middle."


# --------------------------------------------------------------------------------- the mould


def _mould(found: CureHeat, mould: Bands, plastic: str, *, inches: bool) -> Iterator[str]:
    """Resin as a grey band, the wall's ends dashed, and what the plastic stands."""
    end_s = _end(mould, found.shop_c + ZERO_CELSIUS)
    hours = end_s / 60.0 >= _HOURS_FROM_MIN
    unit_s, unit = (3600.0, "h") if hours else (60.0, "min")
    hot = max(mould.peak.high, mould.wall.high) - ZERO_CELSIUS
    top = max(1.08 * hot, found.softens_c + 6.0)
    frame = Frame(
        left=_LEFT, top=_TOP, width=_ROOM, height=_HIGH, x_from=0.0, x_to=end_s / unit_s,
        y_from=10.0 * math.floor(found.shop_c / 10.0), y_to=top,
    )  # fmt: skip
    times = np.unique(np.concatenate([*(way.times for way in mould.histories), [end_s]]))
    times = times[times <= end_s]
    resin = _envelope([_along(times, way, way.hottest) for way in mould.histories])
    wall = _envelope([_along(times, way, way.wall) for way in mould.histories])
    at = (times / unit_s).tolist()
    yield _name(_LEFT, "In the mould")
    yield _band(frame, at, resin[0], resin[2])
    yield stroke(frame.path(zip(at, resin[1], strict=True)), width=0.5)
    for ends in (wall[0], wall[2]):
        yield stroke(frame.path(zip(at, ends, strict=True)), width=0.35, dashes="1.6 1")
    for value, words, dashes, under in (
        (found.softens_c, f"{plastic} softens", "", False),
        (found.wall_limit_c, "wall kept below", DASHED, True),
        (found.resin_limit_c, "resin kept below", DASHED, False),
    ):
        if value <= top:
            told = f"{words} {_celsius(value, inches=inches)}"
            yield from _limit(frame, value, told, dashes=dashes, under=under)
    yield from _span(frame, mould.gel, unit_s, _TOP - 6.5, "gels")
    yield from _span(frame, mould.glassy, unit_s, _TOP - 2.0, "hard enough")
    yield from x_axis(frame, f"{unit} after mixing; grey: resin, dashed: printed wall")
    if inches:
        low, high = fahrenheit(frame.y_from), fahrenheit(frame.y_to)
        yield from y_axis(replace(frame, y_from=low, y_to=high), "°F")
    else:
        yield from y_axis(frame, "°C")


def _end(mould: Bands, air: float) -> float:
    """When all three ways have cooled and are hard enough, the latest of them [s]."""
    cool = air + _COOLED * (mould.peak.high - air)
    ends = [float(way.times[way.hottest >= cool].max(initial=0.0)) for way in mould.histories]
    return max([*ends, mould.glassy.high if math.isfinite(mould.glassy.high) else 0.0])


def _no_mould() -> Iterator[str]:
    yield _name(_LEFT, "In the mould")
    yield text(_LEFT, _TOP + 10.0, "No gap will do, so no mould is reckoned.")


def _name(left: float, words: str) -> str:
    return text(left - 10.0, _TOP - 15.0, words, size=3.8, bold=True)


def _along(
    times: NDArray[np.float64], way: CureHistory, values: NDArray[np.float64]
) -> NDArray[np.float64]:
    """Values [K] of one history at common times [s], in degC; it has cooled where it ends."""
    return np.interp(times, way.times, values) - ZERO_CELSIUS


def _envelope(ways: Sequence[NDArray[np.float64]]) -> tuple[list[float], list[float], list[float]]:
    """Lowest, middle and highest at each time."""
    rows = np.array(ways)
    return rows.min(axis=0).tolist(), rows[1].tolist(), rows.max(axis=0).tolist()


def _band(frame: Frame, at: Sequence[float], low: Sequence[float], high: Sequence[float]) -> str:
    there = list(zip(at, high, strict=True))
    back = list(zip(at, low, strict=True))[::-1]
    return f'<path d="{frame.path([*there, *back])}z" fill="{GREY}"/>'


def _limit(
    frame: Frame, value: float, words: str, *, dashes: str = "", under: bool = False
) -> Iterator[str]:
    y = frame.y(value)
    yield stroke(f"M{n(frame.left)},{n(y)}H{n(frame.right)}", width=0.4, dashes=dashes)
    at = y + 3.4 if under else y - 1.0
    yield text(frame.right - 1.0, at, words, size=SMALL, anchor="end")


def _span(frame: Frame, band: Band, unit_s: float, line: float, words: str) -> Iterator[str]:
    """A band of times above a plot, its name on the side where there is room."""
    if not math.isfinite(band.high):
        return
    left, right = frame.x(band.low / unit_s), frame.x(min(band.high / unit_s, frame.x_to))
    yield rect(left, line - 1.8, max(0.6, right - left), 1.8, fill="black")
    room = left - frame.left
    if room > 2.0 * len(words):
        yield text(left - 1.5, line, words, size=SMALL, anchor="end")
    else:
        yield text(right + 1.5, line, words, size=SMALL)


# ----------------------------------------------------------------------------------- the cup


def _cup(found: CureHeat) -> Iterator[str]:
    """When a batch gels in its cup over its mass, each step of the axis ten times the last."""
    cups = [cup for cup in found.cups if math.isfinite(cup.gel.high)]
    needed = found.needed_s / 60.0
    top = 1.15 * max([needed, *(cup.gel.high / 60.0 for cup in cups)])
    frame = Frame(
        left=_CUP_LEFT, top=_TOP, width=_CUP_ROOM, height=_HIGH,
        x_from=math.log10(found.cups[0].mass_g), x_to=math.log10(found.cups[-1].mass_g),
        y_from=0.0, y_to=top,
    )  # fmt: skip
    yield _name(_CUP_LEFT, "In the mixing cup")
    at = [math.log10(cup.mass_g) for cup in cups]
    if len(cups) > 1:
        yield _band(
            frame, at, [cup.gel.low / 60.0 for cup in cups], [cup.gel.high / 60.0 for cup in cups]
        )
        middle: list[Point] = [(x, cup.gel.middle / 60.0) for x, cup in zip(at, cups, strict=True)]
        for piece in within(middle, low=0.0, high=top):
            yield stroke(frame.path(piece), width=0.5)
    y = frame.y(needed)
    yield stroke(f"M{n(frame.left)},{n(y)}H{n(frame.right)}", width=0.9)
    closed = f"mould closed at {needed:g} min"
    yield text(frame.right - 1.0, y + 4.0, closed, size=SMALL, anchor="end", bold=True)
    if found.total_g is not None:
        yield from _batch(frame, found.total_g, f"all {found.total_g:g} g")
    if found.cups[0].mass_g < found.largest_g < found.cups[-1].mass_g:
        yield from _batch(frame, found.largest_g, f"largest cup {math.floor(found.largest_g)} g")
    yield from _mass_axis(frame)
    yield from y_axis(frame, "gels after, min")


def _batch(frame: Frame, mass_g: float, words: str) -> Iterator[str]:
    x = frame.x(math.log10(mass_g))
    yield stroke(f"M{n(x)},{n(frame.top)}V{n(frame.foot)}", width=0.3, dashes=DOTTED)
    end = x > frame.left + 0.5 * frame.width
    yield text(
        x + (-1.0 if end else 1.0), frame.top + 3.0, words, size=SMALL,
        anchor="end" if end else "start",
    )  # fmt: skip


def _mass_axis(frame: Frame) -> Iterator[str]:
    low, high = 10.0**frame.x_from, 10.0**frame.x_to
    marks = [
        step * 10.0**power for power in range(-1, 6) for step in (1, 2, 5)
        if low * 0.999 <= step * 10.0**power <= high * 1.001
    ]  # fmt: skip
    yield from x_axis(
        frame,
        "batch in one cup, g",
        marks=[math.log10(mark) for mark in marks],
        shown=[f"{mark:g}" for mark in marks],
    )


def _description(found: CureHeat, plastic: str, *, inches: bool) -> str:
    told = []
    if found.mould is not None:
        told.append(
            f"In the mould the resin peaks at {_degrees(found.mould.peak, inches=inches)} and the"
            f" printed wall at {_degrees(found.mould.wall, inches=inches)}; {plastic} softens at"
            f" {_celsius(found.softens_c, inches=inches)}."
        )
    cups = "; ".join(
        f"{cup.mass_g:g} g after {cup.gel.low / 60.0:.0f} to {cup.gel.high / 60.0:.0f} min"
        for cup in found.cups
    )
    told.append(f"In its cup a batch gels: {cups}.")
    return " ".join(told)


def _degrees(band: Band, *, inches: bool) -> str:
    low, high = band.low - ZERO_CELSIUS, band.high - ZERO_CELSIUS
    beside = f" ({fahrenheit(low):.0f} to {fahrenheit(high):.0f} °F)" if inches else ""
    return f"{low:.0f} to {high:.0f} °C{beside}"


def _celsius(value: float, *, inches: bool) -> str:
    return f"{value:g} °C" + (f" ({round(fahrenheit(value), 1):g} °F)" if inches else "")
