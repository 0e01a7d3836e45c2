"""Every output tells the version that made it and the fingerprint of its job.

What a command writes, answers with ``--json`` or hands to the page is made once and looked at
format by format; docs/reliability.md has the same table in words.
"""

from __future__ import annotations

import csv
import io
import json
import re
import sqlite3
import zipfile
from collections.abc import Callable
from contextlib import closing
from dataclasses import dataclass
from pathlib import Path
from xml.etree import ElementTree

import pypdfium2
import pytest

from mouldgen import __version__
from mouldgen.cli.app import COMMANDS
from mouldgen.fingerprint import ON_PAPER
from mouldgen.job.load import FORMAT
from mouldgen.page.download_task import WHATS, download
from mouldgen.page.inside import Bench
from mouldgen.page.work import Shop
from mouldgen.solid.threemf import CORE, MODEL_PART
from tests.cli_runs import mouldgen
from tests.demo_set import DEMO

TODAY = "2026-11-02"
TEXT = (Path(__file__).parents[2] / "presets" / "jobs" / f"{DEMO}.toml").read_text("utf-8")

# Commands with --json that are about no job, and why; all others tell the job's fingerprint.
OF_NO_JOB = {
    "check": "any mesh file",
    "dry": "weighings of wood",
    "log undo": "the castings file",
    "log save": "the castings file; every row has the fingerprint that it was cast with",
    "log read": "the castings file",
    "log copy": "the castings file",
}
# Files that the maker writes and the tool only helps with.
MAKERS_OWN = "job files (*.toml), the castings file and its copies, the drying log"


@dataclass(frozen=True, eq=False)
class Made:
    """What the commands left: files in a folder, answers by the words of the command."""

    folder: Path
    answers: dict[str, str]
    fingerprint: str


@pytest.fixture(scope="module")
def made(tmp_path_factory: pytest.TempPathFactory) -> Made:
    folder = tmp_path_factory.mktemp("made")
    out, castings = folder / "out", folder / "castings.sqlite"
    answers: dict[str, str] = {}

    def run(*words: str, code: int = 0) -> None:
        told = mouldgen(*words)
        assert told.code == code, told.err
        name = " ".join(words[:2]) if words[0] == "log" else words[0]
        assert name not in answers or words[0] == "gap", name
        answers[f"{name} --sweep" if "--sweep" in words else name] = told.out

    job, written = (DEMO, "--no-castings", "--json"), ("--out", str(out))
    run("build", *job, *written, "--pictures")
    run("gap", *job, *written, "--pictures")
    run("gap", *job, *written, "--sweep", "pour.close=8 min..12 min", "--steps", "3")
    run("heat", *job, *written, "--pictures")
    run("pot", *job, *written, "--pictures")
    run("potcard", *job, *written)
    run("sheet", *job, *written, "--pdf", "--today", TODAY)
    run("trial", *job, *written, "--gaps", "0.9,1.2", "--anyway")
    run("catalogue", *job, *written, "--grid", "pour.shop=20,22 C", "--sets", "--workers", "1")
    run("beds", *job)
    run("resin", *job)
    run("buy", *job)
    run("plan", *job, "--today", TODAY)
    run("quote", *job, "--today", TODAY)
    run("tune", *job)
    part = out / DEMO / "parts" / "body.stl"
    run("check", str(part), "--json")
    drying = folder / "drying.csv"
    drying.write_text("piece,when,weight\nA,2026-10-01,100\nA,2026-10-02,99\n", "utf-8")
    run("dry", str(drying), "--json", code=1)
    log = ("--castings", str(castings), "--json")
    run("log", "pour", f"{DEMO}:1", "--when", "2026-11-24 16:00", *log)
    run("log", "result", "1", "all good", *log)
    run("log", "list", *log)
    run("log", "show", "1", *log)
    for ending in ("csv", "json"):
        answers.pop("log save", None)
        run("log", "save", str(folder / f"rows.{ending}"), *log)
    run("log", "copy", str(folder / "copy.sqlite"), *log)
    run("log", "read", str(folder / "rows.csv"), "--castings", str(folder / "other.sqlite"),
        "--json")  # fmt: skip
    run("log", "undo", *log)
    run("schema")
    fingerprint = json.loads((out / DEMO / "report.json").read_bytes())["fingerprint"]
    assert re.fullmatch("[0-9a-f]{32}", fingerprint)
    return Made(folder, answers, fingerprint)


# ----------------------------------------------------------------------------------- formats


def of_stl(data: bytes) -> str:
    return data[:80].decode("ascii")


def of_3mf(data: bytes) -> str:
    with zipfile.ZipFile(io.BytesIO(data)) as package:
        root = ElementTree.fromstring(package.read(MODEL_PART))
    return " ".join(told.text or "" for told in root.iter(f"{{{CORE}}}metadata"))


def of_svg(data: bytes) -> str:
    ElementTree.fromstring(data)  # whole with its remark
    last = data.decode().splitlines()[-1]
    assert re.fullmatch("<!-- .* -->", last)
    return last


def of_png(data: bytes) -> str:
    """The text chunk; the chunks up to it are walked as the format has them."""
    at, texts = 8, []
    while at < len(data):
        size = int.from_bytes(data[at : at + 4], "big")
        if data[at + 4 : at + 8] == b"tEXt":
            texts.append(data[at + 8 : at + 8 + size].split(b"\0", 1)[1].decode("latin-1"))
        at += 12 + size
    assert at == len(data)
    return " ".join(texts)


def of_text(data: bytes) -> str:
    return data.decode()


def of_pdf(data: bytes) -> str:
    with closing(pypdfium2.PdfDocument(data)) as pdf:
        pages = [page.get_textpage().get_text_range() for page in pdf]
    return "".join(pages).replace("\u200b", "")


def of_csv(data: bytes) -> str:
    """What every one of the rows says; plain rows under one heading, which any reader takes."""
    heading, *rows = csv.reader(io.StringIO(data.decode(), newline=""))
    assert rows
    assert {len(row) for row in rows} == {len(heading)}
    told = [dict(zip(heading, row, strict=True)) for row in rows]
    assert {row["version"] for row in told} == {__version__}
    assert all(re.fullmatch("[0-9a-f]{32}", row["fingerprint"]) for row in told)
    return " ".join(f"{row['version']} {row['fingerprint']}" for row in told)


# Files by the end of their path: how to read what they carry, and how many digits they show.
FILES: dict[str, tuple[Callable[[bytes], str], int]] = {
    r"parts/.*\.stl": (of_stl, 32),
    r"beds/.*\.stl": (of_stl, 32),
    r"parts/.*\.3mf": (of_3mf, 32),
    r"beds/.*\.3mf": (of_3mf, 32),
    r"beds/.*\.svg": (of_svg, 32),
    r"(pockets|gap)\.svg": (of_svg, 32),
    r"plots/.*\.svg": (of_svg, 32),
    r"plots/.*\.csv": (of_csv, 32),
    r"set-.*\.png": (of_png, 32),
    r"report\.json": (of_text, 32),
    r"sheet\.html": (of_text, 32),
    r"sheet\.pdf": (of_pdf, 32),
    r"cards/load-.*\.txt": (of_text, ON_PAPER),
    r"cards/loads\.json": (of_text, 32),
}
OTHER_FILES = {
    r"trial\.csv": (of_csv, 32),
    r"trial\.json": (of_text, 32),
    r"catalogue\.csv": (of_csv, 32),
    r"rows\.jsonl": (of_text, 32),
}


def files(made: Made, of: str) -> dict[str, bytes]:
    folder = made.folder / "out" / of
    return {
        path.relative_to(folder).as_posix(): path.read_bytes()
        for path in folder.rglob("*")
        if path.is_file() and not path.name.endswith(".lock")
    }


@pytest.mark.parametrize("pattern", FILES)
def test_a_file_of_a_set_tells_version_and_fingerprint(made: Made, pattern: str) -> None:
    read, digits = FILES[pattern]
    found = {name: read(data) for name, data in files(made, DEMO).items()
             if re.fullmatch(pattern, name)}  # fmt: skip

    assert found
    for name, told in found.items():
        assert __version__ in told, name
        assert made.fingerprint[:digits] in told, name


def test_no_file_of_a_set_is_left_out_of_that_table(made: Made) -> None:
    left = [name for name in files(made, DEMO) if not any(re.fullmatch(p, name) for p in FILES)]

    assert left == []


@pytest.mark.parametrize("of", ["trial", "catalogue"])
def test_files_of_many_sets_tell_the_fingerprint_of_each(made: Made, of: str) -> None:
    found = files(made, f"{DEMO}-{of}")
    report = json.loads(found["trial.json" if of == "trial" else "report.json"])
    each = {row["fingerprint"] for row in report["rungs" if of == "trial" else "rows"]}
    known = each | {report.get("fingerprint", "")} - {""}

    assert len(each) == 2
    for name, data in found.items():
        short = re.sub("^sets/[^/]*/", "", name)
        patterns = {**FILES, **OTHER_FILES}
        reads = [read for pattern, (read, _) in patterns.items() if re.fullmatch(pattern, short)]
        assert reads, name
        told = reads[0](data)
        assert __version__ in told, name
        assert any(one in told for one in known), name


def test_a_trial_tells_the_fingerprint_that_its_job_has_elsewhere(made: Made) -> None:
    assert json.loads(made.answers["trial"])["fingerprint"] == made.fingerprint


# ------------------------------------------------------------------------------------ answers


def with_json() -> set[str]:
    """The names of all commands that take --json; those below ``log`` take that of ``log``."""
    names = [function.__name__ for function in COMMANDS]
    found = {name for name in names if "--json" in mouldgen(name, "--help").out}
    below = mouldgen("log", "--help").out.partition("Commands:")[2]
    return (found - {"log"}) | {
        f"log {name}" for name in re.findall(r"^  (\w+) ", below, re.MULTILINE)
    }


def test_every_json_answer_tells_version_and_fingerprint(made: Made) -> None:
    asked = with_json() - {"demo"}  # which is build of the shipped job
    assert asked - made.answers.keys() == set()
    for name in asked:
        told = json.loads(made.answers[name])
        assert told["version"] == __version__, name
        if name in OF_NO_JOB:
            continue
        if name.startswith("log "):
            assert f'"fingerprint": "{made.fingerprint}"' in made.answers[name], name
        elif name == "catalogue":
            assert all(row["fingerprint"] for row in told["rows"])
        else:
            assert told["fingerprint"] == made.fingerprint, name
    assert OF_NO_JOB.keys() <= asked


def test_the_schema_tells_the_format_of_job_files(made: Made) -> None:
    """It is of no job, and job files tell their own format, which outlives versions."""
    assert json.loads(made.answers["schema"])["properties"]["format"]["const"] == FORMAT


# ----------------------------------------------------------------------- castings and the page


def test_saved_rows_tell_version_and_fingerprint_and_come_back(made: Made) -> None:
    told = of_csv((made.folder / "rows.csv").read_bytes())
    saved = json.loads((made.folder / "rows.json").read_bytes())

    assert made.fingerprint in told
    assert saved["version"] == __version__
    assert saved["loads"][0]["castings"][0]["fingerprint"] == made.fingerprint
    assert json.loads(made.answers["log read"])["loads"] == [1]


def test_a_copy_of_the_castings_file_tells_form_and_fingerprints(made: Made) -> None:
    with closing(sqlite3.connect(made.folder / "copy.sqlite")) as copy:
        (form,) = copy.execute("PRAGMA user_version").fetchone()
        rows = copy.execute("SELECT fingerprint FROM castings").fetchall()

    assert form > 0
    assert {one for (one,) in rows} == {made.fingerprint}


@pytest.mark.parametrize("what", WHATS)
def test_a_download_of_the_page_tells_version_and_fingerprint(
    what: str, made: Made, tmp_path: Path
) -> None:
    shop = Shop(Bench(tmp_path, no_castings=True), watch=lambda: None)
    asked = {"text": TEXT, "what": what, "paper": "a4", "anyway": False, "today": TODAY}
    (file,) = download(shop, asked)
    data = file["data"]

    if what == "job":
        assert data.decode() == TEXT  # the maker's own, as it stands
        return
    if what in {"sheet", "pdf"}:
        told = of_text(data) if what == "sheet" else of_pdf(data)
        assert __version__ in told
        assert made.fingerprint in told
        return
    with zipfile.ZipFile(io.BytesIO(data)) as archive:
        assert archive.comment.decode() == f"mouldgen {__version__}, job {made.fingerprint}"
        for path in archive.namelist():
            name = path.removeprefix(f"{DEMO}/")
            if name.endswith(".toml"):
                continue
            ((read, digits),) = [o for p, o in FILES.items() if re.fullmatch(p, name)]
            told = read(archive.read(path))
            assert __version__ in told, name
            assert made.fingerprint[:digits] in told, name
