"""Keys about how the blank comes out that contradict the rest."""

from __future__ import annotations

from collections.abc import Iterator

from mouldgen.job.model import Job
from mouldgen.job.objection import Objection

SCORED = ("cup", "contour")


def release_objections(job: Job) -> Iterator[Objection]:
    """What cannot be meant by a job that asks for a hole in the floor or a score line."""
    if job.mould.knock_out:
        yield from _knock_out(job)
    if job.mould.score:
        yield from _score(job)


def _knock_out(job: Job) -> Iterator[Objection]:
    mould = job.mould
    if mould.family != "cup":
        yield (
            "mould", "knock_out", f"no blank is pushed out of a {mould.family} mould from below",
            'family = "cup" with knock_out', "",
        )  # fmt: skip
    if mould.draft <= 0.0:
        yield (
            "mould", "knock_out",
            "no blank is pushed out of a straight bore: it is turned free with the first cuts",
            "a draft above 0 deg with knock_out, such as 1 deg", "Give a draft, or leave it out.",
        )  # fmt: skip
    if mould.tenon is not None:
        yield (
            "mould", "knock_out", "the tenon is where the hole in the floor would be",
            "knock_out, or a tenon", "",
        )  # fmt: skip
    if mould.hold in ("screw", "glue"):
        yield (
            "mould", "knock_out",
            f'hold = "{mould.hold}" needs the floor under the insert where the hole would be',
            "knock_out with a hold at the lid, such as tape or band", "",
        )  # fmt: skip
    if job.pour.sequence == "bottom-feed":
        yield (
            "mould", "knock_out", "resin in the runner's gate would keep the blank in the mould",
            "knock_out with another sequence than bottom-feed", "",
        )  # fmt: skip
    if job.pour.layers > 1:
        yield (
            "mould", "knock_out",
            (
                "the lines of the earlier pours are grooves that resin fills: they would keep the"
                " blank in the mould"
            ),
            "knock_out with layers = 1", "",
        )  # fmt: skip


def _score(job: Job) -> Iterator[Objection]:
    mould = job.mould
    if mould.family not in SCORED:
        yield (
            "mould", "score", f"a {mould.family} mould is not made with a score line",
            'family = "cup" or "contour" with score', "",
        )  # fmt: skip
    if mould.draft > 0.0:
        yield (
            "mould", "score",
            "a mould with a draft lets the blank go in one piece and is not split",
            "score with draft = 0", "Leave score out, or take knock_out.",
        )  # fmt: skip
    if job.pour.sequence == "bottom-feed":
        yield (
            "mould", "score", "resin in the runner would hold the wall together",
            "score with another sequence than bottom-feed", "",
        )  # fmt: skip
