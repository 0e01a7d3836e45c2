"""What the page is answered: each request, over a real socket, by real processes."""

from __future__ import annotations

import contextlib
import io
import zipfile
from collections.abc import AsyncIterator
from pathlib import Path
from typing import Any

import pytest

from mouldgen import __version__
from mouldgen.errors import SurroundingsError
from mouldgen.job.presets import find_card, names, shipped_folder
from mouldgen.page import front
from tests.cli_runs import mouldgen
from tests.demo_set import DEMO
from tests.page_server import TODAY, PageServer

TEXT = find_card("jobs", DEMO).read_text(encoding="utf-8")
KNOBS = find_card("jobs", "burl-knobs").read_text(encoding="utf-8")


# ------------------------------------------------------------------ page and files


def test_the_page_is_shown_or_how_to_build_it(
    page: PageServer, monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    monkeypatch.setattr(front, "STATIC", tmp_path)
    told = page.get("/")
    assert told.status == 503
    assert b"In a checkout: make page" in told.body

    (tmp_path / "assets").mkdir()
    (tmp_path / "index.html").write_bytes(b"<!doctype html><title>x</title>")
    (tmp_path / "assets" / "index-a1.js").write_bytes(b"1")
    (tmp_path / "secret.js").write_bytes(b"2")

    told = page.get("/")
    assert (told.status, told.body) == (200, b"<!doctype html><title>x</title>")
    assert told.headers["content-type"] == "text/html; charset=utf-8"
    assert told.headers["cache-control"] == "no-cache"
    told = page.get("/assets/index-a1.js")
    assert (told.status, told.body) == (200, b"1")
    assert told.headers["content-type"] == "text/javascript; charset=utf-8"
    long = f"/assets/{'a' * 300}.js"  # than any name that the system takes
    for path in (
        "/assets/secret.js", "/assets/x.exe", "/assets/", "/secret.js", "/index.html", long,
    ):  # fmt: skip
        assert page.get(path).status == 404
    for path in ("/assets/../secret.js", "/assets/%2e%2e/secret.js", "/assets/..%2fsecret.js"):
        assert page.get(path).status == 400


def test_what_there_is_not_is_told_as_a_problem(page: PageServer) -> None:
    told = page.get("/api/nothing")
    assert (told.status, told.problem["text"]) == (404, "there is nothing at this address.")
    for path in ("/api/early", "/api/save"):
        assert page.get(path).status == 405
    assert page.post("/api/start").status == 405
    assert page.get("/api/start/").status == 404  # and not led elsewhere


def test_the_start_tells_what_there_is(page: PageServer) -> None:
    told = page.get("/api/start").json

    assert {key: told[key] for key in ("version", "name", "text", "stamp", "today", "folder")} == {
        "version": __version__,
        "name": f"{DEMO}.toml",
        "text": TEXT,
        "stamp": "",
        "today": TODAY.isoformat(),
        "folder": str(page.folder.resolve()),
    }
    assert [job["name"] for job in told["shipped"]] == list(names("jobs"))
    assert told["shipped"][[job["name"] for job in told["shipped"]].index(DEMO)]["title"] == (
        "Eighteen coat pegs for a boathouse: fluted ash in slow epoxy, turned to 26 mm"
    )
    assert isinstance(told["pdf"], bool)


def test_every_shipped_job_says_what_it_is(page: PageServer) -> None:
    told = page.get("/api/start").json

    assert [job for job in told["shipped"] if job["title"] == job["name"]] == []


def test_a_job_is_opened_changed_and_saved_with_its_comments(page: PageServer) -> None:
    own = '# for Ada\r\nformat = 1\r\nname = "pegs"  # short\r\n[order]\r\npieces = 18 # more?\r\n'
    path = page.folder / "rewritten.toml"
    path.write_bytes(own.encode())
    assert "rewritten.toml" in page.get("/api/start").json["files"]

    opened = page.post("/api/open", **{"from": "folder"}, name="rewritten.toml").json
    assert opened["text"] == own
    changed = page.post("/api/change", text=own, key="order.pieces", said="24").json["text"]
    first = page.post("/api/save", name="rewritten.toml", text=changed, stamp=opened["stamp"])
    assert first.status == 200
    assert path.read_bytes() == own.replace("18 #", "24 #").encode()

    # Another window still has the old stamp; one that knows of no file has none.
    for stamp in (opened["stamp"], ""):
        told = page.post("/api/save", name="rewritten.toml", text=own, stamp=stamp)
        assert (told.status, told.problem["id"]) == (409, "conflict")
    last = page.post("/api/save", name="rewritten.toml", text=own, stamp=first.json["stamp"])
    assert last.json == {"name": "rewritten.toml", "stamp": opened["stamp"]}
    assert path.read_bytes() == own.encode()


def test_a_shipped_job_is_opened_as_a_copy(page: PageServer) -> None:
    told = page.post("/api/open", **{"from": "shipped"}, name=DEMO)

    assert told.json == {"name": f"{DEMO}.toml", "text": TEXT, "stamp": ""}


@pytest.mark.parametrize(
    ("where", "name"),
    [
        ("folder", "../pegs.toml"), ("folder", "..\\pegs.toml"), ("folder", "/etc/passwd"),
        ("folder", "C:\\pegs.toml"), ("folder", "con.toml"), ("folder", "pegs\0.toml"),
        ("folder", "shop.toml"), ("folder", "gone.toml"), ("shipped", "../resins/x"),
        ("shipped", "nul"), ("shipped", "gone"), ("shipped", ""),
    ],
)  # fmt: skip
def test_what_is_no_job_is_not_opened(page: PageServer, where: str, name: str) -> None:
    assert page.post("/api/open", **{"from": where}, name=name).status == 422


@pytest.mark.parametrize(
    ("path", "body", "what"),
    [
        ("/api/early", b"", "no JSON object"),
        ("/api/early", b"[1]", "no JSON object"),
        ("/api/early", b"[" * 50_000, "no JSON object"),
        ("/api/early", b"{}", "text is not a text"),
        ("/api/early", b'{"text": 3}', "text is not a text"),
        ("/api/early", b'{"text": "\\ud800"}', "text is not a text"),
        ("/api/early", b'{"text": "", "change": 1}', "change is not an edit"),
        ("/api/early", b'{"text": "", "change": {"key": "x"}}', "said is not a text"),
        ("/api/early", b'{"text": "", "today": "soon"}', "today is not a day"),
        ("/api/rest", b'{"text": "", "stills": "yes"}', "stills is neither true nor false"),
        ("/api/download", b'{"text": "", "what": "exe"}', "what is none of those there are"),
        ("/api/new", b'{"answers": [1]}', "answers is not a text"),
        ("/api/open", b'{"name": "x", "from": "web"}', "from is none of those there are"),
    ],
)
def test_what_is_no_request_is_told(page: PageServer, path: str, body: bytes, what: str) -> None:
    told = page.send(path, body)

    assert told.status == 422
    assert what in told.problem["what"]


def test_a_job_larger_than_any_is_refused(page: PageServer) -> None:
    for path in ("/api/early", "/api/save"):
        told = page.post(path, text="#" * 256_001, name="pegs.toml")
        assert (told.status, told.problem["id"]) == (413, "too-large")


SCAN = shipped_folder() / "scans" / "burl-knob.stl"


def test_a_scan_is_put_into_the_folder_once(page: PageServer) -> None:
    data = SCAN.read_bytes()

    told = page.put_scan("own.stl", data).json
    assert told == {
        "name": "own.stl",
        "bytes": len(data),
        "sound": True,
        "said": "Found: 58.1 mm long, and the thinnest round that it goes into is 38.6 mm across.",
    }
    assert page.put_scan("own.stl", b"other").status == 409
    for name in ("../own.stl", "own.toml", "", "con.stl", "%2e%2e%2fown.stl", "own%00.stl"):
        assert page.put_scan(name, data).status == 422
    assert (page.folder / "own.stl").read_bytes() == data


@pytest.mark.parametrize(
    ("name", "data"),
    [("torn.stl", SCAN.read_bytes()[:-7]), ("words.stl", b"not a mesh"), ("none.3mf", b"PK\3\4")],
)
def test_a_scan_that_cannot_be_read_is_refused_in_the_words_of_check(
    page: PageServer, tmp_path: Path, name: str, data: bytes
) -> None:
    (tmp_path / name).write_bytes(data)
    told = page.put_scan(name, data)

    assert told.status == 422
    shown = mouldgen("check", str(tmp_path / name)).err
    assert " ".join(shown.split()).endswith(" ".join(told.problem["text"].split()))
    assert not (page.folder / name).exists()


def test_a_scan_with_a_hole_is_kept_and_its_hole_is_told(page: PageServer) -> None:
    """A job may have it mended, so it is of use."""
    from mouldgen.solid.mesh import Mesh
    from mouldgen.solid.stl import read_stl, stl_bytes

    whole = read_stl(SCAN.read_bytes(), name="x")
    data = stl_bytes([Mesh(whole.vertices, whole.triangles[:-4])])
    told = page.put_scan("holed.stl", data)

    assert (told.status, told.json["sound"]) == (200, False)
    assert "the scan has 1 hole" in told.json["said"]
    assert "set [insert] mend = true" in told.json["said"]
    assert (page.folder / "holed.stl").read_bytes() == data


@pytest.mark.parametrize("read", [True, False])
def test_a_scan_that_takes_too_long_is_kept_where_it_could_be_read(
    page: PageServer, monkeypatch: pytest.MonkeyPatch, *, read: bool
) -> None:
    @contextlib.asynccontextmanager
    async def work(*_: Any, **__: Any) -> AsyncIterator[AsyncIterator[dict[str, Any]]]:
        async def answers() -> AsyncIterator[dict[str, Any]]:
            if read:
                yield {"sound": True, "said": ""}
            raise SurroundingsError("this took too long and was stopped")

        yield answers()

    monkeypatch.setattr(page.served.quick, "work", work)
    name = f"endless {read}.stl"
    told = page.put_scan(name.replace(" ", "%20"), b"")

    assert (page.folder / name).exists() is read
    assert told.status == (200 if read else 503)
    assert "took too long" in (told.json["said"] if read else told.problem["text"])
    assert not read or told.json["sound"] is False


def test_thirty_thousand_readings_are_refused_and_told_of(page: PageServer) -> None:
    begin, _, end = TEXT.partition("measured = [")
    text = f"{begin}measured = [{','.join(['30'] * 30_000)}{end[end.index(']') :]}"
    for path, more in (("early", {"change": {"key": "order.pieces", "said": "3"}}), ("rest", {})):
        told = page.post(f"/api/{path}", text=text, **more)
        assert (told.status, told.problem["key"]) == (422, "insert.measured")
        assert "30000 are more than any job has" in told.problem["what"]


@pytest.mark.parametrize("file", ["../outside.stl", "{outside}", "~/x.stl", "../../etc/passwd"])
def test_a_job_reads_no_scan_outside_its_folder(page: PageServer, file: str) -> None:
    outside = page.folder.parent / "outside.stl"
    outside.write_bytes(SCAN.read_bytes())
    told = page.post(
        "/api/early",
        text=KNOBS.replace('"burl-knob.stl"', f'"{file.format(outside=outside.as_posix())}"'),
    )

    assert (told.status, told.problem["key"]) == (422, "insert.file")
    assert "does not lie in the folder of the page" in told.problem["what"]


# -------------------------------------------------------------------------- edits


def test_an_edit_is_told_at_once(page: PageServer) -> None:
    first = page.post("/api/early", text=TEXT)
    told = page.post(
        "/api/early",
        text=TEXT,
        change={"key": "mould.gap", "said": "1.9 mm"},
        known=first.head["solids"]["key"],
    ).head

    assert 'gap = "1.9 mm"' in told["text"]
    assert {value["id"]: value["text"] for value in told["values"]}["gap.gap_mm"] == "1.90 mm"
    assert (told["same"], told["made"]) == (False, 1)
    assert {field["key"]: field["said"] for field in told["fields"]}["mould.gap"] == "1.9 mm"


def test_a_price_makes_no_solid_and_sends_none(page: PageServer) -> None:
    known = page.post("/api/early", text=TEXT).head["solids"]["key"]
    told = page.post(
        "/api/early",
        text=TEXT,
        change={"key": "resin.price", "said": "41 per kg"},
        known=known,
    )

    assert (told.head["made"], told.head["same"]) == (0, True)
    assert told.head["solids"]["key"] == known
    assert len(told.body) < 120_000  # its fields; the arrays alone are more


def test_what_an_edit_breaks_is_told_beside_it(page: PageServer) -> None:
    for key, said in (("piece.diameter", "abc"), ("piece.thread", "M99"), ("piece.nosuch", "1")):
        told = page.post("/api/early", text=TEXT, change={"key": key, "said": said})
        assert (told.status, told.problem["key"]) == (422, key)


def test_an_error_says_what_the_terminal_says(page: PageServer, tmp_path: Path) -> None:
    text = TEXT.replace('unit = "mm"', 'unit = "in"').replace('"26 mm"', '"1.5 mm"')
    (tmp_path / f"{DEMO}.toml").write_text(text, encoding="utf-8")

    told = page.post("/api/early", text=text).problem

    shown = mouldgen("gap", str(tmp_path / f"{DEMO}.toml")).err
    assert shown.split(".toml ", 1)[1].rstrip() == told["text"].split(".toml ", 1)[1]
    assert " in)" in told["text"]


def test_a_text_that_is_nested_too_deeply_is_no_bug(page: PageServer) -> None:
    for text, what in (
        (f"a = {'[' * 9000}", "nested too deeply"),
        (f"[{'a.' * 9000}a]\nb = 1\n", "more than 20 parts"),
    ):
        told = page.post("/api/change", text=text, key="order.pieces", said="3")
        assert (told.status, what in told.problem["what"]) == (422, True)


def test_what_is_no_toml_is_told_with_its_line(page: PageServer) -> None:
    told = page.post("/api/early", text='format = 1\nname = "x\n')

    assert told.status == 422
    assert told.problem["where"] == "job.toml line 2"


def test_the_next_question_and_the_last_answer(page: PageServer) -> None:
    told = page.post("/api/new", answers=[]).json
    assert (told["question"]["id"], told["at"], told["of"]) == ("title", 1, 10)

    told = page.post("/api/new", answers=["hooks", *[""] * 9]).json
    assert told["name"] == "hooks.toml"
    assert page.post("/api/early", text=told["text"]).status == 200


# ------------------------------------------------------------------------ downloads


def archive(data: bytes) -> dict[str, bytes]:
    with zipfile.ZipFile(io.BytesIO(data)) as packed:
        assert packed.testzip() is None
        return {name: packed.read(name) for name in packed.namelist()}


def folder(path: Path) -> dict[str, bytes]:
    return {
        file.relative_to(path).as_posix(): file.read_bytes()
        for file in sorted(path.rglob("*"))
        if file.is_file() and not file.name.startswith(".")
    }


@pytest.fixture(scope="module")
def built(tmp_path_factory: pytest.TempPathFactory) -> dict[str, bytes]:
    """What the commands write of the demo, by path."""
    out = tmp_path_factory.mktemp("out")
    for words in (
        ("build", DEMO), ("potcard", DEMO), ("sheet", DEMO, "--today", TODAY.isoformat()),
    ):  # fmt: skip
        assert mouldgen(*words, "--quiet", "--out", str(out)).code == 0
    return {
        name: data for name, data in folder(out).items() if not name.endswith("cards/loads.json")
    }


def test_everything_in_one_archive_is_what_the_commands_write(
    page: PageServer, built: dict[str, bytes]
) -> None:
    told = page.post("/api/download", text=TEXT, what="all")

    assert told.status == 200
    assert told.headers["content-type"] == "application/zip"
    assert told.headers["content-disposition"] == f'attachment; filename="{DEMO}.zip"'
    found = archive(told.body)
    assert found.pop(f"{DEMO}/{DEMO}.toml") == TEXT.encode()
    found.pop(f"{DEMO}/sheet.pdf", None)
    assert found == built


@pytest.mark.parametrize("what", ["stl", "3mf", "cards"])
def test_one_kind_of_file_is_what_the_commands_write(
    page: PageServer, built: dict[str, bytes], what: str
) -> None:
    told = page.post("/api/download", text=TEXT, what=what)

    wanted = {
        name: data
        for name, data in built.items()
        if ("/cards/" in name if what == "cards" else name.endswith(f".{what}"))
    }
    assert told.headers["content-disposition"] == f'attachment; filename="{DEMO}-{what}.zip"'
    assert archive(told.body) == wanted
    assert wanted


def test_the_sheet_is_the_one_on_paper(page: PageServer, built: dict[str, bytes]) -> None:
    told = page.post("/api/download", text=TEXT, what="sheet")

    assert told.body == built[f"{DEMO}/sheet.html"]


def test_cards_are_for_the_paper_that_is_asked_for(page: PageServer) -> None:
    a4, letter = (
        archive(page.post("/api/download", text=TEXT, what="cards", paper=paper).body)
        for paper in ("a4", "letter")
    )

    assert a4.keys() == letter.keys()
    assert a4 != letter


def test_the_job_is_taken_away_as_it_stands(page: PageServer) -> None:
    told = page.post("/api/download", text=TEXT, what="job")

    assert told.body == TEXT.encode()
    assert told.headers["content-disposition"] == f'attachment; filename="{DEMO}.toml"'


def test_moulds_that_must_be_fixed_are_only_taken_on_purpose(page: PageServer) -> None:
    # A cavity far wider than the piece needs: the set is made and something must be fixed.
    text = TEXT.replace('length = "60 mm"', 'length = "79 mm"')
    told = page.post("/api/download", text=text, what="stl")
    assert (told.status, told.problem["id"]) == (422, "no-answer")
    assert told.problem["what"].startswith("something must be fixed before moulds are printed:")

    anyway: Any = page.post("/api/download", text=text, what="stl", anyway=True)
    assert anyway.status == 200
    assert all("-MUST-FIX." in name for name in archive(anyway.body))
