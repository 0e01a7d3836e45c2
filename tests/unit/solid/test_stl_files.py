"""STL: what is written is what is read, and liars are found out."""

from __future__ import annotations

import struct

import numpy as np
import pytest

from mouldgen.errors import MeshFileError
from mouldgen.solid.kernel import box
from mouldgen.solid.mesh import Mesh
from mouldgen.solid.stl import HEADER_BYTES, read_stl, stl_bytes
from mouldgen.solid.topology import topology_of

TEXT = b"""solid corner
facet normal 0 0 -1
outer loop
vertex 0 0 0
vertex 0 1 0
vertex 1 0 0
endloop
endfacet
endsolid corner
"""


@pytest.fixture(scope="module")
def block() -> Mesh:
    return box((0, 0, 0), (10, 20, 30)).mesh(genus=0)


def test_the_header_takes_what_fits_and_moves_nothing(block: Mesh) -> None:
    plain, long = stl_bytes([block]), stl_bytes([block], made_by="mouldgen é " + "f" * 90)

    assert len(long) == len(plain)
    assert long[:HEADER_BYTES] == b"mouldgen ? " + b"f" * 69
    assert long[HEADER_BYTES:] == plain[HEADER_BYTES:]


def test_layout_is_the_binary_standard(block: Mesh) -> None:
    data = stl_bytes([block])
    assert data[:80] == b"mouldgen binary STL, millimetres".ljust(80)
    assert not data.startswith(b"solid")
    assert struct.unpack("<I", data[80:84]) == (12,)
    assert len(data) == 84 + 12 * 50
    normals = np.array([struct.unpack_from("<3f", data, 84 + 50 * k) for k in range(12)])
    assert sorted(map(tuple, np.unique(normals, axis=0).tolist())) == sorted(
        {(s * (k == 0), s * (k == 1), s * (k == 2)) for s in (1.0, -1.0) for k in range(3)}
    )


def test_round_trip_to_the_bit(block: Mesh) -> None:
    back = read_stl(stl_bytes([block]), name="block.stl")
    assert back.same_as(block)


def test_several_meshes_in_one_file_stay_apart(block: Mesh) -> None:
    back = read_stl(stl_bytes([block, block.moved(50.0, 0.0)]), name="two.stl")
    assert topology_of(back).shells == 2
    assert back.volume_mm3 == pytest.approx(12000.0)


def test_text_stl_is_read() -> None:
    mesh = read_stl(TEXT, name="t.stl")
    assert mesh.vertices.tolist() == [[0, 0, 0], [0, 1, 0], [1, 0, 0]]
    assert mesh.triangles.tolist() == [[0, 1, 2]]


def test_a_binary_file_that_calls_itself_solid_is_still_read(block: Mesh) -> None:
    data = b"solid in name only".ljust(80) + stl_bytes([block])[80:]
    assert read_stl(data, name="b.stl").same_as(block)


def _count(data: bytes, count: int) -> bytes:
    return data[:80] + struct.pack("<I", count) + data[84:]


@pytest.mark.parametrize(
    ("spoil", "match"),
    [
        (lambda _: b"", "is 0 bytes long, too short for an STL"),
        (lambda d: d[:83], "is 83 bytes long"),
        (lambda d: d[:-1], "claims 12 triangles and holds 11: it is cut short"),
        (lambda d: _count(d, 4_000_000_000), "claims 4000000000 triangles and holds 12"),
        (lambda d: _count(d, 5), "goes on after them for 350 bytes"),
        (lambda d: _count(d[:84], 0), "holds no triangle"),
        (lambda d: d[:96] + struct.pack("<f", float("nan")) + d[100:], "not a finite number"),
        (lambda _: TEXT[:-60], "make no whole triangles|not three numbers"),
        (lambda _: TEXT.replace(b"vertex 0 1 0", b"vertex 0 one 0"), "not three numbers"),
        (lambda _: TEXT.replace(b"vertex", b"corner"), "0 whole corners"),
    ],
)
def test_spoilt_files_say_what_is_wrong(block: Mesh, spoil, match: str) -> None:
    with pytest.raises(MeshFileError, match=match) as caught:
        read_stl(spoil(stl_bytes([block])), name="spoilt.stl")
    assert str(caught.value).startswith("spoilt.stl: ")
