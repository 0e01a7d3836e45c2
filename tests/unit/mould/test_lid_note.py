"""The lid's second line: what one mould takes, where there is room for it."""

from __future__ import annotations

import itertools
import math
from dataclasses import replace

import numpy as np
import pytest

from mouldgen.mould.label import CLEAR, Label, letter_rings, second_label
from mouldgen.mould.lid import lid_solid
from mouldgen.mould.naming import note_texts
from mouldgen.mould.plan import ENGRAVING
from tests.demo_set import changed_set, demo_set


def box_of(label: Label) -> tuple[float, float, float, float]:
    """Left, right, bottom, top of what is engraved [mm]."""
    corners = np.concatenate(letter_rings(label))
    (left, bottom), (right, top) = corners.min(axis=0), corners.max(axis=0)
    return float(left), float(right), float(bottom), float(top)


@pytest.mark.parametrize("gap", ["1 mm", "2 mm", "4 mm"])
@pytest.mark.parametrize("across", [20, 30, 40, 60])
def test_both_lines_keep_off_holes_edge_and_each_other(across: int, gap: str) -> None:
    found = changed_set(f"insert.diameter={across} mm", "insert.measured=[]", f"mould.gap={gap}",
                        "piece.diameter=16 mm")  # fmt: skip
    plan = found.plan
    for label in plan.lid_labels:
        left, right, bottom, top = box_of(label)
        for x, y, r in [*plan.vents, *([plan.port] if plan.port else [])]:
            apart = math.hypot(max(left - x, x - right, 0.0), max(bottom - y, y - top, 0.0))
            assert apart >= r + CLEAR - 0.05
        reach = max(math.hypot(a, b) for a in (left, right) for b in (bottom, top))
        assert reach <= plan.size.lid_reach_mm - 1.5 + 0.05  # ends of strokes are drawn around
    for one, two in itertools.combinations(plan.lid_labels, 2):
        a, b = box_of(one), box_of(two)
        assert max(a[2] - b[3], b[2] - a[3]) >= CLEAR - 1e-6
    assert {f.id for f in found.findings if f.rule in ("prints", "sound")} == set()


def test_a_wide_lid_says_it_all_and_a_narrow_one_says_what_it_left_out() -> None:
    wide = changed_set("insert.diameter=60 mm", "insert.measured=[]", "piece.diameter=50 mm",
                       "mould.gap=3 mm")  # fmt: skip
    size = wide.plan.size
    grams = (size.net_ml + size.riser_ml) * wide.amounts.density_g_ml
    assert wide.plan.lid_note.text == f"{size.net_ml:.1f} ML {grams:.0f} G"
    assert grams == pytest.approx(
        wide.amounts.per_mould_g, rel=0.02
    )  # grooves and legs are left out
    assert "cup.short-lettering" not in {f.id for f in wide.findings}
    short = next(f for f in demo_set().findings if f.id == "cup.short-lettering")
    assert demo_set().plan.lid_note.text == "28 G"
    assert short.severity == "note"
    assert "23.8 ML 28 G" in short.message


def test_the_second_line_is_engraved_as_deep_as_the_first() -> None:
    plan = demo_set().plan
    lid = lid_solid(plan)
    bare = lid_solid(replace(plan, lid_note=None))
    area = sum(
        0.5 * float(r[:, 0] @ np.roll(r[:, 1], -1) - r[:, 1] @ np.roll(r[:, 0], -1))
        for r in letter_rings(plan.lid_note)
    )
    sunk = bare.volume_mm3() - lid.volume_mm3()
    assert sunk == pytest.approx(area * ENGRAVING, rel=1e-3)
    assert plan.lid_note.stroke_mm == pytest.approx(2.0 * plan.question.line_mm)


def test_no_room_is_none_and_no_lettering_has_no_note() -> None:
    first = Label("A", 4.5, 0.84, -1.0, 10.0)
    wall = [(0.0, 0.0, 15.0)]
    texts = note_texts(23.8, 28.4)
    assert texts == ("23.8 ML 28 G", "28 G", "23.8 ML")
    assert second_label(texts, 0.84, holes=wall, first=first, edge_mm=17.0) is None
    assert changed_set("mould.lettering=false").plan.lid_labels == ()
