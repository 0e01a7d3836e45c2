"""Holds, ears and tenons with every shape of insert, both families, grooves and drafts."""

from __future__ import annotations

from pathlib import Path

import pytest

from mouldgen.build import build_moulds
from mouldgen.errors import JobError
from mouldgen.job.load import load_job
from mouldgen.mould_set import MouldSet
from mouldgen.solid.topology import topology_of
from tests.shapes_in_moulds import SHAPES

BARE = Path(__file__).parents[2] / "bare_job.toml"
ASKED = {
    "tape": ("mould.hold=tape",),
    "screw": ("mould.hold=screw",),
    "dowel": ("mould.hold=dowel",),
    "weight": ("mould.hold=weight", "mould.tenon=8 mm", "mould.tenon_length=7 mm"),
    "band": ("mould.hold=band", "pour.layers=3"),
    "glue": ("mould.hold=glue",),
    "ears": ("mould.lid_screws=3", "mould.tenon=8 mm", "pour.layers=2"),
}
EVERY = {"rod": ("shape=rod", "diameter=24 mm"), **SHAPES}


def built(name: str, asked: str, *more: str) -> MouldSet:
    sets = [f"insert.{key}" for key in EVERY[name]]
    across = 7 if name == "thin tube" else 16
    sets += [f"piece.diameter={across} mm", "pour.shop=15 C", "plastic.softens=130 C"]
    sets += ["resin.hottest=180 C", "resin.depth=100 mm", "mould.gap=2.5 mm"]
    return build_moulds(load_job(BARE, sets=[*sets, *ASKED[asked], *more]).job)


# Ends that are not solid on the axis, or nowhere flat, or too narrow beside a tenon.
REFUSED = {
    "screw": ("tube", "plugged", "thin tube", "taper down", "left twist", "coil", "members",
              "honeycomb"),
    "glue": ("thin tube", "coil", "members", "honeycomb"),
    "weight": ("thin tube", "members", "honeycomb"),
    "ears": ("thin tube", "members", "honeycomb"),
}  # fmt: skip
REASONS = {
    "screw": "would run into|finds no wood on the axis",
    "glue": "no flat place",
    "weight": "nothing left to stand on",
    "ears": "nothing left to stand on",
}
PAIRS = [(name, asked) for name in EVERY for asked in ASKED]


@pytest.mark.parametrize(
    ("name", "asked"), [pair for pair in PAIRS if pair[0] in REFUSED.get(pair[1], ())]
)
def test_what_an_end_does_not_allow_is_refused_with_a_reason(name: str, asked: str) -> None:
    with pytest.raises(JobError, match=REASONS[asked]):
        built(name, asked)


@pytest.mark.parametrize(
    ("name", "asked"), [pair for pair in PAIRS if pair[0] not in REFUSED.get(pair[1], ())]
)
def test_every_other_shape_is_held_every_way(name: str, asked: str) -> None:
    found = built(name, asked, f"mould.family={'contour' if len(name) % 2 else 'cup'}")
    assert [f.message for f in found.findings if f.severity == "stop"] == []
    assert [f.message for f in found.findings if f.rule in ("sound", "clear")] == []
    for part in found.parts.parts:
        topology = topology_of(part.mesh)
        assert (topology.closed, topology.genus, topology.shells) == (True, part.genus, 1)


@pytest.mark.parametrize("asked", ASKED)
@pytest.mark.parametrize("grooves", [0, 2, 6])
@pytest.mark.parametrize("draft", ["0 deg", "2 deg"])
def test_grooves_and_drafts_do_not_stand_in_the_way(asked: str, grooves: int, draft: str) -> None:
    found = built("rod", asked, f"mould.vent_grooves={grooves}", f"mould.draft={draft}")
    told = [f.message for f in found.findings if f.rule in ("sound", "clear", "prints")]
    assert told == []
