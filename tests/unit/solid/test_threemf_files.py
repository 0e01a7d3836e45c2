"""3MF: written the same each time, read with units, transforms and components, liars found."""

from __future__ import annotations

import io
import zipfile

import pytest

from mouldgen.errors import MeshFileError
from mouldgen.solid.kernel import box
from mouldgen.solid.mesh import Mesh
from mouldgen.solid.threemf import CORE, MODEL_PART, Item, read_3mf, threemf_bytes

TETRA = (
    '<mesh><vertices><vertex x="0" y="0" z="0"/><vertex x="1" y="0" z="0"/>'
    '<vertex x="0" y="1" z="0"/><vertex x="0" y="0" z="1"/></vertices><triangles>'
    '<triangle v1="0" v2="2" v3="1"/><triangle v1="0" v2="1" v3="3"/>'
    '<triangle v1="1" v2="2" v3="3"/><triangle v1="0" v2="3" v3="2"/></triangles></mesh>'
)


def package(resources: str, build: str, *, unit: str = "millimeter", head: str = "") -> bytes:
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as file:
        file.writestr(
            MODEL_PART,
            f'<?xml version="1.0"?>{head}<model unit="{unit}" xmlns="{CORE}"><resources>'
            f"{resources}</resources><build>{build}</build></model>",
        )
    return out.getvalue()


def one(mesh: str = TETRA, **named: str) -> bytes:
    return package(f'<object id="1">{mesh}</object>', '<item objectid="1"/>', **named)


@pytest.fixture(scope="module")
def block() -> Mesh:
    return box((0, 0, 0), (10, 20, 30.5)).mesh(genus=0)


def test_round_trip_to_the_bit_with_name_and_place(block: Mesh) -> None:
    data = threemf_bytes(
        [Item('a <b> & "c"', block, ((0.0, 0.0), (50.0625, 7.5)))], title="t", application="m"
    )
    (name, first), (_, second) = read_3mf(data, name="x.3mf")
    assert name == 'a <b> & "c"'
    assert first.same_as(block)
    assert second.same_as(block.moved(50.0625, 7.5))


def test_the_same_items_give_the_same_bytes(block: Mesh) -> None:
    def make() -> bytes:
        return threemf_bytes([Item("a", block)], title="t", application="m")

    assert make() == make()
    with zipfile.ZipFile(io.BytesIO(make())) as file:
        assert {entry.date_time for entry in file.infolist()} == {(1980, 1, 1, 0, 0, 0)}


@pytest.mark.parametrize(
    ("unit", "scale"),
    [("micron", 1e-3), ("centimeter", 10.0), ("inch", 25.4), ("foot", 304.8), ("meter", 1000.0)],
)
def test_units_of_the_core_specification(unit: str, scale: float) -> None:
    ((_, mesh),) = read_3mf(one(unit=unit), name="u.3mf")
    assert mesh.bounds[1] == pytest.approx((scale, scale, scale), rel=1e-6)


def test_components_and_transforms_nest() -> None:
    """A component turned a quarter about z inside an item moved by (10, 0, 0)."""
    data = package(
        f'<object id="1">{TETRA}</object><object id="2"><components><component objectid="1"'
        ' transform="0 1 0 -1 0 0 0 0 1 0 0 5"/></components></object>',
        '<item objectid="2" transform="1 0 0 0 1 0 0 0 1 10 0 0"/>',
    )
    ((_, mesh),) = read_3mf(data, name="c.3mf")
    assert mesh.bounds == ((9.0, 0.0, 5.0), (10.0, 1.0, 6.0))
    assert mesh.volume_mm3 == pytest.approx(1 / 6)


@pytest.mark.parametrize(
    ("data", "match"),
    [
        (b"not a zip", "is not a 3MF"),
        (one()[:-30], "is not a 3MF"),
        (package("", ""), "whose build places nothing"),
        (one().replace(b"3D/3dmodel.model", b"3D/3dmodel.other"), "is not a 3MF"),
        (one(unit="furlong"), "names the unit 'furlong'"),
        (one(head='<!DOCTYPE x [<!ENTITY a "b">]>'), "declares XML entities"),
        (one(mesh=""), "without a mesh"),
        (one(mesh=TETRA.replace('v1="1"', 'v1="9"')), "names a corner that is not there"),
        (one(mesh=TETRA.replace('x="1"', 'x="wide"')), "without its numbers"),
        (one(mesh=TETRA.replace(' y="1"', "")), "without its numbers"),
        (one(mesh=TETRA.replace('x="1"', 'x="inf"')), "not a finite number"),
        (package(f'<object id="1">{TETRA}</object>', '<item objectid="7"/>'), "'7' that is not"),
        (
            package(
                '<object id="1"><components><component objectid="1"/></components></object>',
                '<item objectid="1"/>',
            ),
            "or nests it",
        ),
        (
            package(
                f'<object id="1">{TETRA}</object>'
                + "".join(
                    f'<object id="{i}"><components>'
                    + f'<component objectid="{i - 1}"/>' * 10
                    + "</components></object>"
                    for i in range(2, 14)
                ),
                '<item objectid="13"/>',
            ),
            "places too many triangles",
        ),
        (
            package(f'<object id="1">{TETRA}</object>', '<item objectid="1" transform="1 0"/>'),
            "not 12 numbers",
        ),
    ],
)
def test_spoilt_packages_say_what_is_wrong(data: bytes, match: str) -> None:
    with pytest.raises(MeshFileError, match=match):
        read_3mf(data, name="spoilt.3mf")


@pytest.mark.parametrize("objects", [1, 3])
def test_triangles_are_counted_as_they_come(objects: int, monkeypatch: pytest.MonkeyPatch) -> None:
    """Of all meshes that are read, whether anything places them; the open one counts too."""
    data = package(f'<object id="1">{TETRA}</object>' * objects, '<item objectid="1"/>')
    monkeypatch.setattr("mouldgen.solid.threemf_model.MOST_TRIANGLES", 4 * objects)
    assert len(read_3mf(data, name="x.3mf")) == 1

    monkeypatch.setattr("mouldgen.solid.threemf_model.MOST_TRIANGLES", 4 * objects - 1)
    with pytest.raises(MeshFileError, match=r"x\.3mf: holds too many triangles") as caught:
        read_3mf(data, name="x.3mf")
    assert caught.value.allowed == f"at most {4 * objects - 1}"


def test_triangles_of_an_open_mesh_count(monkeypatch: pytest.MonkeyPatch) -> None:
    """A model that never ends is given up on the way."""
    monkeypatch.setattr("mouldgen.solid.threemf_model.MOST_TRIANGLES", 3)
    monkeypatch.setattr("mouldgen.solid.threemf_model.PORTION", 128)
    endless = TETRA.replace("</triangles></mesh>", '<triangle v1="0" v2="2" v3="1"/>' * 50)
    with pytest.raises(MeshFileError, match="holds too many triangles"):
        read_3mf(one(endless), name="x.3mf")
