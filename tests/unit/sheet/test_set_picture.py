"""Pictures of the demo's set, looked at through their pixels."""

from __future__ import annotations

import struct
import zlib

import numpy as np
import pytest
from numpy.typing import NDArray

from mouldgen.build import build_moulds
from mouldgen.job.load import load_job
from mouldgen.mould.parts import MouldParts
from mouldgen.sheet.set_picture import CUT, LID, PLASTIC, WOOD, set_pictures

Pixels = NDArray[np.uint8]


@pytest.fixture(scope="module")
def parts() -> MouldParts:
    found = build_moulds(load_job("boathouse-pegs").job).parts
    assert found is not None
    return found


@pytest.fixture(scope="module")
def pictures(parts: MouldParts) -> dict[str, bytes]:
    return set_pictures(parts)


def pixels(png: bytes) -> Pixels:
    """A PNG of 8 bit RGB in one block, its rows plain or as differences from the row above."""
    width, height = struct.unpack(">II", png[16:24])
    (length,) = struct.unpack(">I", png[33:37])
    raw = np.frombuffer(zlib.decompress(png[41 : 41 + length]), np.uint8)
    raw = raw.reshape(height, 1 + 3 * width)
    rows = np.empty((height, 3 * width), np.uint8)
    above = np.zeros(3 * width, np.uint8)
    for row, line in enumerate(raw):
        assert line[0] in (0, 2)
        above = line[1:] + above if line[0] else line[1:]
        rows[row] = above
    return rows.reshape(height, width, 3)


def drawn(picture: Pixels) -> NDArray[np.bool_]:
    """Which pixels are not background."""
    return (picture != 255).any(axis=2)


def runs(flags: NDArray[np.bool_]) -> int:
    """How many unbroken stretches are set."""
    return int(flags[0]) + int((flags[1:] & ~flags[:-1]).sum())


def test_two_pictures_are_made_the_same_each_time(
    parts: MouldParts, pictures: dict[str, bytes]
) -> None:
    assert list(pictures) == ["set-apart.png", "set-section.png"]
    assert set_pictures(parts) == pictures
    assert {pixels(png).shape for png in pictures.values()} == {(1200, 900, 3)}


def test_the_lid_floats_above_the_body(pictures: dict[str, bytes]) -> None:
    picture = pixels(pictures["set-apart.png"])

    assert runs(drawn(picture).any(axis=1)) == 2
    # Three legs hang from the lid: two seen side by side where they end, the third behind.
    rows = np.flatnonzero(drawn(picture).any(axis=1))
    last_of_lid = rows[np.flatnonzero(np.diff(rows) > 1)[0]]
    assert runs(drawn(picture)[last_of_lid - 40]) >= 2


def test_the_cut_of_the_body_is_light_and_the_insert_is_whole(
    parts: MouldParts, pictures: dict[str, bytes]
) -> None:
    picture = pixels(pictures["set-apart.png"]).astype(int)

    def near(colour: tuple[int, int, int]) -> float:
        """Share of pixels of this hue, whatever the light on them."""
        light = picture.sum(axis=2) / sum(colour)
        off = np.abs(picture - light[:, :, None] * np.array(colour)).max(axis=2)
        return float(((off < 4) & drawn(picture.astype(np.uint8))).mean())

    assert near(WOOD) > near(PLASTIC) > 0.03
    assert near(LID) > 0.03
    assert near(CUT) > 0.01


def test_the_section_is_true_to_scale(parts: MouldParts, pictures: dict[str, bytes]) -> None:
    picture = drawn(pixels(pictures["set-section.png"]))
    rows = np.flatnonzero(picture.any(axis=1))
    columns = np.flatnonzero(picture.any(axis=0))
    lid, body = parts.part("lid").assembled, parts.part("body").assembled
    wide = lid.bounds[1][0] - lid.bounds[0][0]
    high = lid.bounds[1][2] - body.bounds[0][2]

    # Seen from the front the set is as wide as its lid, and as high as both together.
    scale = len(rows) / high
    assert len(columns) / scale == pytest.approx(wide, abs=2.5 / scale)
    # At half height only the body is seen, behind the cut in its full width.
    middle = np.flatnonzero(picture[rows[len(rows) // 2]])
    across = body.bounds[1][0] - body.bounds[0][0]
    assert (middle[-1] - middle[0] + 1) / scale == pytest.approx(across, abs=2.5 / scale)
