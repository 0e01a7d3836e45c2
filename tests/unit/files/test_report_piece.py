"""The finished piece in report.json."""

from __future__ import annotations

import json

import pytest

from mouldgen.files.report import report_of
from mouldgen.files.report_piece import piece_data
from tests.demo_set import changed_set, demo_set


def test_the_demos_piece() -> None:
    found = report_of(demo_set())["piece"]
    assert json.loads(json.dumps(found)) == found
    assert (found["diameter_mm"], found["length_mm"]) == (26.0, 60.0)
    assert found["outline_mm"] == [[0.0, 13.0], [60.0, 13.0]]
    assert found["volume_ml"] == pytest.approx(31.856, abs=5e-4)  # pi 13^2 60 mm3
    assert found["wood_ml"] + found["resin_ml"] == pytest.approx(found["volume_ml"], abs=2e-3)
    assert found["resin_share"] == pytest.approx(found["resin_ml"] / found["volume_ml"], abs=1e-4)
    per_mould = demo_set().amounts.per_mould_ml
    assert found["ribbons_ml"] + found["resin_ml"] == pytest.approx(per_mould, abs=2e-3)
    assert found["ribbons_share"] == pytest.approx(found["ribbons_ml"] / per_mould, abs=1e-4)
    assert found["blank"] == {
        "length_mm": 80.0, "needed_mm": 64.0, "spare_mm": 16.0,
        "shares": [
            {"what": "piece", "count": 1, "each_mm": 60.0},
            {"what": "facing", "count": 2, "each_mm": 2.0},
        ],
        "grip_mm": 0.0, "first_end": "bottom", "face_first_mm": 7.0, "other_end_mm": 13.0,
        "face_to_mm": 60.0, "saw_marks_mm": [],
    }  # fmt: skip
    assert found["hole"] == {
        "thread": "M6", "diameter_mm": 6.0, "depth_mm": 15.0, "from_end": "bottom",
        "through": False, "drill_mm": 5.0, "drill_name": "5 mm", "drill_inch": "13/64 in",
        "drill_inch_residual_mm": -0.1594, "drilled_mm": 19.5, "stop_mm": 21.0,
        "percent_thread": 77.0, "bottoming_tap": True, "wall_in_wood_share": 1.0,
    }  # fmt: skip


def test_a_plain_hole_right_through() -> None:
    sets = ("piece.thread=M6", "piece.hole_depth=60 mm", "piece.grip=5 mm")
    found = piece_data(changed_set(*sets))
    assert found is not None
    assert (found["hole"]["through"], found["hole"]["stop_mm"]) == (True, None)
    assert found["blank"]["saw_marks_mm"] == [69.0]  # 7 mm, the piece, 2 mm of facing


def test_in_a_conflict_there_is_none() -> None:
    conflict = changed_set("pour.close=2 h")
    assert conflict.answer.gap.conflict is not None
    assert report_of(conflict)["piece"] is None
