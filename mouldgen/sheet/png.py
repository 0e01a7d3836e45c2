"""A PNG writer for 8-bit RGB pictures: the same picture gives the same bytes.

Format: Portable Network Graphics (W3C Recommendation, third edition): signature, IHDR, one
IDAT, IEND; no time, no text, nothing that depends on the machine.
"""

from __future__ import annotations

import struct
import zlib

import numpy as np
from numpy.typing import NDArray

from mouldgen.errors import InputError

_SIGNATURE = b"\x89PNG\r\n\x1a\n"
_UP = 2  # each row less the row above: flat tones and upright edges become zeros
_LEVEL = 6


def png(picture: NDArray[np.uint8]) -> bytes:
    """A picture (rows, columns, 3) of RGB bytes, top row first, as a PNG file.

    Raises InputError for any other shape or type.
    """
    if picture.ndim != 3 or picture.shape[2] != 3 or picture.dtype != np.uint8:
        raise InputError(
            f"an array of shape {picture.shape} and type {picture.dtype} is not a picture",
            allowed="(rows, columns, 3) of bytes",
        )
    rows, columns = picture.shape[:2]
    flat = picture.reshape(rows, columns * 3)
    lines = np.empty((rows, 1 + columns * 3), np.uint8)
    lines[:, 0] = _UP
    lines[0, 1:] = flat[0]
    np.subtract(flat[1:], flat[:-1], out=lines[1:, 1:])  # modulo 256, as the format asks
    head = struct.pack(">IIBBBBB", columns, rows, 8, 2, 0, 0, 0)
    body = zlib.compress(lines.tobytes(), _LEVEL)
    return _SIGNATURE + _chunk(b"IHDR", head) + _chunk(b"IDAT", body) + _chunk(b"IEND", b"")


def _chunk(kind: bytes, data: bytes) -> bytes:
    return struct.pack(">I", len(data)) + kind + data + struct.pack(">I", zlib.crc32(kind + data))
