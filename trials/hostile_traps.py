"""The traps of `trials.hostile_files`: what each lays in a folder, and the right answer to it."""

from __future__ import annotations

import json
import os
import socket
from collections.abc import Callable
from pathlib import Path

from mouldgen.job.presets import shipped_folder
from tests.faults.broken_jobs import GOOD
from tests.faults.broken_meshes import OBJ, OFF, PLY, glb, package, stl
from trials.hostile_bytes import (
    deep_glb,
    deep_tags,
    late_entities,
    laughs,
    laughs_unseen,
    long_attribute,
    long_chain,
    long_text,
    many_attributes,
    many_entries,
    many_items,
    names_twice,
    other_files,
    outside,
    outside_unseen,
    overlapping,
    polygon_obj,
    polygon_off,
    quadratic,
    really_billions,
    really_many,
    sizes_lied,
    sparse,
    wide_glb,
    zip_bomb,
    zip_of_zips,
)
from trials.hostile_files import SECRET, Hostile
from trials.large_scans import MOST_STEPS, SCANS, STEPS, laid


def check(name: str, data: bytes | Callable[[Path], bytes]) -> Callable[[Path], list[str]]:
    """A file that is looked at by ``check``."""

    def set_up(folder: Path) -> list[str]:
        (folder / name).write_bytes(data if isinstance(data, bytes) else data(folder))
        return ["check", name]

    return set_up


def job(file: str, data: bytes | None = None, *more: str) -> Callable[[Path], list[str]]:
    """A file that a job names as its scan, and is asked how wide its gap should be."""

    def set_up(folder: Path) -> list[str]:
        if data is not None:
            (folder / file).write_bytes(data)
        (folder / "mine.toml").write_text(job_text(file), encoding="utf-8")
        return ["gap", "mine.toml", *more]

    return set_up


def job_text(file: str, *, mend: bool = False) -> str:
    """The shipped job with a scan, with another."""
    text = (shipped_folder() / "jobs" / "burl-knobs.toml").read_text(encoding="utf-8")
    if file.endswith(".3mf"):
        text = text.replace('file_unit = "mm"', "")
    text = text.replace('"burl-knob.stl"', json.dumps(file, ensure_ascii=False))
    return text.replace("[piece]", f"mend = {str(mend).lower()}\n\n[piece]", 1)


# ------------------------------------------------------------------------ links, pipes, folders


def _link(target: str, *words: str) -> Callable[[Path], list[str]]:
    def set_up(folder: Path) -> list[str]:
        (folder / "good.stl").write_bytes(stl())
        (folder / "a.stl").symlink_to(target)
        return list(words or ("check", "a.stl"))

    return set_up


def _ring(folder: Path) -> list[str]:
    (folder / "a.stl").symlink_to("b.stl")
    (folder / "b.stl").symlink_to("a.stl")
    return ["check", "a.stl"]


def _pipe(*words: str) -> Callable[[Path], list[str]]:
    def set_up(folder: Path) -> list[str]:
        os.mkfifo(folder / "a.stl")
        (folder / "mine.toml").write_text(job_text("a.stl"), encoding="utf-8")
        return list(words)

    return set_up


def _job_is(kind: str) -> Callable[[Path], list[str]]:
    """Something else in the place of a job file."""

    def set_up(folder: Path) -> list[str]:
        path = folder / "mine.toml"
        if kind == "pipe":
            os.mkfifo(path)
        elif kind == "folder":
            path.mkdir()
        elif kind == "ring":
            path.symlink_to("mine.toml")
        elif kind == "zero":
            path.symlink_to("/dev/zero")
        else:
            with path.open("wb") as file:
                file.truncate(20 * 2**30)
        return ["gap", "mine.toml"]

    return set_up


def _socket(folder: Path) -> list[str]:
    place = socket.socket(socket.AF_UNIX)
    here = Path.cwd()
    try:
        os.chdir(folder)  # its name has to be short
        place.bind("a.stl")
    finally:
        os.chdir(here)
        place.close()
    return ["check", "a.stl"]


def _plain_job(folder: Path, name: str = "coat-pegs") -> None:
    text = GOOD.decode().replace('"coat-pegs"', json.dumps(name, ensure_ascii=False), 1)
    (folder / "mine.toml").write_text(text, encoding="utf-8")


def _out_is(kind: str) -> Callable[[Path], list[str]]:
    """An output folder that is a link, or holds one, to a folder with something precious."""

    def set_up(folder: Path) -> list[str]:
        _plain_job(folder)
        other = folder / "elsewhere"
        other.mkdir()
        (other / "report.json").write_text(SECRET)
        if kind == "set":
            (folder / "out").mkdir()
            (folder / "out" / "coat-pegs").symlink_to("../elsewhere")
        elif kind == "ring":
            (folder / "out").symlink_to("out")
        elif kind == "nowhere":
            (folder / "out").symlink_to("not-there")
        elif kind == "file":
            (folder / "out").write_text("here")
        elif kind == "zero":
            (folder / "out").symlink_to("/dev/zero")
        else:
            (folder / "out").symlink_to("elsewhere")
        return ["build", "mine.toml", "--out", "out", "--quiet"]

    return set_up


def _named(name: str) -> Callable[[Path], list[str]]:
    """A job of that name, built."""

    def set_up(folder: Path) -> list[str]:
        _plain_job(folder, name)
        return ["build", "mine.toml", "--out", "out", "--quiet"]

    return set_up


def _from_file(file: str) -> Callable[[Path], list[str]]:
    """A job file of that name, built."""

    def set_up(folder: Path) -> list[str]:
        _plain_job(folder)
        (folder / "mine.toml").rename(folder / file)
        return ["build", file, "--out", "out", "--quiet"]

    return set_up


def _scan(kind: str, steps: int, *words: str, mend: bool = False) -> Callable[[Path], list[str]]:
    """A scan of very many triangles."""

    def set_up(folder: Path) -> list[str]:
        laid(kind, folder / "a.stl", steps=steps)
        (folder / "mine.toml").write_text(job_text("a.stl", mend=mend), encoding="utf-8")
        return list(words)

    return set_up


def _shown(name: str) -> str:
    return repr(name) if len(name) < 30 else f"{name[:20]!r} and so on, {len(name)} long"


RTL, EMOJI = "a\u202elts.stl", "\U0001f9b7\U0001f525.stl"

ZIPS = (
    Hostile("zip bomb", check("a.3mf", lambda _: zip_bomb(2**30)), says="not a 3MF|unpacks"),
    Hostile("zip bomb that lies", check("a.3mf", lambda _: sizes_lied(2**30)), says="3MF|unpacks"),
    Hostile("zip in zip in zip", check("a.3mf", lambda _: zip_of_zips(40)), says="not a 3MF"),
    Hostile("60 000 entries", check("a.3mf", lambda _: many_entries(60_000)), says="not a 3MF"),
    Hostile("entries in one place", check("a.3mf", lambda _: overlapping()), codes=(0, 2)),
    Hostile("1000 of one name", check("a.3mf", lambda _: names_twice()), says="3MF"),
    Hostile("spaces up to the limit", check("a.3mf", lambda _: package(b" " * 511 * 2**20))),
)
XMLS = (
    Hostile("laughs", check("a.3mf", lambda _: package(laughs())), says="XML entities"),
    Hostile("laughs in utf-16", check("a.3mf", lambda _: package(laughs_unseen()))),
    Hostile("laughs far down", check("a.3mf", lambda _: package(late_entities()))),
    Hostile("one long entity", check("a.3mf", lambda _: package(quadratic())), says="entities"),
    Hostile("a local file", check("a.3mf", outside), says="entities"),
    Hostile("a local file in utf-16", check("a.3mf", outside_unseen)),
    Hostile("a million tags deep", check("a.3mf", lambda _: deep_tags()), says="not 3MF"),
    Hostile("an attribute of 50 MB", check("a.3mf", lambda _: long_attribute()), says="unit"),
    Hostile("300 000 attributes", check("a.3mf", lambda _: many_attributes()), says="not 3MF"),
    Hostile("5000 objects in a chain", check("a.3mf", lambda _: long_chain()), says="nests it"),
    Hostile("one object 200 000 times", check("a.3mf", lambda _: many_items()), says="solids"),
)
COUNTS = (
    Hostile("four billion, short", check("a.stl", stl(claims=4_000_000_000)), says="4000000000"),
    Hostile("four billion, as long", really_billions, says="GB large"),
    Hostile("nineteen million points", really_many, says="triangles"),
    Hostile("900 MB of text", long_text, says="MB of text"),
    Hostile("nothing, 1 GB", sparse("a.stl", 10**9), says="claims 0 triangles|no triangle"),
    Hostile("nothing, 300 MB of text", sparse("a.obj", 3 * 10**8), says="no text"),
    Hostile("nothing, 1 GB of GLB", sparse("a.glb", 10**9), says="not a GLB"),
    Hostile("nothing, 1 GB of PLY", sparse("a.ply", 10**9), says="not a PLY"),
    Hostile("nothing, 1 GB of OFF", sparse("a.off", 10**9), says="no text"),
    Hostile("nothing, 1 GB of 3MF", sparse("a.3mf", 10**9), says="not a 3MF"),
    Hostile("a billion corners of PLY",
            check("a.ply", PLY.replace(b"vertex 4", b"vertex 1000000000")), says="cut short"),
    Hostile("a billion faces of binary PLY",
            check("a.ply", PLY.replace(b"ascii", b"binary_little_endian")
                  .replace(b"face 4", b"face 1000000000")), says="cut short"),
    Hostile("lists of PLY that never end",
            check("a.ply", b"ply\nformat binary_little_endian 1.0\nelement vertex 0\n"
                  b"property float x\nelement face 9\nproperty list uint uint vertex_indices\n"
                  b"end_header\n" + b"\xff" * 400)),
    Hostile("columns of PLY without end",
            check("a.ply", b"ply\nformat binary_little_endian 1.0\nelement vertex 1\n"
                  + b"".join(b"property float p%d\n" % n for n in range(2500))
                  + b"end_header\n" + bytes(10_000))),
    Hostile("a billion of OFF", check("a.off", OFF.replace(b"4 4", b"1000000000 4"))),
    Hostile("one face of OFF of 200 000 corners", check("a.off", lambda _: polygon_off(200_000)),
            codes=(1, 2)),
    Hostile("faces of OBJ of 3000 corners", check("a.obj", lambda _: polygon_obj(3000, 400)),
            codes=(1, 2)),
    Hostile("corners of OBJ far ahead", check("a.obj", OBJ + b"f 1 2 999999999999\n")),
    Hostile("corners of OBJ far back", check("a.obj", OBJ + b"f 1 2 -999999999999\n")),
    Hostile("corners of OBJ before the first", check("a.obj", OBJ + b"f 0 1 2\n")),
    Hostile("a long line of OBJ", check("a.obj", lambda _: b"v " + b"1 " * 20_000_000)),
    Hostile("other files of OBJ",
            check("a.obj", other_files), codes=(0,)),
    Hostile("buffers of GLB of terabytes",
            check("a.glb", glb(buffers=[{"byteLength": 10**13}])), codes=(0, 2)),
    Hostile("views of GLB of terabytes",
            check("a.glb", glb(bufferViews=[{"buffer": 0, "byteLength": 10**13}] * 2))),
    Hostile("numbers of GLB in other files",
            check("a.glb", glb(buffers=[{"byteLength": 72, "uri": "file:///etc/passwd"}])),
            says="other files"),
    Hostile("nodes of GLB 50 000 deep", check("a.glb", lambda _: deep_glb()), codes=(0, 2)),
    Hostile("one mesh of GLB 90 000 times", check("a.glb", lambda _: wide_glb()),
            codes=(0, 1, 2)),
    Hostile("brackets of GLB without end", check("a.glb", lambda _: glb(head=b"[" * 10**7))),
    Hostile("a number of GLB of a million digits",
            check("a.glb", lambda _: glb(head=b'{"a":' + b"9" * 10**6 + b"}"))),
)  # fmt: skip
LINKS = (
    Hostile("a link to a file", _link("good.stl"), codes=(0,), says="closed"),
    Hostile("a link to nothing", _link("gone.stl"), says="no such file"),
    Hostile("a ring of links", _ring, codes=(2, 3), says="cannot be read|no such file|ring|loop"),
    Hostile("a link to /dev/zero", _link("/dev/zero"), says="no ordinary file"),
    Hostile("a link to /dev/random", _link("/dev/random"), says="no ordinary file"),
    Hostile("a link to a folder", _link("."), says="folder"),
    Hostile("a pipe", _pipe("check", "a.stl"), says="no ordinary file"),
    Hostile("a pipe as a scan", _pipe("gap", "mine.toml"), says="no such file|ordinary"),
    Hostile("a socket", _socket, says="no ordinary file"),
    Hostile("a pipe as a job", _job_is("pipe")),
    Hostile("a folder as a job", _job_is("folder"), says="folder"),
    Hostile("a ring as a job", _job_is("ring"), codes=(2, 3)),
    Hostile("/dev/zero as a job", _job_is("zero")),
    Hostile("20 GB as a job", _job_is("large")),
    Hostile("a link as output folder", _out_is("link"), codes=(0, 2, 3)),
    Hostile("a link as the folder of a set", _out_is("set"), codes=(0, 2, 3)),
    Hostile("a ring as output folder", _out_is("ring"), codes=(2, 3)),
    Hostile("a link to nothing as output folder", _out_is("nowhere"), codes=(0, 2, 3)),
    Hostile("a file as output folder", _out_is("file"), codes=(2, 3)),
    Hostile("/dev/zero as output folder", _out_is("zero"), codes=(2, 3)),
)
NAMES = (
    *(Hostile(f"a job named {_shown(name)}", _named(name), says="name")
      for name in ("CON", "nul", "com1", "LPT9", "aux.", "con.stl", "a.", "a ", ".", "..", "-", "",
                   "a/b", "..\\a", "C:", "~", "x" * 256, "x" * 5000, "a\nb", "\u202ea", "a\0b",
                   "\U0001f525")),
    *(Hostile(f"a job file named {_shown(name)}", _from_file(name), codes=(0, 2))
      for name in ("CON.toml", "nul.toml", "a..toml", "x" * 250 + ".toml", "-.toml", "a\nb.toml",
                   "a\u202eb.toml", "\U0001f525.toml", " .toml")),
    *(Hostile(f"a mesh file named {_shown(name)}", check(name, stl()), codes=(0,))
      for name in ("CON.stl", "nul", "a.stl.", "x" * 251 + ".stl", "a\nb.stl", "a\x1b[31m.stl", RTL,
                   EMOJI, " .stl", "a\udcff.stl")),
    *(Hostile(f"a scan named {_shown(name)}", job(name, stl(corner=20.0)), codes=(0, 1, 2))
      for name in ("CON.stl", "a\nb.stl", RTL, EMOJI, "x" * 251 + ".stl")),
    *(Hostile(f"no scan named {_shown(name)}", job(name), codes=(2, 3))
      for name in ("x" * 300, "x" * 5000, "/" * 5000, "a/" * 3000, "~nobody/a.stl", "a\0b", "",
                   ".", "..", "/dev/zero", "/dev/stdin", "/proc/self/mem", "file:///etc/passwd")),
    Hostile("a mesh file of a name that is too long", lambda _: ["check", "x" * 5000],
            codes=(2, 3)),
    Hostile("an option for a mesh file", lambda _: ["check", "--", "-rf"]),
)  # fmt: skip
JOBS = (
    Hostile("a scan of four billion", job("a.stl", stl(claims=4_000_000_000)), says="4000000000"),
    Hostile("a scan that is a bomb", job("a.3mf", package(laughs())), says="entities"),
    Hostile("a scan that is inside out",
            job("a.stl", stl()[:84] + b"".join(
                stl()[at : at + 12] + stl()[at + 24 : at + 36] + stl()[at + 12 : at + 24]
                + stl()[at + 36 : at + 50] for at in range(84, 284, 50))), says="inside outward"),
    Hostile("a scan with holes", job("a.stl", stl(faces=3)), says="hole"),
)  # fmt: skip
MILLIONS = tuple(
    Hostile(f"a million triangles, {kind}, looked at", _scan(kind, STEPS, "check", "a.stl"),
            codes=(0, 1), large=True)
    for kind in SCANS
) + tuple(
    Hostile(f"a million triangles, {kind}, as a scan", _scan(kind, STEPS, "gap", "mine.toml",
            mend=True), says="at most 500000", large=True)
    for kind in ("sound", "loose")
)  # fmt: skip
MOST = tuple(
    Hostile(f"as many triangles as a job takes, {kind}, {how}",
            _scan(kind, MOST_STEPS, *words, mend=mend), codes=(0, 1, 2), large=True)
    for kind in SCANS
    for how, mend, words in (
        ("as a scan", False, ("gap", "mine.toml")),
        ("mended", True, ("gap", "mine.toml")),
        ("built", True, ("build", "mine.toml", "--quiet")),
    )
)  # fmt: skip
TRAPS = (*ZIPS, *XMLS, *COUNTS, *LINKS, *NAMES, *JOBS, *MILLIONS, *MOST)
