"""What can go wrong with the file of a mesh: with its bytes, its words, its counts, its packing."""

from __future__ import annotations

import io
import json
import re
import struct
import warnings
import zipfile
from collections.abc import Callable
from dataclasses import dataclass
from random import Random
from typing import Any

from trials.mesh_writers import CORE, KINDS, Written, glb_of

NUMBERS = (
    "nan", "-inf", "1e999", "-1", "0", "99999999999999999999", "2147483648", "4294967295", "", "-",
    "0x10", "1_000", "1,5", "1.5.2", "\u0661", "word", "1e-400", "--2", "1e", "\u221e", "3" * 400,
)  # fmt: skip
THINGS: tuple[Any, ...] = (
    -1, 0, 1, 2, 7, 2**31, 2**32, 2**63, 10**30, -(10**30), 1.5, 1e308, float("nan"), None, "", "0",
    "peg", [], [0], [[]], {}, {"a": 1}, True, [1e39] * 16, [0] * 16, [0, 0, 0],
)  # fmt: skip


@dataclass(frozen=True, eq=False)
class Spoiled:
    """A file that something went wrong with.

    name : of the file.
    data : its bytes.
    how : what went wrong.
    tells : what is left of it is the surface that was written, or is not to pass as sound.
    """

    name: str
    data: bytes
    how: str
    tells: bool


def _at(rng: Random, data: bytes | bytearray) -> int:
    """A place in a file, as often near its start or its end as anywhere."""
    near = min(len(data), 200)
    return rng.choice([
        rng.randrange(len(data)), rng.randrange(near), len(data) - 1 - rng.randrange(near)
    ])  # fmt: skip


# ------------------------------------------------------------------------ bytes


def _cut(file: Written, rng: Random) -> bytes:
    return file.data[: _at(rng, file.data)]


def _longer(file: Written, rng: Random) -> bytes:
    return file.data + rng.choice([b"\0", b"\n\n", b" " * 50, rng.randbytes(50), file.data])


def _bits(file: Written, rng: Random) -> bytes:
    data = bytearray(file.data)
    for _ in range(rng.randint(1, 8)):
        data[_at(rng, data)] ^= 1 << rng.randrange(8)
    return bytes(data)


def _blocks(file: Written, rng: Random) -> bytes:
    at, wide = _at(rng, file.data), rng.choice([1, 2, 4, 12, 50, 300])
    head, block, tail = file.data[:at], file.data[at : at + wide], file.data[at + wide :]
    return rng.choice([
        head + tail, head + block + block + tail, head + bytes(len(block)) + tail,
        head + b"\xff" * len(block) + tail, head + rng.randbytes(wide) + tail,
        head + block[::-1] + tail, tail + head,
    ])  # fmt: skip


def _nothing(_: Written, rng: Random) -> bytes:
    return rng.choice([b"", b"\0", b"\n", b" " * 200, bytes(200)])


def _noise(_: Written, rng: Random) -> bytes:
    start = rng.choice([b"", b"solid\nfacet", b"PK\x03\x04", b"glTF\2\0\0\0", b"ply\n", b"OFF\n"])
    return start + rng.randbytes(rng.randint(1, 400))


# ------------------------------------------------------------------------ text


def _words(file: Written, rng: Random) -> bytes:
    """A word or two that are others."""
    found = list(re.finditer(rb"\S+", file.data))
    data = file.data
    for word in sorted(
        rng.sample(found, min(len(found), rng.randint(1, 3))), key=lambda w: -w.start()
    ):
        data = data[: word.start()] + rng.choice(NUMBERS).encode() + data[word.end() :]
    return data


def _lines(file: Written, rng: Random) -> bytes:
    """A line gone, there twice, or in another place."""
    lines = file.data.split(b"\n")
    at, to = rng.randrange(len(lines)), rng.randrange(len(lines))
    how = rng.randrange(4)
    if how == 0:
        del lines[at]
    elif how == 1:
        lines.insert(to, lines[at])
    elif how == 2:
        lines[at], lines[to] = lines[to], lines[at]
    else:
        lines[at] = lines[at] * 2
    return b"\n".join(lines)


def _line_ends(file: Written, rng: Random) -> bytes:
    ends = rng.choice([[b"\r\n"], [b"\r"], [b"\n", b"\r\n"], [b"\n", b"\r"], [b"\n\n"], [b" \n"]])
    return b"".join(line + rng.choice(ends) for line in file.data.split(b"\n"))


def _encoded(file: Written, rng: Random) -> bytes:
    text = file.data.decode()
    named = text.replace("\n", "\n# Ångström é 部品\n", 1)
    return rng.choice([
        b"\xef\xbb\xbf" + file.data, text.encode("utf-16"), text.encode("utf-16-le"),
        text.encode("utf-32"), named.encode(), named.encode("latin-1", "replace"),
        named.encode("utf-16"), text.replace(" ", "\u00a0").encode(),
    ])  # fmt: skip


def _decimal_comma(file: Written, _: Random) -> bytes:
    return file.data.replace(b".", b",")


# ------------------------------------------------------------------------ counts


def _counts(file: Written, rng: Random) -> bytes:
    """A count that says another number than there are."""
    other = rng.choice([-7, -2, -1, 1, 2, 3, 100, 10**6, 2**31, 2**32 - 1, 10**12])
    if file.kind == "stl" and not file.text:
        count = int.from_bytes(file.data[80:84], "little")
        return file.data[:80] + struct.pack("<I", (count + other) % 2**32) + file.data[84:]
    if file.kind == "glb":
        return _other_description(file.data, lambda head: _lied(head, other, rng))
    found = {
        "off": rb"(?<=\n)\d+ \d+|(?<=OFF )\d+ \d+", "ply": rb"(?<=vertex )\d+|(?<=face )\d+",
    }.get(file.kind)  # fmt: skip
    if found is None:
        return file.data[: len(file.data) // 2]
    word = rng.choice(list(re.finditer(found, file.data[:400]))[:2])
    counts = [int(n) for n in word[0].split()]
    at = rng.randrange(len(counts))
    counts[at] = counts[at] + other
    return (
        file.data[: word.start()] + b" ".join(b"%d" % n for n in counts) + file.data[word.end() :]
    )


def _lied(head: dict[str, Any], other: int, rng: Random) -> None:
    table, key = rng.choice([
        ("accessors", "count"), ("bufferViews", "byteLength"), ("buffers", "byteLength"),
    ])  # fmt: skip
    row = rng.choice(head[table])
    row[key] += other


# ------------------------------------------------------------------------ 3MF


def _model(data: bytes) -> str:
    with zipfile.ZipFile(io.BytesIO(data)) as package:
        return package.read("3D/3dmodel.model").decode()


def _packed(*members: tuple[str, bytes | str], how: int = zipfile.ZIP_DEFLATED) -> bytes:
    out = io.BytesIO()
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")  # of names that are there twice
        with zipfile.ZipFile(out, "w", how) as package:
            for name, content in members:
                package.writestr(zipfile.ZipInfo(name), content, how)
    return out.getvalue()


def _other_xml(file: Written, rng: Random) -> bytes:
    """A model whose text is not what it should be."""
    text = _model(file.data)
    again = "3D/3dmodel.model"
    how = rng.randrange(10)
    if how < 3:  # the value of an attribute
        values = list(re.finditer(r'"[^"]*"', text))
        word = rng.choice([*values[-4:], *values[:6], *rng.sample(values, 3)])
        text = text[: word.start()] + f'"{rng.choice(NUMBERS)}"' + text[word.end() :]
    elif how == 3:  # the name of a tag or an attribute
        words = list(re.finditer(r"[a-z0-9]+(?==)|(?<=<)/?[a-z]+", text))
        word = rng.choice([*words[:12], *rng.sample(words, 3)])
        text = text[: word.start()] + rng.choice(["x", "mesh", "object"]) + text[word.end() :]
    elif how == 4:
        text = text.replace(CORE, rng.choice(["", "http://example.org", CORE.upper()]))
    elif how == 5:
        head = rng.choice(
            ['<!DOCTYPE m [<!ENTITY a "1">]>', '<!DOCTYPE m SYSTEM "file:///etc/passwd">']
        )
        text = text.replace("\n<model", f"\n{head}<model", 1)
    elif how == 6:
        text = text.replace(
            "<vertex", rng.choice(["<!-- a --><vertex", "<?x y?><vertex", "&amp;<vertex"])
        )
    elif how == 7:
        said = rng.choice(["utf-16", "latin-1", "utf-7", "no-such", "ascii", "UTF-32"])
        text = text.replace("UTF-8", said, 1)
    elif how == 8:
        part = rng.choice(['<component objectid="1"/>', '<component objectid="9"/>'])
        text = text.replace("<mesh>", f"<components>{part}</components><mesh>", 1)
    else:
        item = (
            f'<item objectid="1" transform="{" ".join(rng.choice(NUMBERS) for _ in range(12))}"/>'
        )
        text = text.replace("<build>", f"<build>{item}", 1)
    return _packed((again, text))


def _transformed(file: Written, rng: Random) -> bytes:
    """Placed by a matrix that mirrors, flattens, or carries it off."""
    matrix = rng.choice([
        "-1 0 0 0 1 0 0 0 1 0 0 0", "0 0 0 0 0 0 0 0 0 0 0 0", "1 0 0 0 1 0 0 0 0 0 0 0",
        "1 0 0 0 1 0 0 0 1 1e30 0 0", "1e-30 0 0 0 1e-30 0 0 0 1e-30 0 0 0",
        "1e300 0 0 0 1 0 0 0 1 0 0 0", "1 1 0 0 1 0 0 0 1 5 5 5",
    ])  # fmt: skip
    text = _model(file.data)
    return _packed(
        ("3D/3dmodel.model", text.replace("/></build>", f' transform="{matrix}"/></build>'))
    )


def _other_members(file: Written, rng: Random) -> bytes:
    text, right = _model(file.data), "3D/3dmodel.model"
    choices: list[Callable[[], bytes]] = [
        lambda: _packed(("3d/3DMODEL.MODEL", text)), lambda: _packed(("part.model", text)),
        lambda: _packed(("../../3dmodel.model", text)), lambda: _packed(("C:\\a.model", text)),
        lambda: _packed((right, "")), lambda: _packed((right, text), (right, "twice")),
        lambda: _packed(("other.model", "<a/>"), (right, text)), lambda: _packed(("a.txt", text)),
        lambda: _packed((right + "/", b"")), _packed,
        lambda: _packed((right, text), how=zipfile.ZIP_LZMA),
        lambda: _packed((right, text), how=zipfile.ZIP_BZIP2),
        lambda: rng.randbytes(99) + file.data, lambda: file.data + rng.randbytes(99),
    ]  # fmt: skip
    return rng.choice(choices)()


def _other_zip_heads(file: Written, rng: Random) -> bytes:
    """The entries of the zip's own directory: flags, methods, sums, sizes, places."""
    data = bytearray(file.data)
    mark, first = rng.choice([(b"PK\x01\x02", 8), (b"PK\x03\x04", 6), (b"PK\x05\x06", 4)])
    starts = [found.start() for found in re.finditer(re.escape(mark), data)]
    at = rng.choice(starts) + first + rng.randrange(36 if first == 8 else 16)
    for place in range(at, min(at + rng.choice([1, 2, 4]), len(data))):
        data[place] = rng.choice([0, 1, 8, 99, 255, rng.randrange(256)])
    return bytes(data)


# ------------------------------------------------------------------------ GLB


def _other_description(data: bytes, change: Callable[[dict[str, Any]], None]) -> bytes:
    size = int.from_bytes(data[12:16], "little")
    head = json.loads(data[20 : 20 + size])
    change(head)
    return glb_of(json.dumps(head).encode(), data[28 + size :])


def _other_json(file: Written, rng: Random) -> bytes:
    """A value of the description that is another, is gone, or is there besides."""

    def change(head: dict[str, Any]) -> None:
        within: Any = head
        while True:
            keys = list(within) if isinstance(within, dict) else list(range(len(within)))
            if not keys:
                return
            key = rng.choice(keys)
            deeper = isinstance(within[key], dict | list) and within[key]
            if deeper and rng.random() < 0.85:
                within = within[key]
                continue
            if rng.random() < 0.2 and isinstance(within, dict):
                del within[key]
            else:
                within[key] = rng.choice(THINGS)
            return

    return _other_description(file.data, change)


def _more_json(file: Written, rng: Random) -> bytes:
    """Keys that the format knows and that are rare."""
    box = {"min": [0, 0, 0], "max": [1, 1, 1]}
    more: list[tuple[str, Any]] = [
        ("nodes", {"matrix": [rng.choice([0, 1, -1, 1e30]) for _ in range(16)]}),
        ("nodes", {"scale": rng.choice([[-1, 1, 1], [0, 0, 0], [1e38, 1, 1], [1]])}),
        ("nodes", {"rotation": rng.choice([[0, 0, 0, 0], [0, 0, 0, 1], [1e308] * 4, ["a"] * 4])}),
        ("nodes", {"children": [0]}), ("nodes", {"children": [5]}), ("nodes", {"camera": 0}),
        ("accessors", {"sparse": {"count": 1}}), ("accessors", {"normalized": True}),
        ("accessors", {"byteOffset": rng.choice([1, 2, 4, -4, 10**9])}), ("accessors", box),
        ("accessors", {"type": rng.choice(["VEC2", "MAT4", "VEC9", 3])}),
        ("accessors", {"componentType": rng.choice([5120, 5121, 5122, 5123, 5125, 5126, 9])}),
        ("bufferViews", {"byteStride": rng.choice([1, 4, 12, 16, 255, 0, -4])}),
        ("bufferViews", {"buffer": rng.choice([1, -1])}),
        ("buffers", {"uri": rng.choice(["x.bin", "file:///etc/passwd", "data:,a", None])}),
    ]  # fmt: skip

    def change(head: dict[str, Any]) -> None:
        if rng.random() < 0.2:
            mode = rng.choice([0, 1, 3, 4, 5, 6, 7, -1])
            head["meshes"][0]["primitives"][0]["mode"] = mode
        elif rng.random() < 0.1:
            head["extensionsRequired"] = rng.choice([["KHR_draco_mesh_compression"], ["X"], 3])
        else:
            table, keys = rng.choice(more)
            rng.choice(head[table]).update(keys)

    return _other_description(file.data, change)


def _other_chunks(file: Written, rng: Random) -> bytes:
    data = bytearray(file.data)
    size = int.from_bytes(data[12:16], "little")
    at, wide = rng.choice([(4, 4), (8, 4), (12, 4), (16, 4), (20 + size, 4), (24 + size, 4)])
    was = int.from_bytes(data[at : at + wide], "little")
    new = rng.choice([0, 1, was + 1, was - 1, was + 4, was - 4, 2**32 - 1, 2**31])
    data[at : at + wide] = struct.pack("<I", new % 2**32)
    return bytes(data)


# ------------------------------------------------------------------------ all of them

Spoil = Callable[[Written, Random], bytes]
ANY: tuple[tuple[str, Spoil, bool], ...] = (
    ("cut", _cut, True), ("longer", _longer, True), ("bits", _bits, False),
    ("blocks", _blocks, False), ("nothing", _nothing, True), ("noise", _noise, True),
    ("counts", _counts, True),
)  # fmt: skip
TEXT: tuple[tuple[str, Spoil, bool], ...] = (
    ("words", _words, False), ("lines", _lines, False), ("line ends", _line_ends, True),
    ("encoded", _encoded, True), ("decimal comma", _decimal_comma, False),
)  # fmt: skip
OF_KIND: dict[str, tuple[tuple[str, Spoil, bool], ...]] = {
    "3mf": (
        ("xml", _other_xml, False), ("transform", _transformed, False),
        ("members", _other_members, True), ("zip heads", _other_zip_heads, True),
    ),
    "glb": (
        ("json", _other_json, False), ("more json", _more_json, False),
        ("chunks", _other_chunks, True),
    ),
}  # fmt: skip


def spoiled(file: Written, rng: Random) -> Spoiled:
    """The file after one thing went wrong with it, or with its name."""
    if rng.random() < 0.08:
        kinds = [*KINDS, *(kind.upper() for kind in KINDS), "step", "txt", "", "stl.bak", "gz"]
        return Spoiled(f"part.{rng.choice(kinds)}", file.data, "wrong ending", True)
    own = OF_KIND.get(file.kind, ())
    choices = [*ANY, *(TEXT if file.text else ()), *own, *own]
    how, spoil, tells = rng.choice(choices)
    return Spoiled(f"part.{file.kind}", spoil(file, rng), how, tells)
