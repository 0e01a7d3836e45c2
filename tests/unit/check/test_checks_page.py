"""The page about the checks names every finding of `prints`, and the limits that the code has."""

from __future__ import annotations

import re
from pathlib import Path

from mouldgen.check import overhang, print_walls, prints
from mouldgen.check.print_parts import PITCH_MM

ROOT = Path(__file__).parents[3]
PAGE = (ROOT / "docs" / "what-is-checked.md").read_text(encoding="utf-8")


def test_every_finding_is_told_and_no_other():
    code = (ROOT / "mouldgen" / "check" / "prints.py").read_text(encoding="utf-8")
    assert set(re.findall(r"^\| `(prints[\w.-]+)`", PAGE, re.MULTILINE)) == set(
        re.findall(r'id="(prints[\w.-]+)"', code)
    )


def test_the_limits_are_the_codes():
    row = dict(re.findall(r"^\| `(prints[\w.-]+)` \| (.*?) \|", PAGE, re.MULTILINE))
    assert f"more than {prints.LONGEST_BRIDGE_MM:g} mm" in row["prints.bridge"]
    assert f"more than {prints.MOST_SLENDER:g} times" in row["prints.slender"]
    assert f"{prints.LEAST_HANGING_MM2:g} mm2 or more" in row["prints.overhang"]
    assert f"{overhang.STEEPEST_DEG:g} degrees" in row["prints.overhang"]
    assert f"more than {print_walls.FEATHER_LINES:g} lines inward" in row["prints.feather"]
    assert f"over {print_walls.SHORTEST_FEATHER_MM:g} mm or more" in row["prints.feather"]
    assert prints.LEAST_LINES == 2.0
    assert f"lines {PITCH_MM:g} mm apart" in PAGE
    assert f"narrower than {print_walls.DETAIL_MM:g} mm" in PAGE
    assert f"within {overhang.LEDGE_MM:g} mm of such a border" in PAGE
