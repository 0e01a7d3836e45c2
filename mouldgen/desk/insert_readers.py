"""Readers of the inserts that are more than a few lengths: grooves, bundles, heaps, profiles."""

from __future__ import annotations

import math
import re
from itertools import pairwise

from mouldgen import units
from mouldgen.desk.answers import BETWEEN, Measure, measures, read_size
from mouldgen.desk.insert_line import InsertTold, read_line
from mouldgen.errors import UnitError, UsageError

FLUTES = 6
FLUTE_AREA = 0.20
FLUTE_NOTE = "share of the round section cut away, a guess"
STICKS = (2, 9)  # that are tied in one ring, from seven on round one in the middle
CLEAR_MM = 0.01  # between two sticks: those that overlap are refused
_FLUTES = re.compile(r"[,;]?\s*(?:with\s+)?([0-9]{1,3})\s*(?:flutes?|grooves?)\b", re.IGNORECASE)
_SHARE = re.compile(r"[,;]?\s*([0-9.]{1,6})\s*%[a-z\s]*$", re.IGNORECASE)
_STICKS = re.compile(
    r"\s*([0-9]{1,3})\s*(?:(?:round\s+)?(?:sticks?|rods?|dowels?)[\s,]*(?:of\b)?|[x×*])\s*(.*)",
    re.IGNORECASE,
)
_AMOUNT = re.compile(
    r"[,;]?\s*\b([0-9.]+\s*(?:kg|g|lb|weight oz|ml|cm3|litres?|l|us fl oz|imp fl oz))(?![a-z0-9])",
    re.IGNORECASE,
)
_OUTLINE = (
    "Height over the lower end, radius there; from 0 up to the length, rising.  Measure the",
    "thickness with the calliper and halve it.  Two pairs at one height are a shoulder.  Change",
    "the pairs, and `length` with the last of them, as you like.",
)


def read_flute(text: str) -> InsertTold:
    """``30 x 70 mm, 6 flutes``, and a share that they take away, such as ``20 %``, behind it."""
    share, rest = _taken(_SHARE, text)
    told, rest = _taken(_FLUTES, rest)
    flutes = FLUTES if told is None else int(told)
    if not 2 <= flutes <= 24:
        raise UsageError(f"an insert cannot have {flutes} flutes", allowed="2 to 24 flutes")
    area = FLUTE_AREA if share is None else _percent(share) / 100.0
    if not 0.0 < area < 0.6:
        raise UsageError(
            f"flutes cannot take {share} % away", allowed="more than 0 and less than 60 %"
        )
    size = read_line(rest, sides=(("diameter", "diameter"), ("length", "length")))
    sizes = dict(size.values)
    length = sizes.pop("length")
    return InsertTold(
        {**sizes, "flutes": flutes, "flute_area": round(area, 6), "length": length},
        notes={} if share else {"flute_area": FLUTE_NOTE},
        lengths=size.lengths,
    )


def read_heap(text: str) -> InsertTold:
    """``30 x 70 mm, 22 g`` of a heap in a round, ``60 x 40 x 70 mm, 90 g`` of one in a box.

    In the place of its weight the water that it displaces will do, such as ``32 ml``.
    """
    amount, rest = _taken(_AMOUNT, text)
    box = len(BETWEEN.split(rest)) == 3
    keys = ("width", "thickness", "length") if box else ("diameter", "length")
    lengths = read_size(rest, sides=keys)
    if amount is None:
        raise UsageError(
            f'"{text}" tells no weight', allowed="a weight such as 22 g, or in water 32 ml"
        )
    sizes = {key: length.text for key, length in zip(keys, lengths, strict=True)}
    return InsertTold({**_weighed(amount), **sizes}, lengths=lengths)


def _weighed(amount: str) -> dict[str, str]:
    try:
        key, found = "weight", units.mass(amount)
    except UnitError:
        key, found = "displaced", units.volume(amount)
    if found <= 0.0:
        raise UsageError(f'"{amount}" is nothing', allowed="more than 0 g")
    return {key: amount}


def read_bundle(text: str) -> InsertTold:
    """``7 sticks of 10 x 70 mm``: round ones, all alike, tied together."""
    found = _STICKS.fullmatch(text)
    sticks = int(found[1]) if found else 0
    if found is None or not STICKS[0] <= sticks <= STICKS[1]:
        raise UsageError(
            f'"{text}" is not a bundle of sticks',
            allowed=f"{STICKS[0]} to {STICKS[1]} sticks and their size, such as"
            " 7 sticks of 10 mm x 70 mm",
            try_="More than that are a heap, known by its weight." if found else "",
        )
    thick, length = read_size(found[2], sides=("diameter", "length"))
    return InsertTold(
        {
            "length": length.text,
            "member": [
                {"shape": "rod", "diameter": thick.text, "at": [f"{x:.2f} mm", f"{y:.2f} mm"]}
                for x, y in standing(sticks, thick.mm)
            ],
        },
        notes={"length": "of the sticks; each stands in a table of its own, below"},
        lengths=(thick, length),
    )


def standing(sticks: int, thick_mm: float) -> list[tuple[float, float]]:
    """Where equal round sticks stand that are tied in a ring, from seven on with one inside [mm].

    sticks : as many as `STICKS` allows.
    thick_mm : diameter of each [mm].
    """
    middle = sticks >= 7
    ring = sticks - middle
    apart = thick_mm + CLEAR_MM
    radius = apart / (2.0 * math.sin(math.pi / ring))
    radius = max(radius, apart) if middle else radius
    radius = math.ceil(100.0 * radius) / 100.0 + CLEAR_MM  # as written, to a hundredth
    turns = [2.0 * math.pi * k / ring for k in range(ring)]
    around = [(radius * math.cos(turn), radius * math.sin(turn)) for turn in turns]
    return [(0.0, 0.0)] * middle + around


def read_outline(text: str) -> InsertTold:
    """Pairs of height and radius: ``0:15, 35:9, 70:15 mm``."""
    pairs = [part.split(":") for part in re.split(r"[,;]", text) if part.strip()]
    if len(pairs) < 2 or any(len(pair) != 2 for pair in pairs):
        raise UsageError(
            f'"{text}" is no list of heights and radii',
            allowed="two pairs or more, height:radius, with commas between, such as"
            " 0:15, 35:9, 70:15 mm",
        )
    found = _heights(measures([_zero(part, text) for pair in pairs for part in pair], least_mm=0.0))
    heights, radii = found[::2], found[1::2]
    for radius in radii:
        if radius.mm <= 0.0:
            raise UsageError(f"a radius of {radius.text} is nothing", allowed="more than 0 mm")
    profile = [[high.text, wide.text] for high, wide in zip(heights, radii, strict=True)]
    return InsertTold(
        {"profile": profile, "length": heights[-1].text}, below=_OUTLINE, lengths=(*radii,)
    )


def _zero(part: str, text: str) -> str:
    """A bare 0 takes any unit; where several are written it is 0 mm."""
    part = part.strip()
    several = len(set(re.findall(r"mm|cm|in|[\"″”]", text))) > 1
    return "0 mm" if several and re.fullmatch(r"0+(?:\.0*)?", part) else part


def _heights(found: tuple[Measure, ...]) -> tuple[Measure, ...]:
    """The measures, when the heights rise from 0."""
    heights = found[::2]
    if heights[0].mm != 0.0 or heights[-1].mm <= 0.0:
        raise UsageError(
            f"the heights go from {heights[0].text} to {heights[-1].text}",
            allowed="heights from 0 at the lower end up to the length",
        )
    for lower, upper in pairwise(heights):
        if upper.mm < lower.mm:
            raise UsageError(
                f"the heights go back from {lower.text} to {upper.text}",
                allowed="heights that rise from 0 to the length",
            )
    return found


def _percent(text: str) -> float:
    try:
        return float(text)
    except ValueError:
        raise UsageError(f'"{text}" is not a number', allowed="a share such as 20 %") from None


def _taken(pattern: re.Pattern[str], text: str) -> tuple[str | None, str]:
    found = pattern.search(text)
    return (
        (None, text) if found is None else (found[1], text[: found.start()] + text[found.end() :])
    )
