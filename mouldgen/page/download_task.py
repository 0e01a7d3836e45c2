"""Files to take away: what the commands write, by the same names, packed where they are many."""

from __future__ import annotations

import datetime as dt
import io
import zipfile
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any, cast

from mouldgen.errors import NoAnswerError
from mouldgen.fingerprint import made_by

if TYPE_CHECKING:
    from mouldgen.job.load import LoadedJob
    from mouldgen.mix.mixing import Mixing
    from mouldgen.mould_set import MouldSet
    from mouldgen.page.work import Shop
    from mouldgen.sheet.sheet_data import SheetData
    from mouldgen.sheet.sheet_page import Paper

WHATS = ("stl", "3mf", "sheet", "pdf", "cards", "job", "all")
PAPERS = ("a4", "letter")
_ENDINGS = {"stl": (".stl",), "3mf": (".3mf",)}
_LONG_AGO = (1980, 1, 1, 0, 0, 0)  # the first day of the format: the same files, the same bytes


@dataclass(frozen=True, eq=False)
class _Made:
    """A job that was worked out for its files."""

    loaded: LoadedJob
    found: MouldSet
    mixing: Mixing | None
    values: Mapping[str, Any]
    shop: Shop
    read: LoadedJob

    @property
    def name(self) -> str:
        return self.loaded.job.name

    @property
    def paper(self) -> Paper:
        return cast("Paper", self.values["paper"])


def download(shop: Shop, values: Mapping[str, Any]) -> Iterator[dict[str, Any]]:
    """One file: its name, its kind and its bytes.

    shop : of the process.
    values : ``text``, ``what`` of `WHATS`, ``paper`` of `PAPERS`, ``anyway``, ``today``.

    Raises NoAnswerError where something must be fixed first and it is not wanted anyway, and what
    a build raises.
    """
    what = values["what"]
    read = shop.loaded(values["text"])
    if what == "job":
        yield _file(f"{read.job.name}.toml", "application/toml", values["text"].encode())
        return
    if what == "pdf":
        from mouldgen.sheet.sheet_pdf import require_pdf

        require_pdf()
    made = _made(shop, values, read)
    if what == "sheet":
        yield _file(f"{made.name}-sheet.html", "text/html; charset=utf-8", _html(made, _data(made)))
    elif what == "pdf":
        yield _file(f"{made.name}-sheet.pdf", "application/pdf", _pdf(made, _data(made)))
    else:
        contents = {f"{made.name}/{at}": data for at, data in _contents(made, what).items()}
        packed = _packed(contents, remark=made_by(made.found.fingerprint))
        ending = "" if what == "all" else f"-{what}"
        yield _file(f"{made.name}{ending}.zip", "application/zip", packed)


def _made(shop: Shop, values: Mapping[str, Any], read: LoadedJob) -> _Made:
    from mouldgen.build import build_moulds
    from mouldgen.sheet.order_work import mixed

    loaded = shop.lessons.taught(read)
    found = build_moulds(loaded.job, learned=loaded.learned, memo=shop.memo, given=loaded.given)
    return _Made(loaded, found, mixed(found), values, shop, read)


def _contents(made: _Made, what: str) -> dict[str, bytes]:
    """The files of an archive, by the paths that a build gives them."""
    if what == "cards":
        return _cards(made)
    found = _solids(made)
    if what != "all":
        return {at: data for at, data in found.items() if at.endswith(_ENDINGS[what])}
    from mouldgen.sheet.sheet_pdf import can_make_pdf

    data = _data(made)
    found |= {"sheet.html": _html(made, data), f"{made.name}.toml": made.values["text"].encode()}
    if can_make_pdf():
        found["sheet.pdf"] = _pdf(made, data)
    return found | _cards(made)


def _solids(made: _Made) -> dict[str, bytes]:
    from mouldgen.files.write import contents_of
    from mouldgen.sheet.bed_picture import bed_svg

    found, job = made.found, made.loaded.job
    if found.parts is None or (found.stopped and not made.values["anyway"]):
        why = next((f.message for f in found.findings if f.severity == "stop"), "no gap fits")
        raise NoAnswerError(
            f"something must be fixed before moulds are printed: {why.rstrip('.')}",
            where=made.name,
            try_="" if found.parts is None else "Fix it, or take the files anyway.",
        )
    drawn = [bed_svg(bed, job.printer, title=f"{job.name}, bed {bed.number}") for bed in found.beds]
    return contents_of(found, bed_pictures=drawn, anyway=True)


def _cards(made: _Made) -> dict[str, bytes]:
    from mouldgen.files.cards import CARDS
    from mouldgen.sheet.card_pages import card_pages, cards_of, stops_of

    pages = card_pages(
        cards_of(made.found, made.mixing),
        job=made.name,
        stops=stops_of(made.found, made.mixing),
        paper=made.paper,
        fingerprint=made.found.fingerprint,
    )
    return {f"{CARDS}/{name}": text.encode() for name, text in pages.items()}


def _data(made: _Made) -> SheetData:
    from mouldgen.sheet.compose_sheet import sheet_data

    loads, tuned = made.shop.lessons.log(made.read)
    return sheet_data(
        made.found,
        today=dt.date.fromisoformat(made.values["today"]),
        given=made.loaded.given,
        loads=loads,
        tuned=tuned,
        made=made.mixing,
    )


def _html(made: _Made, data: SheetData) -> bytes:
    from mouldgen.sheet.sheet_page import sheet_html

    return sheet_html(data, paper=made.paper).encode()


def _pdf(made: _Made, data: SheetData) -> bytes:
    from mouldgen.sheet.sheet_pdf import sheet_pdf

    return sheet_pdf(data, paper=made.paper)


def _packed(contents: Mapping[str, bytes], *, remark: str) -> bytes:
    packed = io.BytesIO()
    with zipfile.ZipFile(packed, "w", zipfile.ZIP_DEFLATED, compresslevel=3) as archive:
        archive.comment = remark.encode()
        for name in sorted(contents):
            entry = zipfile.ZipInfo(name, _LONG_AGO)
            entry.external_attr = 0o644 << 16
            archive.writestr(entry, contents[name], zipfile.ZIP_DEFLATED, 3)
    return packed.getvalue()


def _file(name: str, kind: str, data: bytes) -> dict[str, Any]:
    return {"name": name, "kind": kind, "data": data}
