"""Threads by the names that people write, and the habits of saw and lathe."""

from __future__ import annotations

from pathlib import Path

import pytest

from mouldgen.errors import JobError, PresetError
from mouldgen.job import presets
from mouldgen.job.lathe import lathe_habits
from mouldgen.job.load import load_job
from mouldgen.job.threads import nearest_thread, thread_card, thread_names, thread_of
from tests.faults.broken_jobs import GOOD

CARD = """title = "M12"
series = "metric coarse"
major = "12 mm"
pitch = "1.75 mm"
drill = "10.2 mm"
drill_name = "10.2 mm"
"""


@pytest.fixture(autouse=True)
def mine(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> Path:
    monkeypatch.setenv("MOULDGEN_PRESETS", str(tmp_path))
    (tmp_path / "threads").mkdir()
    return tmp_path


def test_the_shipped_threads_by_size() -> None:
    assert thread_names() == (
        "8-32", "10-24", "1/4-20", "1/4-27", "5/16-18", "3/8-16",
        "M4", "M5", "M6", "M8", "M10", "M10x1.25",
    )  # fmt: skip
    assert len(presets.names("threads")) == 12


@pytest.mark.parametrize("name", [
    "M6", "m6", " M6 ", "M6x1", "M6 x 1", "M6 \N{MULTIPLICATION SIGN} 1.0",
])  # fmt: skip
def test_a_metric_thread_with_its_coarse_pitch_is_the_same(name: str) -> None:
    thread = thread_of(name)
    assert (thread.name, thread.major_mm, thread.pitch_mm, thread.drill_mm) == ("M6", 6, 1, 5)


@pytest.mark.parametrize(("name", "card"), [
    ("1/4-20", "1-4-20"), ("1/4-20 UNC", "1-4-20"),
    ("\N{VULGAR FRACTION ONE QUARTER}-20", "1-4-20"),
    ("#8-32", "8-32"), ("no. 8-32", "8-32"), ("M10x1.25", "m10x1-25"), ("m10 x 1.25", "m10x1-25"),
    ("M10x1.5", "m10"), ("M10x1", None), ("M7", None), ("1/4-28", None), ("x1", None), ("", None),
    ("../jobs/boathouse-pegs", None), ("M6x1x1", None), ("1/4-20x1", None),
])  # fmt: skip
def test_names_and_their_cards(name: str, card: str | None) -> None:
    assert thread_card(name) == card


def test_an_inch_thread_in_millimetres() -> None:
    thread = thread_of("1/4-20")
    assert (thread.series, thread.metric, thread.drill_name) == ("UNC", False, "no. 7")
    assert (thread.major_mm, thread.pitch_mm) == (6.35, 1.27)
    assert thread.drill_mm == pytest.approx(5.1054, abs=1e-9)


@pytest.mark.parametrize(("typed", "meant"), [
    ("M7", "M6"), ("M9x1", "M8"), ("M20", "M10"), ("M8x1", "M8"), ("1/4-28", "1/4-27"),
    ("8-23", "8-32"), ("5/16", "5/16-18"), ("banana", None),
])  # fmt: skip
def test_the_nearest_thread_is_suggested(typed: str, meant: str | None) -> None:
    assert nearest_thread(typed) == meant


def test_an_unknown_thread_is_refused_with_all_there_are() -> None:
    with pytest.raises(PresetError, match=r'no thread "1/4-28".*8-32, .*M10x1\.25.*mean 1/4-27\?'):
        thread_of("1/4-28")


def test_a_card_of_ones_own_is_found(mine: Path) -> None:
    (mine / "threads" / "m12.toml").write_text(CARD, encoding="utf-8")
    assert thread_of("M12x1.75").drill_mm == 10.2
    assert thread_names()[-1] == "M12"


@pytest.mark.parametrize(("old", "new", "says"), [
    ('pitch = "1.75 mm"\n', "", r"threads/m12\.toml: the key per_inch is missing"),
    ('drill = "10.2 mm"\n', "", r"threads/m12\.toml: the key drill is missing"),
    ('"10.2 mm"\ndrill_name', '"12 mm"\ndrill_name', r"a drill of 12 mm .*do not make a thread of"),
    ('"1.75 mm"', '"1.75"', r"threads/m12\.toml pitch: .*has no unit"),
    ('pitch = "1.75 mm"', "per_inch = 0", r"per_inch: 0 is no number of turns"),
    ('pitch = "1.75 mm"', "per_inch = true", r"per_inch: True is no number of turns"),
    ('title = "M12"', "title = 12", r"m12\.toml title: this is no text"),
])  # fmt: skip
def test_a_broken_card_says_what_is_wrong(mine: Path, old: str, new: str, says: str) -> None:
    assert CARD.count(old) == 1
    (mine / "threads" / "m12.toml").write_text(CARD.replace(old, new), encoding="utf-8")
    with pytest.raises(PresetError, match=says):
        thread_of("M12")


def test_the_shipped_habits() -> None:
    habits = lathe_habits()
    # Common practice and belief; each says so in presets/lathe.toml.
    assert (habits.grip_mm, habits.kerf_mm) == (0.0, 3.2)
    assert (habits.wall_mm, habits.boss, habits.floor_mm) == (2.0, 2.0, 2.0)
    assert (habits.deeper, habits.point_deg, habits.lead, habits.engaged) == (1.3, 118, 8, 2)


@pytest.mark.parametrize(("old", "new", "says"), [
    ("deeper = 1.3", "deeper = 0.9", r"\[hole\] deeper: no hole is drilled less deep"),
    ("boss = 2.0", "boss = -1", r"\[hole\] boss: -1 is not a number that fits"),
    ('point = "118 deg"', 'point = "5 deg"', r"\[hole\] point: 5 degrees is no drill's point"),
    ('kerf = "3.2 mm"', "", r"lathe\.toml \[blank\] kerf: the key kerf is missing"),
    ("[hole]", "[hule]", r"lathe\.toml \[hole\] wall: the key wall is missing"),
])  # fmt: skip
def test_broken_habits_say_what_is_wrong(mine: Path, old: str, new: str, says: str) -> None:
    text = (presets.shipped_folder() / "lathe.toml").read_text(encoding="utf-8")
    assert old in text
    (mine / "lathe.toml").write_text(text.replace(old, new), encoding="utf-8")
    with pytest.raises(PresetError, match=says):
        lathe_habits()


# The good job's piece is 20 x 50 mm.
@pytest.mark.parametrize(("keys", "says"), [
    ('thread = "M7"\nhole_depth = "10 mm"', r'\[piece\] thread: there is no thread "M7".*hole ='),
    ('thread = "M6"', r"\[piece\] thread: the hole has no depth.*goes through"),
    ('hole = "8 mm"', r"\[piece\] hole: the hole has no depth"),
    ('hole_depth = "10 mm"', r'\[piece\] hole_depth: there is a depth and no hole.*thread = "M6"'),
    ('thread = "M6"\nhole = "8 mm"\nhole_depth = "9 mm"', r"\[piece\] hole: .*a plain hole too"),
    ('hole = "20 mm"\nhole_depth = "9 mm"', r"\[piece\] hole: the hole is 20 mm across.*20 mm"),
    ('thread = "M6"\nhole_depth = "51 mm"', r"\[piece\] hole_depth: .*at most 50 mm"),
    ('hole_from = "left"', r'\[piece\] hole_from: .*"bottom" or "top"'),
    ('grip = "-1 mm"', r"\[piece\] grip: .*negative"),
    ('outline = [["1 mm", "10 mm"], ["50 mm", "10 mm"]]', r"outline does not run .* from 0"),
    (
        'outline = [["0 mm", "10 mm"], ["40 mm", "5 mm"], ["30 mm", "5 mm"], ["50 mm", "5 mm"]]',
        r"\[piece\] outline: the outline does not run along the axis",
    ),
    ('outline = [["0 mm", "10 mm"], ["49 mm", "5 mm"]]', r"ends at 49 mm .*50 mm long"),
    ('outline = [["0 mm", "9 mm"], ["50 mm", "5 mm"]]', r"18 mm across at its widest.*20 mm"),
    (
        'outline = [["0 mm", "10 mm"], ["20 mm", "0 mm"], ["50 mm", "10 mm"]]',
        r"closes to a point inside the piece",
    ),
])  # fmt: skip
def test_keys_of_the_piece_that_contradict_each_other(tmp_path: Path, keys: str, says: str) -> None:
    path = tmp_path / "job.toml"
    text = GOOD.decode().replace("[resin]", f"{keys}\n[resin]")
    path.write_text(text, encoding="utf-8")
    with pytest.raises(JobError, match=says):
        load_job(path)


def test_a_thread_thicker_than_the_piece_is_refused() -> None:
    with pytest.raises(JobError, match=r"thread is 10 mm across and the piece 9 mm"):
        load_job("boathouse-pegs", sets=["piece.thread=M10", "piece.diameter=9 mm"])
