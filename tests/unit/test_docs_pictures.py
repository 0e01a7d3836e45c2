"""The drawings in docs/ are what the commands draw today."""

from __future__ import annotations

from docs.make_pictures import FOLDER, drawings


def test_drawings_are_current() -> None:
    """After a change that moves them run `make pictures`."""
    drawn = drawings()
    assert sorted(drawn) == [
        "gap.svg",
        "heat.svg",
        "pot-load-1.svg",
        "pot-load-2.svg",
        "pot-load-3.svg",
        "sweep-pour-close.svg",
        "sweep-pour-shop.svg",
    ]
    assert {
        name: (FOLDER / name).read_bytes() == data for name, data in drawn.items()
    } == dict.fromkeys(drawn, True)
