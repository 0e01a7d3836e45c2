"""A thread cut into a plugged hollow holds in nothing."""

import pytest

from mouldgen.build import build_moulds
from mouldgen.job.load import load_job


def ids(*sets: str) -> list[str]:
    job = load_job("curtain-finials", sets=["piece.hole_depth=12 mm", *sets]).job
    return [f.id for f in build_moulds(job).findings if f.severity == "stop"]


@pytest.mark.parametrize(
    ("sets", "stops"),
    [
        # The tube is 3/8 in, 9.525 mm, inside; an M6 is drilled 5 mm.
        (("insert.plugged=true", "piece.thread=M6"), ["piece.hole-in-hollow"]),
        (("insert.plugged=true", "piece.hole=9 mm"), ["piece.hole-in-hollow"]),
        (("insert.plugged=true", "piece.hole=10 mm"), []),
        (("piece.thread=M6",), []),
    ],
)
def test_only_a_hollow_wider_than_the_drill_stops(sets: tuple[str, ...], stops: list[str]) -> None:
    assert ids(*sets) == stops
