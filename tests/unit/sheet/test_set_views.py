"""The demo's set in its three views, measured in their pixels."""

from __future__ import annotations

import numpy as np
import pytest
import trimesh
from numpy.typing import NDArray

from mouldgen.errors import InputError
from mouldgen.mould.parts import MouldParts
from mouldgen.sheet.set_views import Way, part_still, set_meshes, set_pictures, set_still
from mouldgen.sheet.stage import MARGIN
from mouldgen.sheet.tones import LIGHT, Role
from mouldgen.solid.mesh import Mesh
from tests.demo_set import demo_set
from tests.lamp_set import lamp_parts
from tests.png_pixels import png_pixels

WIDE, HIGH = 900, 1000


@pytest.fixture(scope="module")
def parts() -> MouldParts:
    found = demo_set().parts
    assert found is not None
    return found


def picture(parts: MouldParts, way: Way) -> NDArray[np.int64]:
    return png_pixels(set_still(parts, way, width_px=WIDE, height_px=HIGH)).astype(np.int64)


def pieces(flags: NDArray[np.bool_]) -> list[tuple[int, int]]:
    """Where unbroken stretches begin and end."""
    edges = np.flatnonzero(np.diff(flags.astype(int), prepend=0, append=0))
    return list(zip(edges[::2].tolist(), edges[1::2].tolist(), strict=True))


def hue_of(found: NDArray[np.int64], role: Role) -> NDArray[np.bool_]:
    """Pixels of a part's colour, whatever the light on them."""
    colour = np.array(LIGHT.tones[role].face)
    light = found.sum(axis=2) / colour.sum()
    return np.abs(found - light[:, :, None] * colour).max(axis=2) < 4.0


def test_together_lid_and_body_are_seen_and_the_insert_is_inside(parts: MouldParts) -> None:
    found = picture(parts, "together")
    assert len(pieces((found != 255).any(axis=(1, 2)))) == 1
    seen = [float(hue_of(found, role).mean()) for role in ("body", "lid", "insert")]
    assert seen[0] > 0.15
    assert seen[1] > 0.04
    assert seen[2] < 0.002


def test_apart_the_lid_is_over_the_insert_and_the_insert_over_the_body(parts: MouldParts) -> None:
    found = picture(parts, "apart")
    bands = pieces((found != 255).any(axis=(1, 2)))
    assert len(bands) == 3
    for (top, end), role in zip(bands, ("lid", "insert", "body"), strict=True):
        band = found[top:end]
        shares = {r: float(hue_of(band, r).mean()) for r in ("lid", "insert", "body")}  # type: ignore[arg-type]
        assert max(shares, key=shares.__getitem__) == role


def test_cut_walls_and_floor_are_as_thick_as_they_are(parts: MouldParts) -> None:
    """Against the body's mesh, cut by another library."""
    found = picture(parts, "cut")
    body, lid = parts.part("body").assembled, parts.part("lid").assembled
    low = body.bounds[0][2]
    high = max(lid.bounds[1][2], body.bounds[1][2])
    scale = HIGH * (1 - 2 * MARGIN * WIDE / HIGH) / (high - low)
    middle = (lid.bounds[0][0] + lid.bounds[1][0]) / 2.0  # the lid is the widest
    tone = LIGHT.tones["body"]
    shades = [
        ((4 - q) * np.array(tone.ground) + q * np.array(tone.hatch) + 2) // 4 for q in range(5)
    ]
    section = np.any([(found == shade).all(axis=2) for shade in shades], axis=0)

    height = 40.0
    row = round(HIGH / 2 + ((low + high) / 2 - height) * scale)
    expected = sorted(
        (x - middle) * scale + WIDE / 2 for x in crossings(body, along=0, at=height, other=2)
    )
    seen = [edge for piece in pieces(section[row]) for edge in piece]
    assert len(seen) == len(expected) == 4
    # Lines of one and a half pixels lie over the ends.
    assert seen == pytest.approx(expected, abs=1.75)

    aside = 8.0  # beside the pip in the middle of the floor
    column = round(WIDE / 2 + (aside - middle) * scale)
    floor = sorted(crossings(body, along=2, at=aside, other=0))[:2]
    expected = [HIGH / 2 + ((low + high) / 2 - z) * scale for z in floor[::-1]]
    assert list(pieces(section[:, column])[-1]) == pytest.approx(expected, abs=1.75)


def crossings(mesh: Mesh, *, along: int, at: float, other: int) -> list[float]:
    """Where the outline of the section y = 0 crosses a straight line [mm]."""
    solid = trimesh.Trimesh(mesh.vertices, mesh.triangles, process=False)
    lines = trimesh.intersections.mesh_plane(solid, (0.0, 1.0, 0.0), (0.0, 0.0, 0.0))
    a, b = lines[:, 0], lines[:, 1]
    through = (a[:, other] > at) != (b[:, other] > at)
    a, b = a[through], b[through]
    share = (at - a[:, other]) / (b[:, other] - a[:, other])
    places = a[:, along] + share * (b[:, along] - a[:, along])
    return np.unique(places.round(4)).tolist()


def test_the_same_set_gives_the_same_bytes(parts: MouldParts) -> None:
    one, other = (set_still(parts, "cut", width_px=200, height_px=200) for _ in range(2))
    assert one == other


def test_a_set_is_left_as_it_was(parts: MouldParts) -> None:
    before = parts.insert.vertices.copy()
    raised = {role: mesh for mesh, role in set_meshes(parts, apart=True)}["insert"]
    assert np.array_equal(parts.insert.vertices, before)
    assert raised.volume_mm3 == pytest.approx(parts.insert.volume_mm3, rel=1e-5)
    assert raised.bounds[0][2] > parts.part("body").assembled.bounds[1][2]
    assert not raised.vertices.flags.writeable


def test_every_cell_has_its_insert_and_a_cast_body_is_of_rubber() -> None:
    roles = [role for _, role in set_meshes(lamp_parts())]
    assert roles == ["rubber", "insert", "lid"]


def test_another_view_is_refused(parts: MouldParts) -> None:
    with pytest.raises(InputError, match="'sideways' is no view of a set"):
        set_still(parts, "sideways")  # type: ignore[arg-type]


def test_a_set_has_two_pictures_and_one_cast_in_rubber_its_box_as_well(parts: MouldParts) -> None:
    found = set_pictures(parts)
    assert list(found) == ["set-apart.png", "set-section.png"]
    assert found == set_pictures(parts)
    shapes = {name: png_pixels(data).shape for name, data in found.items()}
    assert all(shape[0] == 1200 for shape in shapes.values())
    # The set apart is some four times as high as wide, closed about two and a half times.
    assert shapes["set-apart.png"][1] < shapes["set-section.png"][1] < 600
    box = png_pixels(set_pictures(lamp_parts())["set-box.png"]).astype(np.int64)
    assert float(hue_of(box, "body").mean()) > 0.1  # base with plugs
    assert float(hue_of(box, "lid").mean()) > 0.1  # frame, seen from inside


def test_a_part_is_seen_as_it_lies_on_the_bed(parts: MouldParts) -> None:
    """The lid lies on its top, so its three legs, slender ones, are what stands up highest."""
    seen = (png_pixels(part_still(parts.part("lid"))).astype(int) != 255).any(axis=2)
    across = seen.sum(axis=1)[seen.any(axis=1)]
    assert across[: len(across) // 8].max() < across.max() / 4
    assert png_pixels(part_still(parts.part("lid"))).shape[1] == 640
