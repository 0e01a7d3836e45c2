"""Which keys each shape of an insert needs and may have, and what of them cannot be meant.

The keys that every insert has (length, wood, weight, readings, bow) are not listed.
"""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise
from typing import Any

from mouldgen.job.model import Insert, Member
from mouldgen.job.table import Table

# key, what is wrong, what is allowed, what to try
Objection = tuple[str, str, str, str]

NEEDS: dict[str, tuple[str, ...]] = {
    "rod": ("diameter",),
    "tube": ("diameter", "inside"),
    "bar": ("width", "thickness"),
    "twist": ("width", "thickness", "turn_length"),
    "flute": ("diameter", "flutes", "flute_area"),
    "coil": ("diameter", "wire", "pitch"),
    "taper": ("diameter", "small"),
    "outline": ("profile",),
    "scan": ("file",),
    "bundle": (),
}
MAY: dict[str, tuple[str, ...]] = {
    "rod": ("hole", "hole_plugged"),
    "tube": ("plugged",),
    "bar": ("hole", "hole_plugged"),
    "twist": ("hand", "hole", "hole_plugged"),
    "flute": ("hole", "hole_plugged"),
    "coil": (),
    "taper": ("point", "hole", "hole_plugged"),
    "outline": ("hole", "hole_plugged"),
    "scan": ("file_unit", "mend", "scale", "end_down"),
}
HONEYCOMB = ("cell", "cell_wall", "width", "thickness")
_BUNDLES = {"members": ("member",), "a honeycomb": HONEYCOMB, "a heap": ("diameter",)}
_SIZES = (
    "diameter", "inside", "plugged", "small", "point", "width", "thickness", "turn_length",
    "hand", "wire", "pitch", "profile", "member", "cell", "cell_wall", "flutes", "flute_area",
    "hole", "hole_plugged", "file", "file_unit", "mend", "scale", "end_down",
)  # fmt: skip
_SLIP = 0.20  # a reading farther off its nominal size is a wrong key or a wrong unit
_SAME = 1e-6  # mm: two ways of writing one length


def shape_objections(insert: Insert) -> Iterator[Objection]:
    """What is wrong with the keys of an insert, the first to be told first."""
    needs, may, name = _keys(insert)
    yield from _given(insert, needs=needs, may=may, name=name)
    yield from _between(insert)
    for number, member in enumerate(insert.member, start=1):
        may = tuple(key for key in MAY[member.shape] if key in Member.model_fields)
        name = f"a {member.shape}"
        own = _given(member, needs=NEEDS[member.shape], may=may, name=name)
        for _, what, allowed, try_ in (*own, *_between(member)):
            yield "member", f"member {number}: {what}", allowed, try_
    yield from _profile(insert)
    if insert.shape == "bundle" and kind_of_bundle(insert) == "a heap":
        yield from _heap(insert)
    yield from _readings(insert)


def sizes_that_fit(insert: Insert | Member) -> frozenset[str]:
    """The keys of its sizes that an insert of this shape may have.

    insert : or one member of a bundle; a bundle may still become one of another kind.
    """
    if insert.shape == "bundle":
        return frozenset(key for needs in _BUNDLES.values() for key in needs)
    return frozenset((*NEEDS[insert.shape], *MAY[insert.shape]))


def sizes_that_do_not(insert: Insert | Member) -> frozenset[str]:
    """The keys of sizes that belong to other shapes.

    insert : or one member of a bundle.
    """
    return frozenset(_SIZES) - sizes_that_fit(insert)


def kind_of_bundle(insert: Insert) -> str:
    """``members``, ``a honeycomb`` or ``a heap``: which of its keys a bundle gives."""
    if insert.member:
        return "members"
    honeycomb = insert.cell is not None or insert.cell_wall is not None
    return "a honeycomb" if honeycomb else "a heap"


def reading_of(insert: Insert) -> tuple[str, float | None]:
    """What a calliper reads off an insert, and its nominal size [mm]; None where none is given."""
    if insert.shape in ("bar", "twist"):
        return "width", insert.width
    if insert.shape == "outline":
        radii = [radius for _, radius in insert.profile or ()]
        return "largest diameter", 2.0 * max(radii) if radii else None
    if insert.shape == "bundle" and (kind_of_bundle(insert) != "a heap" or insert.width):
        return "bundle", None
    if insert.shape == "scan":
        return "largest diameter", None if insert.scan is None else 2.0 * insert.scan.radius_mm
    return "diameter", insert.diameter


def _heap_needs(insert: Insert) -> tuple[str, ...]:
    """The round that a heap fits in, or the box."""
    boxed = insert.width is not None or insert.thickness is not None
    return ("width", "thickness") if boxed else ("diameter",)


def _keys(insert: Insert) -> tuple[tuple[str, ...], tuple[str, ...], str]:
    """Keys that are needed, keys that are allowed besides, and what to call the insert."""
    if insert.shape != "bundle":
        shape = insert.shape
        article = "an" if shape == "outline" else "a"
        if insert.scan is not None:  # handed over as a mesh
            return (), (*NEEDS[shape], *MAY[shape]), f"{article} {shape}"
        return NEEDS[shape], MAY[shape], f"{article} {shape}"
    kind = kind_of_bundle(insert)
    name = "a bundle of members" if kind == "members" else f"a bundle that is {kind}"
    needs = _heap_needs(insert) if kind == "a heap" else _BUNDLES[kind]
    return needs, (), name


def _given(
    table: Table, *, needs: tuple[str, ...], may: tuple[str, ...], name: str
) -> Iterator[Objection]:
    scanned = getattr(table, "shape", "") == "scan"  # its length is measured on it
    length = ("length",) if "length" in type(table).model_fields and not scanned else ()
    allowed = f"for {name}: {', '.join((*needs, *may, *length))}"
    for key in _SIZES:
        if key not in type(table).model_fields:
            continue
        given = getattr(table, key) != type(table).model_fields[key].default
        if given and key not in (*needs, *may):
            yield key, f"{name} has no {key}", allowed, ""
        if not given and key in needs:
            yield key, f"{name} needs {key}", allowed, ""


def _between(table: Any) -> Iterator[Objection]:
    """Sizes that must be smaller than others."""
    pairs = {
        "tube": (("inside", "diameter"),),
        "taper": (("small", "diameter"),),
        "bar": (("hole", "width"), ("hole", "thickness")),
        "twist": (("hole", "width"), ("hole", "thickness")),
        "rod": (("hole", "diameter"),),
        "flute": (("hole", "diameter"),),
    }
    checks = [
        *pairs.get(table.shape, ()),
        *((("hole", "small"),) if table.shape == "taper" else ()),
    ]
    for small, large in checks:
        inner, outer = getattr(table, small, None), getattr(table, large, None)
        if inner is not None and outer is not None and inner >= outer:
            yield (
                small, f"{small} is {inner:g} mm and {large} is {outer:g} mm",
                f"less than {outer:g} mm", "",
            )  # fmt: skip
    if getattr(table, "hole_plugged", False) and table.hole is None:
        yield "hole_plugged", "there is no hole to plug", "hole beside hole_plugged", ""


def _profile(insert: Insert) -> Iterator[Objection]:
    if insert.shape != "outline" or not insert.profile:
        return
    along = [z for z, _ in insert.profile]
    whole = f"points from 0 mm to the length of {insert.length:g} mm, rising"
    if abs(along[0]) > _SAME or abs(along[-1] - insert.length) > _SAME:
        yield (
            "profile", f"the profile goes from {along[0]:g} to {along[-1]:g} mm", whole,
            "Its first point is the lower end, its last the upper.",
        )  # fmt: skip
    for one, other in pairwise(along):
        if other < one:
            yield "profile", f"the profile goes back from {one:g} to {other:g} mm", whole, ""
    if any(c - a <= 0.0 for a, _, c in zip(along, along[1:], along[2:], strict=False)):
        yield "profile", "the profile has three points at one place", "at most two, a shoulder", ""
    if insert.hole is not None:
        least = 2.0 * min(radius for _, radius in insert.profile)
        if insert.hole >= least:
            yield (
                "hole", f"a hole of {insert.hole:g} mm is wider than the insert in some place",
                f"less than {least:g} mm", "",
            )  # fmt: skip


def _heap(insert: Insert) -> Iterator[Objection]:
    if insert.weight is None and insert.displaced is None:
        yield (
            "shape", "a bundle has neither members nor cells, and a heap needs a volume",
            'member, or cell and cell_wall, or weight = "16 g" or displaced = "32 ml"',
            "Weigh the heap, or see how much water it displaces.",
        )  # fmt: skip


def _readings(insert: Insert) -> Iterator[Objection]:
    key, nominal = reading_of(insert)
    if nominal is None:
        if insert.measured and insert.shape == "bundle":
            yield (
                "measured", "readings of a whole bundle are not used",
                "readings of an insert with one diameter or width", "",
            )  # fmt: skip
        return
    for reading in insert.measured:
        if abs(reading - nominal) > _SLIP * nominal:
            yield (
                "measured",
                f"a reading of {reading:g} mm is more than a fifth off the {key} of {nominal:g} mm",
                f"{(1 - _SLIP) * nominal:g} to {(1 + _SLIP) * nominal:g} mm",
                "Look for a slip of the pen, a wrong unit, or a reading of something else.",
            )  # fmt: skip
