"""Keys that contradict each other, in one table: the condition and its sentence."""

from __future__ import annotations

from collections.abc import Callable, Iterator

from mouldgen.errors import JobError
from mouldgen.job.cells import cell_objections
from mouldgen.job.long_lists import long_lists
from mouldgen.job.merge import Merged
from mouldgen.job.model import Job
from mouldgen.job.objection import Objection
from mouldgen.job.piece_checks import piece_objections
from mouldgen.job.rating import above_rating
from mouldgen.job.shapes import shape_objections
from mouldgen.job.shop_checks import shop_objections
from mouldgen.job.woods import wood_density
from mouldgen.job.words import NAME_ALLOWED, is_reserved

LEAST_MM = 0.1  # of what is measured over all; common practice, no source
_OVERALL = ("length", "diameter", "width", "thickness", "small")


def check_contradictions(job: Job, merged: Merged) -> None:
    """Raise JobError for the first pair of keys that cannot both be meant."""
    for check in _CHECKS:
        for table, key, what, allowed, try_ in check(job):
            raise JobError(what, where=merged.place(table, key or None), allowed=allowed, try_=try_)


def _name(job: Job) -> Iterator[Objection]:
    if is_reserved(job.name):
        yield "", "name", f"Windows keeps the name {job.name} for itself", NAME_ALLOWED, ""


def _tiny(job: Job) -> Iterator[Objection]:
    """A slip of the units: solids are made on a grid that such a size falls through."""
    for table, sizes in (("insert", job.insert), ("piece", job.piece)):
        for key in _OVERALL:
            size = getattr(sizes, key, None)
            if size is not None and size < LEAST_MM:
                yield (
                    table, key, f"a {key} of {size:g} mm is less than any calliper shows",
                    f"at least {LEAST_MM:g} mm", "Look at its unit.",
                )  # fmt: skip
    for number, member in enumerate(job.insert.member, start=1):
        for key in _OVERALL[1:]:
            size = getattr(member, key)
            if size is not None and size < LEAST_MM:
                yield (
                    "insert", "member",
                    f"member {number}: a {key} of {size:g} mm is less than any calliper shows",
                    f"at least {LEAST_MM:g} mm", "Look at its unit.",
                )  # fmt: skip


def _shape(job: Job) -> Iterator[Objection]:
    for objection in shape_objections(job.insert):
        yield "insert", *objection


def _material(job: Job) -> Iterator[Objection]:
    insert = job.insert
    if insert.density is not None:
        return
    if insert.weight is not None and insert.displaced is not None and insert.wood is None:
        return  # the one over the other
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


def _bed(job: Job) -> Iterator[Objection]:
    needs = ("diameter",) if job.printer.shape == "round" else ("width", "depth")
    allowed = f"for a {job.printer.shape} bed: {' and '.join(needs)}"
    for key in ("diameter", "width", "depth"):
        given = getattr(job.printer, key) is not None
        if given and key not in needs:
            yield "printer", key, f"a {job.printer.shape} bed has no {key}", allowed, ""
        if not given and key in needs:
            yield "printer", key, f"a {job.printer.shape} bed needs {key}", allowed, ""


def _shares(job: Job) -> Iterator[Objection]:
    total = sum(colour.share for colour in job.colour)
    if job.colour and abs(total - 1) > 1e-6:
        yield (
            "colour", "", f"the shares of the colours add up to {total:g}, not to 1",
            "shares that add up to 1, such as 0.7 and 0.3", "",
        )  # fmt: skip


def _clock(job: Job) -> Iterator[Objection]:
    if job.pour.mix >= job.pour.close:
        yield (
            "pour", "mix",
            (
                f"mixing takes {job.pour.mix / 60:g} min, and the pot is to be closed"
                f" {job.pour.close / 60:g} min after mixing starts"
            ),
            "mix shorter than close, which counts from the start of mixing", "",
        )  # fmt: skip


def _rating(job: Job) -> Iterator[Objection]:
    above = above_rating(job.pour, job.pot)
    if above is not None:
        yield "pour", "pressure", *above, ""


def _recoat(job: Job) -> Iterator[Objection]:
    window = job.resin.recoat
    if window is not None and window[0] >= window[1]:
        yield (
            "resin", "recoat",
            (
                f"the time for a second pour begins at {window[0] / 60:g} min and ends at"
                f" {window[1] / 60:g} min, which leaves none"
            ),
            'two times from mixing, the earlier first, such as ["2 h", "24 h"]', "",
        )  # fmt: skip


def _price(job: Job) -> Iterator[Objection]:
    if job.order.resin_budget is not None and job.resin.price is None:
        yield (
            "order", "resin_budget", "the resin has no price, so its cost cannot be reckoned",
            'price in [resin], such as price = "38 per kg"', "",
        )  # fmt: skip


def _extras(job: Job) -> Iterator[Objection]:
    extras = job.extras
    if extras is None or job.pot is not None:
        return
    for key, what in (("drip_tray", "drip tray lies"), ("pot_rack", "pot rack stands")):
        if getattr(extras, key):
            yield (
                "extras", key, f"a {what} in the pot, and the job has no pot",
                'a [pot], such as card = "pot-228"', f"Or leave {key} out.",
            )  # fmt: skip


def _seats(job: Job) -> Iterator[Objection]:
    """A tray or rack has round seats; a block, or a mould with a runner beside it, has no room."""
    if job.extras is None:
        return
    if job.mould.family == "split":
        why = "a split mould is a block"
    elif job.pour.sequence == "bottom-feed":
        why = "a mould that is fed from the bottom has a runner beside it"
    else:
        return
    for key in ("drip_tray", "pot_rack"):
        if getattr(job.extras, key):
            yield (
                "extras", key, f"its seats are for round moulds, and {why}",
                f"{key} with a round mould", f"Leave {key} out.",
            )  # fmt: skip


def _shell(job: Job) -> Iterator[Objection]:
    if job.mould.family == "shell":
        from mouldgen.job.shell_checks import shell_objections  # late: most inserts are drawn

        yield from shell_objections(job)


def _draft(job: Job) -> Iterator[Objection]:
    if job.mould.family == "contour" and job.mould.draft > 0.0:
        yield (
            "mould", "draft", "a contour mould follows the outline and has no draft", "0 deg",
            "Leave draft out, or take the family cup.",
        )  # fmt: skip
    if job.mould.family == "split" and job.mould.draft > 0.0:
        yield (
            "mould", "draft", "the halves of a split mould part and need no draft", "0 deg",
            "Leave draft out.",
        )  # fmt: skip


def _mould(job: Job) -> Iterator[Objection]:
    mould = job.mould
    if mould.hold == "lid" and not mould.lid_screws and mould.tenon is None:
        return
    from mouldgen.job.mould_checks import mould_objections  # late: most jobs ask for none

    yield from mould_objections(job)


def _release(job: Job) -> Iterator[Objection]:
    if job.mould.knock_out or job.mould.score:
        from mouldgen.job.release_checks import release_objections  # late: most jobs ask for none

        yield from release_objections(job)


def _rubber(job: Job) -> Iterator[Objection]:
    mould = job.mould
    if mould.family == "master" or mould.up is not None or mould.sets is not None:
        from mouldgen.job.rubber_checks import rubber_objections  # late: most moulds are printed

        yield from rubber_objections(job)


_CHECKS: tuple[Callable[[Job], Iterator[Objection]], ...] = (
    _name, long_lists, _tiny, _shape, _material, _bed, _shares, _clock, _rating, _recoat, _price,
    _extras, _seats, _draft, _shell, _mould, _release, _rubber, piece_objections, cell_objections,
    shop_objections,
)  # fmt: skip
