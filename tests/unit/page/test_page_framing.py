"""Numbers and arrays in one answer."""

from __future__ import annotations

import struct

import numpy as np
import pytest

from mouldgen.page.framing import framed, unframed


@pytest.mark.parametrize("word", ["", "a", "ab", "abc", "abcd", "Ø 7/8″"])
def test_what_is_framed_comes_apart_as_it_was(word: str) -> None:
    first = np.array([[0.5, 1.0, -2.0]], np.float32)
    second = np.array([[0, 1, 2], [2, 1, 3]], np.uint32)
    head = {"word": word, "positions": [0, 3], "faces": [first.nbytes, 6]}

    told, arrays = unframed(framed(head, (first.tobytes(), second.tobytes())))

    assert told == head
    assert np.frombuffer(arrays, np.float32, 3, 0).tolist() == first.ravel().tolist()
    assert np.frombuffer(arrays, np.uint32, 6, first.nbytes).tolist() == second.ravel().tolist()


@pytest.mark.parametrize("length", range(1, 9))
def test_arrays_start_where_a_browser_can_look_at_them(length: int) -> None:
    answer = framed({"a": "x" * length}, (b"1234",))
    (head,) = struct.unpack_from("<I", answer)

    assert (4 + head) % 4 == 0
    assert answer[4 + head :] == b"1234"
    assert answer[4 : 4 + head].rstrip(b" ").endswith(b"}")


def test_what_is_no_number_is_not_sent() -> None:
    with pytest.raises(ValueError, match="not JSON compliant"):
        framed({"ml": float("nan")})


@pytest.mark.parametrize("answer", [b"", b"\0\0", b"\5\0\0\0{}   ", b"\xff\xff\xff\xff{}"])
def test_what_is_no_answer_is_refused(answer: bytes) -> None:
    with pytest.raises(ValueError, match=r"bytes (long|does not fit)"):
        unframed(answer)
