"""A pour from kept cards: the same row as one that is reckoned, and never from cards of old."""

from __future__ import annotations

import ast
import importlib
import io
import json
import os
import shutil
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path

import pytest

from mouldgen.castings import card_key
from mouldgen.castings.store import castings_file
from mouldgen.cli.kept_cards import PLACE
from mouldgen.errors import UsageError
from mouldgen.files.cards import CARDS
from tests.castings_drafts import load_draft, plain
from tests.castings_seeds import TIGHT_AND_WIDE, seed
from tests.cli_runs import Run, mouldgen

JOBS = Path(__file__).parents[3] / "presets" / "jobs"
WHEN = ("--when", "2026-11-20T18:30:00+01:00")
OWN = "shop/pegs.toml"
PROGRAM = card_key._program


@pytest.fixture(autouse=True)
def here(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> Path:
    """An empty folder with a folder of presets beside it, and nobody at the terminal."""
    (tmp_path / "here").mkdir()
    monkeypatch.chdir(tmp_path / "here")
    monkeypatch.setenv("MOULDGEN_PRESETS", str(tmp_path / "mine"))
    monkeypatch.setattr("sys.stdin", io.StringIO())
    # Whoever runs the tests may be writing the program.
    monkeypatch.setattr(card_key, "_program", lambda: b"this one")
    return tmp_path


@pytest.fixture
def reckons(monkeypatch: pytest.MonkeyPatch) -> Callable[..., bool]:
    """Whether a pour reckons the cards anew; it is then stopped there."""

    def refuse(_: object) -> None:
        raise UsageError("reckoned anew")

    def asked(*words: str) -> bool:
        with monkeypatch.context() as patch:
            patch.setattr("mouldgen.sheet.job_card.job_card", refuse)
            run = mouldgen("log", "pour", *words, *WHEN)
        assert run.code == 0 or "reckoned anew" in run.err, run.err
        return run.code != 0

    return asked


def kept(job: str = "boathouse-pegs") -> Path:
    return Path("out", job, *PLACE.split("/"))


def own_job(change: Callable[[str], str] = lambda text: text) -> str:
    """Pegs in a file of their own, in a folder of their own."""
    Path("shop").mkdir(exist_ok=True)
    text = (JOBS / "boathouse-pegs.toml").read_text("utf-8")
    Path(OWN).write_text(change(text), "utf-8")
    return OWN


def no_line(beginning: str) -> Callable[[str], str]:
    return lambda text: "\n".join(
        line for line in text.splitlines() if not line.startswith(beginning)
    )


def rows(*words: str, out: str = "out", teaching: Path | None = None) -> tuple[object, Run]:
    """What a pour writes into a file of castings, as the file gives it back."""
    castings = Path("rows.sqlite")
    castings.unlink(missing_ok=True)
    if teaching is not None:
        shutil.copy(teaching, castings)
    run = mouldgen("log", "pour", *words, *WHEN, "--out", out, "--castings", str(castings))
    assert run.code == 0, run.err
    with castings_file(castings) as file:
        return plain(file.loads()[-1]), run


DAY = ("--shop", "63 F", "--close", "11 min")
TOLD = ("--gap", "1=1.1 mm", "--moulds", "1-2", "--mixed", "412 g", "--left", "18 g")


@pytest.mark.parametrize(
    ("job", "sets"),
    [
        ("boathouse-pegs", ()),
        ("drawer-knobs", ("--set", "unit=in")),
        ("apple-toppers", ()),  # three pours, one a colour
        ("bell-pulls", ()),  # no pot
        ("boathouse-pegs", ("--set", "pour.batch=300 g")),  # gels later in its cup than the sheet's
        ("burl-knobs", ("--set", "mould.family=cup")),  # a scan
    ],
)
def test_kept_cards_give_the_row_that_is_reckoned(
    job: str, sets: tuple[str, ...], monkeypatch: pytest.MonkeyPatch
) -> None:
    reckoned = [rows(f"{job}:1", *sets)]
    text = kept(job).read_bytes()
    # Told as it was, on another day, with other moulds and gaps: each reckoned where none is kept.
    for number, words in enumerate((DAY, TOLD)):
        reckoned.append(rows(f"{job}:1", *sets, *words, out=f"other-{number}"))
        assert Path(f"other-{number}", job, PLACE).read_bytes() == text

    def refuse(_: object) -> None:
        raise UsageError("reckoned anew")

    monkeypatch.setattr("mouldgen.sheet.job_card.job_card", refuse)
    for words, (row, run) in zip(((), DAY, TOLD), reckoned, strict=True):
        again, fast = rows(f"{job}:1", *sets, *words)
        assert again == row
        assert (fast.out, fast.err) == (run.out, run.err)


@pytest.mark.heavy
def test_kept_cards_of_a_shell_give_the_row_that_is_reckoned(
    reckons: Callable[..., bool],
) -> None:
    row, _ = rows("burl-knobs:1")
    assert not reckons("burl-knobs:1")
    assert rows("burl-knobs:1")[0] == row


def test_a_gap_that_castings_moved_is_kept_too(reckons: Callable[..., bool]) -> None:
    teaching = seed(Path("teaching.sqlite"), TIGHT_AND_WIDE, job="other-pegs")
    row, run = rows("boathouse-pegs:2", teaching=teaching)
    untaught, _ = rows("boathouse-pegs:2", out="plain")
    assert row["castings"][0]["gap_mm"] > untaught["castings"][0]["gap_mm"]  # type: ignore[index]

    again, fast = rows("boathouse-pegs:2", teaching=teaching)
    assert again == row
    assert fast.out == run.out
    shutil.copy(teaching, "castings.sqlite")
    assert not reckons("boathouse-pegs:3")
    # Where the job's last load had another gap, kept cards ask for it as reckoned ones do.
    with castings_file(Path("castings.sqlite")) as file:
        file.pour(load_draft(1, job="boathouse-pegs", number=4, poured_at=WHEN[1]))
    asked = mouldgen("log", "pour", "boathouse-pegs:2", *WHEN)
    assert asked.code == 2
    assert "castings have moved the gap since load" in asked.err
    kept().unlink()
    assert mouldgen("log", "pour", "boathouse-pegs:2", *WHEN).err == asked.err


def test_where_the_card_has_a_blank_the_pressure_is_asked_for_again(
    reckons: Callable[..., bool],
) -> None:
    own_job(no_line("rating"))
    first = mouldgen("log", "pour", f"{OWN}:2", *WHEN)
    assert kept().is_file()
    assert not reckons(f"{OWN}:2", "--pressure", "40 psi")
    mouldgen("log", "undo", "--castings", "castings.sqlite")

    again = mouldgen("log", "pour", f"{OWN}:2", *WHEN)
    assert (again.code, again.err) == (first.code, first.err)
    assert "has a blank for the pressure" in again.err


@pytest.mark.parametrize("job", ["boathouse-pegs", "apple-toppers", "sash-pulls"])
def test_pot_cards_sheet_and_log_keep_the_same(job: str) -> None:
    assert mouldgen("potcard", job, "--out", "cards").code == 0
    assert mouldgen("sheet", job, "--out", "sheet", "--today", "2026-11-20").code == 0
    mouldgen("log", "pour", f"{job}:1", *WHEN, "--out", "log", "--castings", "other.sqlite")

    texts = {Path(out, job, PLACE).read_bytes() for out in ("cards", "sheet", "log")}
    assert len(texts) == 1


def test_they_lie_with_the_printed_cards() -> None:
    assert PLACE.split("/")[0] == CARDS
    run = mouldgen("potcard", "boathouse-pegs", "--out", "out", "--json").json
    assert not [name for name in run["files"] if name.endswith("json")]
    assert {path.suffix for path in Path("out/boathouse-pegs/cards").iterdir()} == {".txt", ".json"}
    kept().write_text("of old", "utf-8")
    mouldgen("potcard", "boathouse-pegs", "--out", "out")
    assert json.loads(kept().read_text("utf-8"))["card"]["job"] == "boathouse-pegs"


def test_a_day_of_pours_is_reckoned_once(reckons: Callable[..., bool]) -> None:
    mouldgen("potcard", "boathouse-pegs", "--out", "out")

    assert [reckons(f"boathouse-pegs:{number}") for number in (1, 2, 3)] == [False] * 3
    # What was learned of an open load is nothing; of a result, or of a load that was weighed, much.
    assert not reckons("boathouse-pegs:4", "--mixed", "400 g", "--left", "20 g")
    assert reckons("boathouse-pegs:5")


def _another_job() -> tuple[str, ...]:
    own_job(lambda text: text.replace('close = "14 min"', 'close = "13 min"') + "\n# changed\n")
    return ()


def _another_shop_file() -> tuple[str, ...]:
    Path("shop/shop.toml").write_text("[shop]\nscale = '1 g'\n", "utf-8")
    return ("--castings", "castings.sqlite")


def _own_shop_file() -> tuple[str, ...]:
    Path("../mine").mkdir()
    Path("../mine/shop.toml").write_text("[shop]\nscale = '1 g'\n", "utf-8")
    return ("--castings", "castings.sqlite")


def _own_card() -> tuple[str, ...]:
    Path("../mine/resins").mkdir(parents=True)
    shutil.copy(JOBS.parent / "resins/casting-epoxy-slow.toml", "../mine/resins")
    return ()


def _a_setting() -> tuple[str, ...]:
    return ("--set", "order.pieces=20")


def _a_result() -> tuple[str, ...]:
    seed(Path("castings.sqlite"), ((0.9, 0, 2),), job="other-pegs")
    return ()


def _a_weighed_load() -> tuple[str, ...]:
    with castings_file(Path("castings.sqlite")) as file:
        file.pour(load_draft(1, job="boathouse-pegs", mixed_g=50.0, left_g=3.0))
    return ("--again",)


def _a_changed_digit() -> tuple[str, ...]:
    text = kept().read_text("utf-8")
    assert '"taken_mm": 0.4' in text
    kept().write_text(text.replace('"taken_mm": 0.4', '"taken_mm": 0.3'), "utf-8")
    return ()


def _another_schema() -> tuple[str, ...]:
    said = json.loads(kept().read_text("utf-8"))
    kept().write_text(json.dumps({**said, "schema": said["schema"] + 1}), "utf-8")
    return ()


def _half_a_file() -> tuple[str, ...]:
    text = kept().read_text("utf-8")
    kept().write_text(text[: len(text) // 2], "utf-8")
    return ()


def _no_text() -> tuple[str, ...]:
    kept().write_bytes(b"\xff\xfe\x00")
    return ()


def _a_folder_in_its_place() -> tuple[str, ...]:
    kept().unlink()
    kept().mkdir()
    return ()


def _another_out() -> tuple[str, ...]:
    return ("--out", "elsewhere")


CHANGES = [
    _another_job, _another_shop_file, _own_shop_file, _own_card, _a_setting, _a_result,
    _a_weighed_load, _a_changed_digit, _another_schema, _half_a_file, _no_text,
    _a_folder_in_its_place, _another_out,
]  # fmt: skip


@pytest.fixture(scope="module")
def of_pegs(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A folder that keeps the cards of pegs in a file of their own."""
    place = tmp_path_factory.mktemp("pegs")
    (place / "here").mkdir()
    with pytest.MonkeyPatch.context() as patch:
        patch.chdir(place / "here")
        patch.setenv("MOULDGEN_PRESETS", str(place / "mine"))
        patch.setattr(card_key, "_program", lambda: b"this one")
        assert mouldgen("potcard", own_job(), "--out", "out").code == 0
    return place / "here"


@pytest.mark.parametrize("change", CHANGES, ids=lambda change: change.__name__.strip("_"))
def test_whatever_changes_is_reckoned_anew(
    change: Callable[[], tuple[str, ...]], of_pegs: Path, reckons: Callable[..., bool]
) -> None:
    shutil.copytree(of_pegs, ".", dirs_exist_ok=True)
    assert not reckons(f"{OWN}:1")
    more = change()
    assert reckons(f"{OWN}:1" if "--again" in more else f"{OWN}:2", *more)


def test_another_program_reckons_anew(
    of_pegs: Path, reckons: Callable[..., bool], monkeypatch: pytest.MonkeyPatch
) -> None:
    shutil.copytree(of_pegs, ".", dirs_exist_ok=True)
    assert not reckons(f"{OWN}:1")
    monkeypatch.setattr(card_key, "_program", lambda: b"another")
    assert reckons(f"{OWN}:2")


def test_a_program_is_known_by_its_version_and_its_files(
    here: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    file = here / "package" / "room" / "file.py"
    file.parent.mkdir(parents=True)
    file.write_text("a = 1\n", "utf-8")
    version = here / "package" / "__init__.py"
    version.write_text('__version__ = "1"\n', "utf-8")
    monkeypatch.setattr(card_key, "_PACKAGE", here / "package")
    seen = [PROGRAM()]
    (file.parent / "__pycache__").mkdir()
    (file.parent / "__pycache__" / "file.pyc").write_bytes(b"compiled")
    assert PROGRAM() == seen[0]

    file.write_text("a = 10\n", "utf-8")
    seen.append(PROGRAM())
    os.utime(file, ns=(1, 1))
    seen.append(PROGRAM())
    about = version.stat()
    version.write_text('__version__ = "2"\n', "utf-8")
    os.utime(version, ns=(about.st_atime_ns, about.st_mtime_ns))
    seen.append(PROGRAM())
    library = here / "reckoner_of_ours.py"
    monkeypatch.setattr(card_key, "_LIBRARIES", ("reckoner_of_ours",))
    monkeypatch.syspath_prepend(str(here))
    for text in ("", "b = 1\n", "b = 20\n"):  # none yet, one, a later one
        if text:
            library.write_text(text, "utf-8")
            importlib.invalidate_caches()
        seen.append(PROGRAM())
    assert len(set(seen)) == 7
    assert "reckoner_of_ours" not in sys.modules


def test_a_job_that_changes_while_it_is_reckoned_is_not_kept(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    from mouldgen.sheet import job_card as of

    own_job()
    reckoned = of.job_card

    def meanwhile(loaded):  # type: ignore[no-untyped-def]
        own_job(lambda text: text + "\n# changed\n")
        return reckoned(loaded)

    monkeypatch.setattr(of, "job_card", meanwhile)
    assert mouldgen("log", "pour", f"{OWN}:1", *WHEN).code == 0
    assert not kept().exists()


def test_a_pour_from_kept_cards_loads_nothing_slow() -> None:
    # In processes of their own; the parser itself loads pydantic, so the job's model is looked for.
    slow = ["jinja2", "manifold3d", "mouldgen.job.model", "numpy", "scipy", "shapely", "trimesh"]
    code = (
        "import sys; from mouldgen.cli import main; code = main();"
        f" print([name for name in {slow} if name in sys.modules], file=sys.stderr); sys.exit(code)"
    )

    def loaded(*words: str) -> str:
        run = subprocess.run(
            [sys.executable, "-c", code, *words], capture_output=True, check=True, text=True
        )
        return run.stderr

    words = ("log", "pour", "boathouse-pegs:2", "--again", *DAY)
    assert {"mouldgen.job.model", "numpy"} <= set(ast.literal_eval(loaded(*words)))
    assert loaded(*words) == "[]\n"


def test_where_nothing_can_be_kept_the_pour_is_written_all_the_same() -> None:
    Path("out").write_text("a file where a folder should go", "utf-8")
    run = mouldgen("log", "pour", "boathouse-pegs:2", *WHEN)

    assert (run.code, run.err) == (0, "")
    assert Path("out").is_file()


def test_errors_are_those_of_a_job_that_is_reckoned(reckons: Callable[..., bool]) -> None:
    words = [
        ("boathouse-pegs:9",),
        ("boathouse-pegs:2", "--shop", "19"),
        ("boathouse-pegs:2", "--gap", "16=1 mm"),
        ("boathouse-pegs:2", "--set", "name=other"),
        ("boathouse-pegs:2", "--set", "order.pieces=none"),
    ]
    before = [mouldgen("log", "pour", *each, "--out", "never").err for each in words[1:2]]
    mouldgen("potcard", "boathouse-pegs", "--out", "out")
    assert [mouldgen("log", "pour", *each).err for each in words[1:2]] == before
    for each in words[:1] + words[2:3]:
        fast = mouldgen("log", "pour", *each)
        shutil.rmtree("out/boathouse-pegs/cards")
        assert (fast.code, mouldgen("log", "pour", *each).err) == (2, fast.err)
    assert reckons(*words[3])  # cards are looked up by the name in the file
    assert mouldgen("log", "pour", *words[4]).code == 2
