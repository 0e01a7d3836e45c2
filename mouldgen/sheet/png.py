"""A PNG writer for 8-bit pictures, RGB or RGBA: the same picture gives the same bytes.

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
_KINDS = {3: 2, 4: 6}  # colour type by bytes a pixel: truecolour, and that with alpha


def png(picture: NDArray[np.uint8]) -> bytes:
    """A picture (rows, columns, 3) of RGB bytes, top row first, as a PNG file.

    picture : the same with a fourth byte for how opaque a pixel is; its colour is not
        multiplied by that.

    Raises InputError for any other shape or type.
    """
    if picture.ndim != 3 or picture.shape[2] not in _KINDS or picture.dtype != np.uint8:
        raise InputError(
            f"an array of shape {picture.shape} and type {picture.dtype} is not a picture",
            allowed="(rows, columns, 3 or 4) of bytes",
        )
    rows, columns, channels = picture.shape
    flat = picture.reshape(rows, columns * channels)
    lines = np.empty((rows, 1 + columns * channels), np.uint8)
    lines[:, 0] = _UP
    lines[0, 1:] = flat[0]
    np.subtract(flat[1:], flat[:-1], out=lines[1:, 1:])  # modulo 256, as the format asks
    head = struct.pack(">IIBBBBB", columns, rows, 8, _KINDS[channels], 0, 0, 0)
    body = zlib.compress(lines.tobytes(), _LEVEL)
    return _SIGNATURE + _chunk(b"IHDR", head) + _chunk(b"IDAT", body) + _chunk(b"IEND", b"")


def _chunk(kind: bytes, data: bytes) -> bytes:
    return struct.pack(">I", len(data)) + kind + data + struct.pack(">I", zlib.crc32(kind + data))
