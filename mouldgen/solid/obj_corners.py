"""OBJ files whose faces count their corners back from where they stand.

The library that reads OBJ counts back from the end of the file instead, and takes the number 0,
which names no corner, for the first; it is given a text in which every face counts from the start.
"""

from __future__ import annotations

import io
import re

from mouldgen.errors import MeshFileError

# A face with a corner that starts with a minus or is zero.
_COUNTS_BACK = re.compile(rb"^[ \t]*f[ \t](?:[^\n]*[ \t])??(?:-|0+(?:[/\s]|\Z))", re.MULTILINE)


def counted_from_the_start(data: bytes, *, name: str) -> bytes:
    """The same OBJ with faces that count from its first corner; textures and normals are left out.

    data : the whole file; what counts from the start already comes back as it is.
    name : of the file, for messages.

    Raises MeshFileError where a face names a corner that is not there, or none.
    """
    if not _COUNTS_BACK.search(data):
        return data
    out, corners = io.BytesIO(), 0
    for line in io.BytesIO(data.replace(b"\\\n", b"").replace(b"\\\r\n", b"")):
        told = line
        words = line.partition(b"#")[0].split()
        if words[:1] == [b"v"]:
            corners += 1
        elif words[:1] == [b"f"]:
            told = b" ".join([b"f", *(_number(word, corners, name) for word in words[1:])]) + b"\n"
        out.write(told)
    return out.getvalue()


def _number(word: bytes, corners: int, name: str) -> bytes:
    try:
        number = int(word.partition(b"/")[0])
    except ValueError:
        number = 0
    if number < 0:
        number += corners + 1
    if number < 1:
        raise MeshFileError(
            "has a face that names a corner that is not there",
            where=name,
            try_="Export or copy the file again.",
        )
    return b"%d" % number
