"""Keys that contradict each other, in one table: the condition and its sentence."""

from __future__ import annotations

from collections.abc import Callable, Iterator

from mouldgen.errors import JobError
from mouldgen.job.merge import Merged
from mouldgen.job.model import Job
from mouldgen.job.woods import wood_density
from mouldgen.job.words import NAME_ALLOWED, is_reserved
from mouldgen.units import psi

_SLIP = 0.20  # a reading farther off its nominal size is a wrong key or a wrong unit


def check_contradictions(job: Job, merged: Merged) -> None:
    """Raise JobError for the first pair of keys that cannot both be meant."""
    for check in _CHECKS:
        for table, key, what, allowed, try_ in check(job):
            raise JobError(what, where=merged.place(table, key or None), allowed=allowed, try_=try_)


# table, key, what is wrong, what is allowed, what to try
_Objection = tuple[str, str, str, str, str]

_NEEDS = {
    "rod": ("diameter",),
    "flute": ("diameter", "flutes", "flute_area"),
    "bar": ("width", "thickness"),
}
_SIZES = ("diameter", "width", "thickness", "flutes", "flute_area")


def _name(job: Job) -> Iterator[_Objection]:
    if is_reserved(job.name):
        yield "", "name", f"Windows keeps the name {job.name} for itself", NAME_ALLOWED, ""


def _shape(job: Job) -> Iterator[_Objection]:
    shape = job.insert.shape
    needs = _NEEDS[shape]
    allowed = f"for a {shape}: {', '.join((*needs, 'length'))}"
    for key in _SIZES:
        given = getattr(job.insert, key) is not None
        if given and key not in needs:
            yield "insert", key, f"a {shape} has no {key}", allowed, ""
        if not given and key in needs:
            yield "insert", key, f"a {shape} needs {key}", allowed, ""


def _material(job: Job) -> Iterator[_Objection]:
    insert = job.insert
    if insert.density is not None:
        return
    allowed = 'wood = "white ash", or density = "0.68 g/ml"'
    if insert.wood is None:
        yield (
            "insert", "density", "neither [insert] wood nor density is given", allowed,
            "Weigh the insert in g and divide by its volume in ml.",
        )  # fmt: skip
        return
    try:
        wood_density(insert.wood)
    except LookupError as problem:
        yield (
            "insert", "wood", getattr(problem, "what", str(problem)),
            f"{getattr(problem, 'allowed', '')}; or a density instead",
            getattr(problem, "try_", ""),
        )  # fmt: skip


def _readings(job: Job) -> Iterator[_Objection]:
    key = "width" if job.insert.shape == "bar" else "diameter"
    nominal = getattr(job.insert, key)
    for reading in job.insert.measured:
        if abs(reading - nominal) > _SLIP * nominal:
            yield (
                "insert", "measured",
                f"a reading of {reading:g} mm is more than a fifth off the {key} of {nominal:g} mm",
                f"{(1 - _SLIP) * nominal:g} to {(1 + _SLIP) * nominal:g} mm",
                "Look for a slip of the pen, a wrong unit, or a reading of something else.",
            )  # fmt: skip


def _bed(job: Job) -> Iterator[_Objection]:
    needs = ("diameter",) if job.printer.shape == "round" else ("width", "depth")
    allowed = f"for a {job.printer.shape} bed: {' and '.join(needs)}"
    for key in ("diameter", "width", "depth"):
        given = getattr(job.printer, key) is not None
        if given and key not in needs:
            yield "printer", key, f"a {job.printer.shape} bed has no {key}", allowed, ""
        if not given and key in needs:
            yield "printer", key, f"a {job.printer.shape} bed needs {key}", allowed, ""


def _shares(job: Job) -> Iterator[_Objection]:
    total = sum(colour.share for colour in job.colour)
    if job.colour and abs(total - 1) > 1e-6:
        yield (
            "colour", "", f"the shares of the colours add up to {total:g}, not to 1",
            "shares that add up to 1, such as 0.7 and 0.3", "",
        )  # fmt: skip


def _clock(job: Job) -> Iterator[_Objection]:
    if job.pour.mix >= job.pour.close:
        yield (
            "pour", "mix",
            (
                f"mixing takes {job.pour.mix / 60:g} min, and the pot is to be closed"
                f" {job.pour.close / 60:g} min after mixing starts"
            ),
            "mix shorter than close, which counts from the start of mixing", "",
        )  # fmt: skip


def _rating(job: Job) -> Iterator[_Objection]:
    rating = job.pot.rating if job.pot else None
    if rating is not None and job.pour.pressure is not None and job.pour.pressure > rating:
        yield (
            "pour", "pressure",
            (
                f"{psi(job.pour.pressure):.3g} psi gauge is above the pot's rating of"
                f" {psi(rating):.3g} psi gauge"
            ),
            f"at most {psi(rating):.3g} psi gauge", "",
        )  # fmt: skip


def _recoat(job: Job) -> Iterator[_Objection]:
    window = job.resin.recoat
    if window is not None and window[0] >= window[1]:
        yield (
            "resin", "recoat",
            (
                f"the time for a second pour ends at {window[1] / 60:g} min, before it begins at"
                f" {window[0] / 60:g} min"
            ),
            'two times from mixing, the earlier first, such as ["2 h", "24 h"]', "",
        )  # fmt: skip


def _price(job: Job) -> Iterator[_Objection]:
    if job.order.resin_budget is not None and job.resin.price is None:
        yield (
            "order", "resin_budget", "the resin has no price, so its cost cannot be reckoned",
            'price in [resin], such as price = "38 per kg"', "",
        )  # fmt: skip


def _hole(job: Job) -> Iterator[_Objection]:
    depth = job.piece.hole_depth
    if depth is not None and depth > job.piece.length:
        yield (
            "piece", "hole_depth",
            f"the hole is {depth:g} mm deep in a piece {job.piece.length:g} mm long",
            f"at most {job.piece.length:g} mm", "",
        )  # fmt: skip


_CHECKS: tuple[Callable[[Job], Iterator[_Objection]], ...] = (
    _name, _shape, _material, _readings, _bed, _shares, _clock, _rating, _recoat, _price,
    _hole,
)  # fmt: skip
