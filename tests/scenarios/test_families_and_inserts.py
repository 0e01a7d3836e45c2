"""Every family with every shape of insert: sound, clear and printable, or the declared reason."""

from __future__ import annotations

from pathlib import Path

import pytest

from mouldgen.build import build_moulds
from mouldgen.errors import JobError
from mouldgen.job.load import load_job
from mouldgen.mould.families import NAMES, family_of
from mouldgen.solid.topology import topology_of
from tests.shapes_in_moulds import SHAPES

BARE = Path(__file__).parents[1] / "bare_job.toml"
MORE: dict[str, tuple[str, ...]] = {
    "rod": ("shape=rod", "diameter=22 mm"),
    "flute": ("shape=flute", "diameter=24 mm", "flutes=5", "flute_area=0.2"),
    "bar": ("shape=bar", "width=18 mm", "thickness=12 mm"),
}
INSERTS = {**MORE, **SHAPES, "scan": ()}  # the scan is that of a shipped job
# What a family cannot do without, or needs room for.
ASKS: dict[str, tuple[str, ...]] = {
    "split": ("mould.fill=70 mm",),
    "block": ("mould.cells=[1, 2]",),
    "tray": ("mould.cells=[1, 2]", "piece.diameter=8 mm", "piece.turning=1 mm"),
    "master": ("rubber.card=tin-cure-silicone",),
}
# What is no fault of a mould: its shape, its fit, its print.
MOULD_RULES = ("sound", "clear", "prints", "pour", "beds")


def settings(family: str, name: str) -> list[str]:
    """A cool shop and a plastic that stands heat: heat is not what is asked about here."""
    across = {"thin tube": 7, "scan": 34}.get(name, 16)
    return [
        *(f"insert.{key}" for key in INSERTS[name]),
        f"mould.family={family}",
        f"piece.diameter={across} mm",
        "pour.shop=15 C",
        "plastic.softens=130 C",
        "resin.hottest=180 C",
        "resin.depth=100 mm",
        *ASKS.get(family, ()),
    ]


@pytest.mark.parametrize("name", INSERTS)
@pytest.mark.parametrize("family", NAMES)
def test_it_is_made_or_declined(family: str, name: str) -> None:
    job = load_job("burl-knobs" if name == "scan" else BARE, sets=settings(family, name)).job
    reason = family_of(family).against.get(job.insert.shape)
    if reason is not None:
        with pytest.raises(JobError, match=f"does not take an insert of shape.*{reason[:20]}"):
            build_moulds(job)
        return
    if (family, name) == ("tray", "members"):
        with pytest.raises(JobError, match="a bundle with a taper in it does not lie level"):
            build_moulds(job)
        return
    found = build_moulds(job)
    wrong = [(f.id, f.message) for f in found.findings if f.severity == "stop"]
    assert wrong == []
    assert {f.id for f in found.findings if f.severity == "warn" and f.rule in MOULD_RULES} <= {
        "prints.slender"
    }
    for part in found.parts.parts:
        topology = topology_of(part.mesh)
        assert (topology.closed, topology.inward, topology.flat) == (True, 0, 0), part.name
        assert (topology.genus, topology.shells) == (part.genus, part.shells), part.name


def test_each_family_takes_some_and_says_how_it_lets_go() -> None:
    for name in NAMES:
        family = family_of(name)
        assert family.name == name
        assert family.release.endswith(".")
        assert len(family.against) < 10
        assert all(reason for reason in family.against.values())
