"""Numbers and arrays in one answer, which the browser takes apart without copying.

An answer is ``u32`` (little endian), the length of its head; the head, JSON in UTF-8 filled up
with spaces to a multiple of four bytes; then the arrays, one behind the other.  A head tells an
array as ``[offset, count]``: bytes from the first byte behind the head, and how many numbers.

One whose head says ``first`` has no arrays, and another comes behind it.
"""

from __future__ import annotations

import json
import struct
from collections.abc import Iterable, Mapping
from typing import Any

ALIGN = 4  # bytes; float32 and uint32 views of a browser start at such places only


def framed(head: Mapping[str, Any], arrays: Iterable[bytes] = ()) -> bytes:
    """One answer.

    head : what JSON can say; no infinity, no NaN.
    arrays : the bytes behind it, in the order of their offsets.
    """
    told = json.dumps(head, ensure_ascii=False, allow_nan=False, separators=(",", ":")).encode()
    # The length field itself is four bytes, so a head of whole fours leaves the arrays aligned.
    told += b" " * (-len(told) % ALIGN)
    return b"".join((struct.pack("<I", len(told)), told, *arrays))


def unframed(answer: bytes) -> tuple[dict[str, Any], bytes]:
    """The head of an answer, and its arrays as they lie behind it.

    answer : as `framed` makes it; of one that came in two the last.

    Raises ValueError where it is none.
    """
    if len(answer) < ALIGN:
        raise ValueError("an answer is at least four bytes long")
    (length,) = struct.unpack_from("<I", answer)
    if length % ALIGN or ALIGN + length > len(answer):
        raise ValueError(f"a head of {length} bytes does not fit an answer of {len(answer)}")
    head, rest = json.loads(answer[ALIGN : ALIGN + length]), answer[ALIGN + length :]
    return unframed(rest) if head.get("first") else (head, rest)
