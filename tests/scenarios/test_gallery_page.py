"""The gallery shows every family and every insert shape, and says what its jobs give today."""

from __future__ import annotations

import zlib
from typing import get_args

import numpy as np
import pytest

from docs.make_gallery import FOLDER, JOBS, PAGE, Entry, entries, page
from mouldgen.job.load import load_job
from mouldgen.job.model import Insert, Mould
from mouldgen.mould.families import NAMES


@pytest.fixture(scope="module")
def built() -> tuple[Entry, ...]:
    return entries()


def test_the_page_is_current(built: tuple[Entry, ...]) -> None:
    """After a change that moves its numbers run `make gallery`."""
    assert PAGE.read_text(encoding="utf-8") == page(built)


def test_every_family_and_every_shape_is_shown() -> None:
    jobs = [load_job(name).job for name in JOBS]
    shapes = get_args(Insert.model_fields["shape"].annotation)

    assert {job.mould.family for job in jobs} == set(NAMES)
    assert set(get_args(Mould.model_fields["family"].annotation)) == set(NAMES)
    assert {job.insert.shape for job in jobs} >= set(shapes) - {"rod"}  # a flute with no flutes


@pytest.mark.parametrize("name", JOBS)
def test_its_picture_is_what_is_drawn_today(name: str, built: tuple[Entry, ...]) -> None:
    """Pixel by pixel; the files' bytes depend on the compression library."""
    (entry,) = [entry for entry in built if entry.name == name]

    assert np.array_equal(_pixels((FOLDER / f"{name}.png").read_bytes()), _pixels(entry.picture))


def _pixels(png: bytes) -> np.ndarray:
    """The filtered rows of a PNG: what its compressed chunks hold."""
    at, data = 8, b""
    while at < len(png):
        size, kind = int.from_bytes(png[at : at + 4], "big"), png[at + 4 : at + 8]
        data += png[at + 8 : at + 8 + size] if kind == b"IDAT" else b""
        at += 12 + size
    return np.frombuffer(zlib.decompress(data), np.uint8)
