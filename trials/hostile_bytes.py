"""Bombs and lies: the bytes of files that are made to do harm."""

from __future__ import annotations

import io
import struct
import warnings
import zipfile
from collections.abc import Callable
from pathlib import Path

from tests.faults.broken_meshes import CORE, OBJ, TETRA, glb, model, one, package
from trials.hostile_files import SECRET

MODEL = "3D/3dmodel.model"


# ------------------------------------------------------------------------ zip


def zip_bomb(size: int) -> bytes:
    """A model of so many zero bytes, a thousandth of that as a file."""
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as file, file.open(MODEL, "w") as entry:
        for _ in range(size // 2**20):
            entry.write(bytes(2**20))
    return out.getvalue()


def zip_of_zips(deep: int) -> bytes:
    """A small 3MF in so many packages, one in the other."""
    data = one()
    for _ in range(deep):
        data = package(data)
    return data


def many_entries(count: int) -> bytes:
    """A package of so many empty models."""
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w") as file:
        for number in range(count):
            file.writestr(f"{number}.model", b"")
    return out.getvalue()


def names_twice() -> bytes:
    """A thousand models of one name."""
    out = io.BytesIO()
    with warnings.catch_warnings(), zipfile.ZipFile(out, "w") as file:
        warnings.simplefilter("ignore")
        for _ in range(1000):
            file.writestr(MODEL, "<model/>")
    return out.getvalue()


def sizes_lied(size: int) -> bytes:
    """A bomb whose directory says that it unpacks to a kilobyte."""
    data = bytearray(zip_bomb(size))
    for mark, at in ((b"PK\x01\x02", 24), (b"PK\x03\x04", 22)):
        start = data.find(mark)
        data[start + at : start + at + 4] = struct.pack("<I", 1000)
    return bytes(data)


def overlapping() -> bytes:
    """Many entries of the directory that are one and the same place."""
    data = one()
    start, end = data.index(b"PK\x01\x02"), data.index(b"PK\x05\x06")
    entry = data[start:end]
    tail = bytearray(data[end:])
    tail[8:12] = struct.pack("<HH", 60000, 60000)
    tail[12:16] = struct.pack("<I", 60000 * len(entry))
    return data[:start] + entry * 60000 + bytes(tail)


# ------------------------------------------------------------------------ XML


def laughs() -> str:
    """Ten to the eleventh words from a kilobyte of entities."""
    lines = ['<!ENTITY a0 "ha">']
    lines += [f'<!ENTITY a{n} "{f"&a{n - 1};" * 10}">' for n in range(1, 12)]
    return f'<?xml version="1.0"?><!DOCTYPE m [{"".join(lines)}]><model>&a11;</model>'


def laughs_unseen() -> bytes:
    """The same in an encoding in which no search for its words finds them."""
    return laughs().replace('"1.0"?', '"1.0" encoding="utf-16"?').encode("utf-16")


def quadratic() -> str:
    """One long entity, used often."""
    return f'<!DOCTYPE m [<!ENTITY a "{"a" * 100_000}">]><model>{"&a;" * 100_000}</model>'


def late_entities() -> str:
    """Entities far behind the start of the text."""
    return "<!-- " + " " * 100_000 + " -->" + laughs().partition("?>")[2]


def outside(folder: Path) -> bytes:
    """An entity that is a file lying beside."""
    (folder / "secret.txt").write_text(SECRET)
    text = (
        f'<!DOCTYPE m [<!ENTITY s SYSTEM "{(folder / "secret.txt").as_uri()}">]>'
        f'<model unit="&s;" xmlns="{CORE}">&s;</model>'
    )
    return package(text)


def outside_unseen(folder: Path) -> bytes:
    """The same in an encoding in which no search for its words finds it."""
    (folder / "secret.txt").write_text(SECRET)
    text = (
        '<?xml version="1.0" encoding="utf-16"?>'
        f'<!DOCTYPE m [<!ENTITY s SYSTEM "{(folder / "secret.txt").as_uri()}">]>'
        f'<model unit="millimeter" xmlns="{CORE}"><x>&s;</x></model>'
    )
    return package(text.encode("utf-16"))


def other_files(folder: Path) -> bytes:
    """An OBJ whose colours are in a file that is not for it."""
    (folder / "secret.txt").write_text(SECRET)
    return b"mtllib secret.txt\nusemtl secret\n" + OBJ


def deep_tags() -> bytes:
    """A million tags, one in the other."""
    return package("<a>" * 1_000_000)


def long_attribute() -> bytes:
    """A unit of fifty million letters."""
    return package(f'<model xmlns="{CORE}" unit="{"m" * 50_000_000}"/>')


def many_attributes() -> bytes:
    """One tag of three hundred thousand attributes."""
    return package("<model " + " ".join(f'a{n}="1"' for n in range(300_000)) + "/>")


def long_chain() -> bytes:
    """Five thousand objects, each put together from the one before."""
    parts = [f'<object id="1">{TETRA}</object>']
    parts += [
        f'<object id="{n}"><components><component objectid="{n - 1}"/></components></object>'
        for n in range(2, 5000)
    ]
    return model("".join(parts), build='<item objectid="4999"/>')


def many_items() -> bytes:
    """One small object in two hundred thousand places."""
    return model(f'<object id="1">{TETRA}</object>', build='<item objectid="1"/>' * 200_000)


# ------------------------------------------------------------------------ counts


def really_billions(folder: Path) -> list[str]:
    """A file that claims four billion triangles and is as long as that; it takes no room."""
    with (folder / "a.stl").open("wb") as file:
        file.write(bytes(80) + struct.pack("<I", 4_000_000_000))
        file.truncate(84 + 50 * 4_000_000_000)
    return ["check", "a.stl"]


def really_many(folder: Path) -> list[str]:
    """Nineteen million triangles that are all one and the same point."""
    count = 19_000_000
    with (folder / "a.stl").open("wb") as file:
        file.write(bytes(80) + struct.pack("<I", count))
        file.truncate(84 + 50 * count)
    return ["check", "a.stl"]


def sparse(name: str, size: int) -> Callable[[Path], list[str]]:
    """A file of so many zero bytes that takes no room."""

    def set_up(folder: Path) -> list[str]:
        with (folder / name).open("wb") as file:
            file.truncate(size)
        return ["check", name]

    return set_up


def long_text(folder: Path) -> list[str]:
    """A text STL of 900 MB."""
    facet = (
        b"facet normal 0 0 1\nouter loop\n" + b"vertex 1.5 2.5 3.5\n" * 3 + b"endloop\nendfacet\n"
    )
    with (folder / "a.stl").open("wb") as file:
        file.write(b"solid a\n")
        for _ in range(900):
            file.write(facet * (10**6 // len(facet)))
    return ["check", "a.stl"]


def deep_glb() -> bytes:
    """Fifty thousand nodes, one below the other."""
    nodes: list[dict[str, object]] = [{"children": [n + 1]} for n in range(50_000)]
    return glb(nodes=[*nodes, {"mesh": 0}])


def wide_glb() -> bytes:
    """Ninety thousand nodes with one mesh."""
    return glb(nodes=[{"mesh": 0}] * 90_000, scenes=[{"nodes": list(range(90_000))}])


def polygon_off(corners: int) -> bytes:
    """One face of so many corners."""
    rows = "".join(f"{n} {n * n % 7} 0\n" for n in range(corners))
    return f"OFF\n{corners} 1 0\n{rows}{corners} {' '.join(map(str, range(corners)))}\n".encode()


def polygon_obj(corners: int, faces: int) -> bytes:
    """Many faces of so many corners."""
    rows = "".join(f"v {n} {n * n % 7} 0\n" for n in range(corners))
    return (rows + f"f {' '.join(map(str, range(1, corners + 1)))}\n" * faces).encode()
