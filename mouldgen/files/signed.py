"""Pictures that tell which version made them and of which job, where no eye is held up by it.

A drawing has it in a remark after its last tag, a still picture in the text chunk that is there
for it (PNG, W3C Recommendation, third edition, 11.3.3).
"""

from __future__ import annotations

import struct
import zlib

from mouldgen.fingerprint import made_by

_HEAD = 8 + 25  # bytes of a PNG's signature and of its first chunk


def signed(name: str, data: bytes, *, fingerprint: str) -> bytes:
    """A file's bytes with the version and the fingerprint, where its format is a picture's.

    name : of the file; its ending says what it is.
    data : as it was drawn.
    fingerprint : of the job.
    """
    ending = name.rpartition(".")[2]
    if ending == "svg":
        return signed_svg(data, fingerprint=fingerprint)
    return signed_png(data, fingerprint=fingerprint) if ending == "png" else data


def signed_svg(data: bytes, *, fingerprint: str) -> bytes:
    """A drawing with a remark at its end.

    data : SVG.
    fingerprint : of the job.
    """
    return data.rstrip() + f"\n<!-- {made_by(fingerprint)} -->\n".encode()


def signed_png(data: bytes, *, fingerprint: str) -> bytes:
    """A still picture with a text chunk behind its first one.

    data : PNG.
    fingerprint : of the job.
    """
    told = b"tEXtSoftware\0" + made_by(fingerprint).encode()
    chunk = struct.pack(">I", len(told) - 4) + told + struct.pack(">I", zlib.crc32(told))
    return data[:_HEAD] + chunk + data[_HEAD:]
