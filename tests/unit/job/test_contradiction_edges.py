"""Where two keys begin to contradict each other: at the very edge, and just off it."""

from __future__ import annotations

from pathlib import Path

import pytest

from mouldgen.errors import JobError
from mouldgen.job.load import load_job

BARE = Path(__file__).parents[2] / "bare_job.toml"
ROD = ("insert.diameter=20 mm",)


@pytest.mark.parametrize(
    ("refused", "allowed", "says"),
    [
        (['resin.recoat=["2 h", "2 h"]'], ['resin.recoat=["2 h", "121 min"]'],
         "begins at 120 min and ends at 120 min, which leaves none"),
        (["pour.mix=14 min", "pour.close=14 min"], ["pour.mix=14 min", "pour.close=841 s"],
         "mixing takes 14 min, and the pot is to be closed 14 min"),
        (["piece.hole=16 mm", "piece.diameter=16 mm", "piece.hole_depth=5 mm"],
         ["piece.hole=15.9 mm", "piece.diameter=16 mm", "piece.hole_depth=5 mm"],
         "the hole is 16 mm across and the piece 16 mm"),
        (["piece.hole=6 mm", "piece.length=40 mm", "piece.hole_depth=40.1 mm"],
         ["piece.hole=6 mm", "piece.length=40 mm", "piece.hole_depth=40 mm"],
         "the hole is 40.1 mm deep in a piece 40 mm long"),
        (["piece.thread=M10", "piece.diameter=10 mm", "piece.hole_depth=9 mm"],
         ["piece.thread=M10", "piece.diameter=10.1 mm", "piece.hole_depth=9 mm"],
         "the thread is 10 mm across and the piece 10 mm"),
        # A bite of 4 mm and 0.3 mm to the piece at either end: 40 + 8.6 mm.
        (["mould.hold=screw", "insert.length=48.5 mm", "piece.length=40 mm"],
         ["mould.hold=screw", "insert.length=48.6 mm", "piece.length=40 mm"],
         "a screw that bites 4 mm would reach the finished piece"),
    ],
)  # fmt: skip
def test_at_the_edge_it_is_refused_and_just_off_it_is_not(
    refused: list[str], allowed: list[str], says: str
) -> None:
    with pytest.raises(JobError, match=says):
        load_job(BARE, sets=[*ROD, *refused])
    assert load_job(BARE, sets=[*ROD, *allowed]).job is not None


@pytest.mark.parametrize("key", ["insert.length", "insert.diameter", "piece.length"])
def test_what_no_calliper_shows_is_a_slip_of_the_unit(key: str) -> None:
    """A solid so flat falls through the grid that meshes are snapped to."""
    table, _, name = key.partition(".")
    with pytest.raises(
        JobError, match=rf"\[{table}\] {name}: a {name} of 1e-09 mm is less than any"
    ):
        load_job("boathouse-pegs", sets=[f"{key}='1e-9 mm'"])
    with pytest.raises(JobError, match=f"a {name} of 0.099 mm is less"):
        load_job("boathouse-pegs", sets=[f"{key}='0.099 mm'"])
