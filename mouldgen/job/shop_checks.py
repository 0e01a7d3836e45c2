"""Keys of resin, pot, colours and shop that contradict each other."""

from __future__ import annotations

from collections.abc import Iterator

from mouldgen.job.model import Job
from mouldgen.job.objection import Objection


def shop_objections(job: Job) -> Iterator[Objection]:
    """What cannot both be meant about pot, pours, resin, colours and days."""
    yield from _pot(job)
    yield from _pours(job)
    yield from _resin(job)
    yield from _days(job)


def _pot(job: Job) -> Iterator[Objection]:
    pot = job.pot
    if pot is not None and pot.usable_mm <= 0.0:
        yield (
            "pot", "lid_in",
            (
                f"floor plate and lid take {pot.floor_plate + pot.lid_in:g} mm of a pot that is"
                f" {pot.height:g} mm high"
            ),
            "less than the height",
            "Give the height as measured without either, or both as 0 mm.",
        )  # fmt: skip


def _pours(job: Job) -> Iterator[Objection]:
    colours, layers = len(job.colour), job.pour.layers
    if job.pour.colours == "layers" and colours != layers:
        yield (
            "pour", "colours", f"there are {colours} colours for {layers} pours",
            "one [[colour]] for each of [pour] layers",
            f"Write layers = {colours}." if 1 < colours <= 4 else "",
        )  # fmt: skip
    names = [colour.name for colour in job.colour]
    twice = next((name for name in names if names.count(name) > 1), None)
    if twice is not None:
        yield "colour", "name", f"two colours are called {twice}", "a name for each", ""


def _resin(job: Job) -> Iterator[Objection]:
    resin = job.resin
    cured, out = resin.full_cure, resin.demould
    if cured is not None and out is not None and cured < out:
        yield (
            "resin", "full_cure",
            (
                f"the resin is fully cured after {cured / 3600:g} h, before it may be demoulded"
                f" after {out / 3600:g} h"
            ),
            "from demould on", "",
        )  # fmt: skip
    least, most = resin.least_depth, resin.depth
    if least is not None and most is not None and least > most:
        yield (
            "resin", "least_depth",
            f"a pour of {least:g} mm at least is over the depth of {most:g} mm",
            "at most the depth", "",
        )  # fmt: skip


def _days(job: Job) -> Iterator[Objection]:
    shop, order = job.shop, job.order
    if shop.hours is not None and shop.opens + 3600.0 * shop.hours > 86400.0:
        yield (
            "shop", "hours", f"{shop.hours:g} hours from when the shop opens pass midnight",
            "a day that ends by midnight", "Open earlier, or work fewer hours.",
        )  # fmt: skip
    if order.start is not None and order.due is not None and order.due < order.start:
        yield "order", "due", f"the day is before the start, {order.start}", "from the start on", ""
