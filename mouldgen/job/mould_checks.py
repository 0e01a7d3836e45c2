"""Keys about how the insert is held, and about a tenon, that contradict each other or the rest."""

from __future__ import annotations

from collections.abc import Iterator

from mouldgen.job.fastening import fastening
from mouldgen.job.model import Job
from mouldgen.job.objection import Objection

UPRIGHT = ("cup", "contour")  # families whose lid goes over one round wall
AT_THE_FOOT = ("screw", "glue")
APART_MM = 0.3  # between the screw's point and the finished piece


def mould_objections(job: Job) -> Iterator[Objection]:
    """What cannot be meant in [mould] by a job that asks for more than the plain lid.

    Raises PresetError where the presets cannot be read.
    """
    yield from _family(job)
    yield from _runner(job)
    yield from _twice(job)
    yield from _screw(job)
    yield from _tenon(job)


def _asked(job: Job) -> Iterator[tuple[str, str]]:
    """Keys that ask for something on body or lid, each with what it asks for."""
    mould = job.mould
    if mould.hold not in ("lid", "none"):
        yield "hold", f'hold = "{mould.hold}"'
    if mould.lid_screws:
        yield "lid_screws", "lid_screws"
    if mould.tenon is not None:
        yield "tenon", "a tenon"


def _family(job: Job) -> Iterator[Objection]:
    """Bolts and tenons; which holds a family is made with stands in `mould.families`."""
    if job.mould.family in UPRIGHT:
        return
    for key, what in _asked(job):
        if key == "hold":
            continue
        yield (
            "mould", key, f"a {job.mould.family} mould is not made with {what}",
            f'family = "cup" or "contour" with {what}', "",
        )  # fmt: skip


def _runner(job: Job) -> Iterator[Objection]:
    if job.pour.sequence != "bottom-feed":
        return
    for key, what in _asked(job):
        if key == "hold" and job.mould.hold in AT_THE_FOOT:
            continue
        yield (
            "mould", key,
            f"a mould that is fed from the bottom has its runner where {what} would be",
            'hold = "lid", "screw", "glue" or "none" with sequence = "bottom-feed"', "",
        )  # fmt: skip


def _twice(job: Job) -> Iterator[Objection]:
    mould = job.mould
    if mould.lid_screws and mould.hold != "lid":
        yield (
            "mould", "lid_screws", f'the lid is bolted and hold = "{mould.hold}" as well',
            'lid_screws with hold = "lid", or another hold without lid_screws', "",
        )  # fmt: skip
    if mould.tenon is not None and mould.hold in AT_THE_FOOT:
        yield (
            "mould", "tenon",
            f'hold = "{mould.hold}" needs the floor under the insert where the tenon is',
            "a tenon with a hold at the lid, such as tape or band", "",
        )  # fmt: skip


def _screw(job: Job) -> Iterator[Objection]:
    if job.mould.hold != "screw" or job.mould.family == "tray":  # there it is off the axis
        return
    insert = job.insert
    if insert.hole is not None or insert.shape in ("tube", "coil"):
        what = "its hole" if insert.hole is not None else f"a {insert.shape}"
        yield (
            "mould", "hold", f"a screw from below on the axis would run into {what}",
            "an insert that is solid on its axis, or another hold", "",
        )  # fmt: skip
    (bite,) = fastening("screw", "bite")
    waste = (insert.length - job.piece.length) / 2.0 - APART_MM
    if waste < bite - 1e-9:
        need = job.piece.length + 2.0 * (bite + APART_MM)
        yield (
            "mould", "hold",
            (
                f"a screw that bites {bite:g} mm would reach the finished piece: only"
                f" {max(waste, 0.0):.1f} mm of the insert's foot are waste"
            ),
            f"an insert {need:g} mm long or longer, a shorter piece, or another hold", "",
        )  # fmt: skip


def _tenon(job: Job) -> Iterator[Objection]:
    if job.mould.tenon is not None and job.piece.grip is not None:
        yield (
            "piece", "grip", "the chuck holds the tenon, and a grip of the blank besides",
            "grip, or a tenon", "",
        )  # fmt: skip
