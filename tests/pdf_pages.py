"""Reads a PDF with a reader that is not ours: texts, where they stand, ink, and its tags."""

from __future__ import annotations

import ctypes
import re
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from typing import Any

import numpy as np
import pypdfium2
from numpy.typing import NDArray
from pypdfium2 import raw

_HYPHENS = "\u0002\ufffe"  # how the reader tells a hyphen at the end of a line
_BREAK = "\u200b"
_INK = 250  # a dot that is darker is no paper


@dataclass(frozen=True, eq=False)
class PdfPage:
    """One page.

    size_mm : width and height [mm].
    text : in the order of the file.
    letters : with a shape, in the order of the boxes.
    boxes : of the shapes, left, foot, right and top [mm], y up from the foot of the page (n, 4).
    images : pictures made of pixels.
    ink_mm : left, foot, right and top of everything that is drawn [mm].
    tags : kind and alternative text of each tagged element, in reading order.
    """

    size_mm: tuple[float, float]
    text: str
    letters: str
    boxes: NDArray[np.float64]
    images: int
    ink_mm: tuple[float, float, float, float]
    tags: tuple[tuple[str, str], ...]

    @property
    def squeezed(self) -> str:
        return squeezed(self.text)

    def over_another(self, *, by_mm: float) -> list[tuple[str, str]]:
        """Pairs of letters that lie over each other by more than this both ways, with places.

        A letter may reach under the next of its word, as an f does under an o.
        """
        b = self.boxes
        left, foot, right, top = (b[:, k] for k in range(4))
        wide = np.minimum(right[:, None], right) - np.maximum(left[:, None], left)
        high = np.minimum(top[:, None], top) - np.maximum(foot[:, None], foot)
        pairs = np.argwhere(np.triu((wide > by_mm) & (high > by_mm), k=2))
        return [(self._at(i), self._at(k)) for i, k in pairs.tolist()]

    def _at(self, k: int) -> str:
        near = self.letters[max(0, k - 8) : k + 8]
        return f"{self.letters[k]!r} in {near!r} at {self.boxes[k].round(1).tolist()}"


@dataclass(frozen=True, eq=False)
class Pdf:
    """A whole file.

    pages : in order.
    title, language : as it tells them.
    tagged : whether it says that it has tags.
    """

    pages: tuple[PdfPage, ...]
    title: str
    language: str
    tagged: bool

    @property
    def squeezed(self) -> str:
        return "".join(page.squeezed for page in self.pages)


def squeezed(text: str) -> str:
    """A text without white space and with a plain hyphen for each that ends a line."""
    for hyphen in _HYPHENS:
        text = text.replace(hyphen, "-")
    return re.sub(rf"[\s{_BREAK}]+", "", text)


def read_pdf(data: bytes) -> Pdf:
    with pypdfium2.PdfDocument(data) as file:
        title = file.get_metadata_dict()["Title"]
        language = _told(raw.FPDFCatalog_GetLanguage, file)
        pages = tuple(_page(file[at]) for at in range(len(file)))
        return Pdf(pages, title, language, bool(raw.FPDFCatalog_IsTagged(file)))


def _mm(points: float) -> float:
    return points * 25.4 / 72.0


def _page(page: Any) -> PdfPage:
    left, foot, right, top = page.get_mediabox()
    words = page.get_textpage()
    text = words.get_text_range()
    shapes = [
        (letter, box)
        for k in range(words.count_chars())
        if (letter := chr(raw.FPDFText_GetUnicode(words, k))).strip(f" \t\r\n{_BREAK}")
        and (box := words.get_charbox(k))[2] > box[0]
    ]
    boxes = np.array([box for _, box in shapes], dtype=float).reshape(-1, 4) * 25.4 / 72.0
    return PdfPage(
        size_mm=(_mm(right - left), _mm(top - foot)),
        text=text,
        letters="".join(letter for letter, _ in shapes),
        boxes=boxes,
        images=sum(one.type == raw.FPDF_PAGEOBJ_IMAGE for one in page.get_objects()),
        ink_mm=_ink(page),
        tags=tuple(_tags(page)),
    )


def _ink(page: Any) -> tuple[float, float, float, float]:
    dots = np.asarray(page.render(scale=2.0, grayscale=True).to_numpy())
    dots = dots.reshape(dots.shape[0], -1) < _INK
    high, wide = dots.shape
    across, up = _mm(page.get_width()) / wide, _mm(page.get_height()) / high
    rows, columns = (np.nonzero(dots.any(axis=axis))[0] for axis in (1, 0))
    return (
        float(columns[0]) * across, float(high - 1 - rows[-1]) * up,
        float(columns[-1] + 1) * across, float(high - rows[0]) * up,
    )  # fmt: skip


def _tags(page: Any) -> Iterator[tuple[str, str]]:
    tree = raw.FPDF_StructTree_GetForPage(page)
    try:
        for k in range(raw.FPDF_StructTree_CountChildren(tree)):
            yield from _below(raw.FPDF_StructTree_GetChildAtIndex(tree, k))
    finally:
        raw.FPDF_StructTree_Close(tree)


def _below(element: Any) -> Iterator[tuple[str, str]]:
    yield (
        _told(raw.FPDF_StructElement_GetType, element),
        _told(raw.FPDF_StructElement_GetAltText, element),
    )
    for k in range(raw.FPDF_StructElement_CountChildren(element)):
        child = raw.FPDF_StructElement_GetChildAtIndex(element, k)
        if child:  # marked content is none
            yield from _below(child)


def _told(ask: Callable[..., int], of: Any) -> str:
    length = ask(of, None, 0)  # in bytes, its end in them
    told = (ctypes.c_ushort * (length // 2 + 1))()
    ask(of, told, length)
    return bytes(told)[:length].decode("utf-16-le").rstrip("\0")
