"""Each key of the job file has one part of the sheet that it belongs to."""

from __future__ import annotations

from pathlib import Path

import pytest

from mouldgen.job.fields import fields_of
from mouldgen.job.load import load_job
from mouldgen.sheet.places import places_of

PARTS = {"order", "insert", "gap", "mould", "resin", "beds", "pot", "calendar", "buy"}


@pytest.mark.parametrize("name", ["boathouse-pegs", "lamp-finials"])
def test_every_field_stands_in_one_part(name: str) -> None:
    text = Path(f"presets/jobs/{name}.toml").read_text(encoding="utf-8")
    fields = fields_of(load_job(name), text)
    places = places_of(fields, bundle=False)

    assert set(places) == PARTS
    stands = [key for keys in places.values() for key in keys]
    assert sorted(stands) == sorted([*(field.key for field in fields), "colour"])


def test_keys_stand_where_a_maker_looks_for_them() -> None:
    text = Path("presets/jobs/boathouse-pegs.toml").read_text(encoding="utf-8")
    places = places_of(fields_of(load_job("boathouse-pegs"), text), bundle=True)

    assert {"mould.gap", "pour.close", "pour.shop"} <= set(places["gap"])
    assert {"resin.price", "cost.wood", "shop.wage"} <= set(places["buy"])
    assert {"pot.rating", "pour.pressure"} <= set(places["pot"])
    assert "insert.member" in places["insert"]
