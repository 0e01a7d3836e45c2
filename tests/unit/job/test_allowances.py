"""Allowances by size: the trade's habits, common practice and belief, no published source."""

from __future__ import annotations

from dataclasses import astuple, fields

import pytest

from mouldgen.errors import PresetError, UnitError
from mouldgen.job.allowances import Allowances, allowances_for

# turning, facing, flow gap epoxy, urethane, cover, head, freeboard, wall, reusable wall, floor,
# vent, cup loss
ROWS = {
    "small": (2.0, 1.5, 2.0, 1.5, 1.0, 5.0, 6.0, 1.2, 2.4, 1.6, 1.75, 5.0),
    "medium": (3.0, 2.0, 3.0, 2.0, 1.5, 8.0, 10.0, 1.6, 3.2, 2.0, 2.5, 8.0),
    "large": (7.25, 3.0, 4.0, 3.0, 2.0, 12.0, 15.0, 2.0, 4.0, 2.7, 3.5, 12.5),
}


@pytest.fixture(autouse=True)
def mine(monkeypatch, tmp_path):
    monkeypatch.setenv("MOULDGEN_PRESETS", str(tmp_path))
    return tmp_path


@pytest.mark.parametrize(
    ("diameter", "size"),
    [
        (0.1, "small"),
        (25.0, "small"),
        (25.001, "medium"),
        (26.0, "medium"),
        (60.0, "medium"),
        (60.001, "large"),
        (500.0, "large"),
    ],
)
def test_the_rows_of_each_size(diameter, size):
    assert astuple(allowances_for(diameter)) == (size, *ROWS[size])


def test_nothing_shrinks_as_the_piece_grows():
    small, medium, large = (astuple(allowances_for(d))[1:] for d in (20, 40, 80))
    assert all(a <= b <= c for a, b, c in zip(small, medium, large, strict=True))
    assert len(small) == len(fields(Allowances)) - 1


@pytest.mark.parametrize("diameter", [0.0, -1.0, float("nan"), float("inf")])
def test_what_is_no_diameter_is_refused(diameter):
    with pytest.raises(UnitError, match="is not the diameter of a piece"):
        allowances_for(diameter)


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("", r"allowances\.toml \[small\] up_to: the key up_to is missing"),
        ("[small]\nup_to = '9 mm'\n[medium]\nup_to = 9\n", r"\[medium\] up_to: 9 has no unit"),
        (
            "[small]\nup_to = '9 mm'\nturning = '1 mm'\n[medium]\nup_to = '99 mm'\n",
            r"\[medium\] turning: the key turning is missing",
        ),
    ],
)
def test_a_broken_file_of_allowances_is_named(mine, text, says):
    (mine / "allowances.toml").write_text(text, encoding="utf-8")
    with pytest.raises(PresetError, match=says):
        allowances_for(40.0)
