"""``mouldgen log``: a pour as its card says, a result as it was said, and the file round them."""

from __future__ import annotations

import datetime as dt
import io
import json
import re
from pathlib import Path

import pytest

from mouldgen import __version__
from mouldgen.answer import answer_job
from mouldgen.castings.records import Load
from mouldgen.castings.store import castings_file
from mouldgen.cli.moment import now as moment
from mouldgen.desk.log_told import long_ago, read_numbers, read_when
from mouldgen.errors import UsageError
from mouldgen.gap.aging import at_shop
from mouldgen.gap.air import air_gap_mm
from mouldgen.job.load import load_job
from tests.castings_drafts import load_draft
from tests.cli_runs import Run, mouldgen

WHEN = ("--when", "2026-11-20T18:30:00+01:00")


@pytest.fixture(autouse=True)
def here(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> Path:
    """An empty folder without a shop file, and nobody at the terminal."""
    monkeypatch.chdir(tmp_path)
    monkeypatch.setenv("MOULDGEN_PRESETS", str(tmp_path / "no-presets-of-mine"))
    monkeypatch.setattr("sys.stdin", io.StringIO())
    # The days in here are written: in a year they are long ago, and no test is to begin to fail.
    monkeypatch.setattr("mouldgen.desk.log_told.long_ago", lambda *_, **__: "")
    return tmp_path


class Terminal(io.StringIO):
    """Somebody who types."""

    def isatty(self) -> bool:
        return True


@pytest.fixture
def typed(monkeypatch: pytest.MonkeyPatch):  # type: ignore[no-untyped-def]
    def run(*lines: str, words: tuple[str, ...]) -> Run:
        monkeypatch.setattr("sys.stdin", Terminal("".join(f"{line}\n" for line in lines)))
        return mouldgen("log", *words)

    return run


def loads(path: str = "castings.sqlite") -> tuple[Load, ...]:
    with castings_file(Path(path)) as file:
        return file.loads()


def pour(*words: str) -> Run:
    run = mouldgen("log", "pour", *words, *WHEN)
    assert run.code == 0, run.err
    return run


def written(number: int = 2, *, moulds: tuple[int, ...] = (2, 3, 4, 5)) -> None:
    """A load of pegs in the file, without making them."""
    with castings_file(Path("castings.sqlite")) as file:
        file.pour(load_draft(*moulds, job="boathouse-pegs", number=number, poured_at=WHEN[1]))


def cards(job: str) -> list[dict[str, object]]:
    found: list[dict[str, object]] = mouldgen("potcard", job, "--json").json["cards"]
    return found


def test_a_load_is_written_down_as_its_pot_card_has_it() -> None:
    run = pour("boathouse-pegs:2")
    card = cards("boathouse-pegs")[1]
    (load,) = loads()

    assert run.err == ""
    assert (load.job, load.number, load.poured_at) == ("boathouse-pegs", 2, WHEN[1])
    assert [casting.number for casting in load.castings] == card["moulds"]
    first = load.castings[0]
    assert first.close_min == pytest.approx(float(str(card["close_s"])) / 60.0, abs=1e-3)
    assert first.pressure_kpa == pytest.approx(float(str(card["pressure_kpa"])), abs=1e-3)
    assert first.shop_c == card["shop_c"]
    assert first.sequence == card["sequence"]
    assert str(card["lettered"]).startswith(f"{first.mould_id} ")
    report = mouldgen("build", "boathouse-pegs", "--json").json
    assert first.fingerprint == report["fingerprint"]
    assert first.gap_mm == report["gap"]["gap_mm"]
    assert run.out.startswith(
        "Load 1: boathouse-pegs:2, castings 2-5, poured 2026-11-20 18:30.\n"
        "21 C, 70 F, shut after 14 min, 50 psi (3.4 bar) gauge, resin-first, gap 0.88 mm,\n"
        "of which 0.46 mm is open"
    )
    assert 'Write 1 on its card. After the lathe: mouldgen log result 1 "all good".' in run.words


def test_what_was_different_is_told() -> None:
    pour(
        "boathouse-pegs:2", "--shop", "66.2 F", "--close", "16 min", "--pressure", "45 psi",
        "--mixed", "412 g", "--left", "18 g", "--note", "cold \tmorning",
    )  # fmt: skip
    (load,) = loads()
    first = load.castings[0]

    assert first.shop_c == pytest.approx(19.0)
    assert first.close_min == 16.0
    assert first.pressure_kpa == pytest.approx(310.264, abs=1e-3)
    assert (load.mixed_g, load.left_g, load.note) == (412.0, 18.0, "cold morning")
    question = answer_job(load_job("boathouse-pegs").job).question
    day = {"shop": first.shop_c, "close": 960.0}
    resin = at_shop(question.resin, question.pour.model_copy(update=day))
    assert first.air_mm == air_gap_mm(question.layer_mm, resin)


def test_gaps_of_a_trial_set_are_told_by_number() -> None:
    run = pour(
        "boathouse-pegs:1", "--moulds", "1-6, 8", "--gap", "1-2=0.6 mm", "--gap", "3,4=3/64 in",
        "--gap", "0.9 mm",
    )  # fmt: skip
    (load,) = loads()

    assert [(c.number, round(c.gap_mm, 4)) for c in load.castings] == [
        (1, 0.6), (2, 0.6), (3, 1.1906), (4, 1.1906), (5, 0.9), (6, 0.9), (8, 0.9),
    ]  # fmt: skip
    assert {casting.mould_id for casting in load.castings} == {""}
    assert "gaps 0.60 mm, 0.90 mm, 1.19 mm" in run.words


def test_without_a_number_the_next_load_is_meant() -> None:
    for number in (1, 2, 4, 5, 6):
        written(number)
    assert "Load 6: boathouse-pegs:3, castings 6-9" in pour("boathouse-pegs").out
    assert "Load 7: boathouse-pegs:7" in pour("boathouse-pegs").out
    run = mouldgen("log", "pour", "boathouse-pegs")

    assert run.code == 2
    assert "all loads of boathouse-pegs are written down" in run.err
    assert len(loads()) == 7


def test_a_load_is_not_written_down_twice_unless_it_was_cast_again() -> None:
    written()
    run = mouldgen("log", "pour", "boathouse-pegs:2")

    assert (run.code, run.out) == (2, "")
    assert "boathouse-pegs:2 is written down already, as load 1, poured 2026-11-20 18:30" in run.err
    assert "Load 2: boathouse-pegs:2" in pour("boathouse-pegs:2", "--again").out
    assert "which load is cast again?" in mouldgen("log", "pour", "boathouse-pegs", "--again").err


def test_of_several_pours_the_first_opens_the_load_and_the_others_are_noted() -> None:
    first = pour("apple-toppers:1")
    assert "It takes 3 pours: note the next with the same words." in first.words
    before = loads()[0].castings[0]
    assert "Noted as pour 2 of 3: Load 1" in pour("apple-toppers:1", "--shop", "18 C").words
    assert "Noted as pour 3 of 3: Load 1" in pour("apple-toppers:1", "--note", "foam").words
    (load,) = loads()

    assert load.poured == 3
    assert load.note == "pour 2 on 2026-11-20 18:30, 18 C; pour 3 on 2026-11-20 18:30, foam"
    assert load.castings[0].shop_c == before.shop_c
    assert mouldgen("log", "pour", "apple-toppers:1").code == 2


def test_with_a_pour_outstanding_it_must_be_told_which_load_is_meant() -> None:
    pour("apple-toppers:1")
    run = mouldgen("log", "pour", "apple-toppers")
    assert run.code == 2
    assert run.err == (
        "which load was poured? Allowed: apple-toppers:1 for pour 2 of it; apple-toppers:2 for its"
        " first pour.\n"
    )
    run = mouldgen("log", "pour", "apple-toppers:1", "--gap", "2 mm", "--pressure", "40 psi")
    assert "--gap, --pressure belongs to the first pour of a load" in run.err
    assert loads()[0].poured == 1


def test_a_pressure_above_the_rating_is_written_down_with_a_warning() -> None:
    run = pour("boathouse-pegs:2", "--pressure", "70 psi")

    assert run.err == (
        "70 psi (4.8 bar) gauge is above the rating on the pot's plate, 60 psi (4.1 bar) gauge:"
        " never go above it. It is written down as you said it.\n"
    )
    assert loads()[0].castings[0].pressure_kpa == pytest.approx(482.63, abs=0.01)
    assert mouldgen(
        "log", "pour", "boathouse-pegs:3", "--pressure", "70 psi", "--json"
    ).json["warnings"] == [run.err.strip()]  # fmt: skip


def test_where_the_card_has_a_blank_the_pressure_is_asked_for() -> None:
    job = Path("pegs.toml")
    text = (Path(__file__).parents[3] / "presets/jobs/boathouse-pegs.toml").read_text("utf-8")
    job.write_text(
        "\n".join(line for line in text.splitlines() if not line.startswith("rating")), "utf-8"
    )
    run = mouldgen("log", "pour", "pegs.toml:2")
    assert run.code == 2
    assert "the pot card has a blank for the pressure: what did the gauge show?" in run.err
    assert not Path("castings.sqlite").exists()

    told = pour("pegs.toml:2", "--pressure", "40 psi")
    assert "The pot's rating is not known" in told.err


def test_without_a_pot_there_is_no_pressure() -> None:
    assert "no pressure" in pour("sash-pulls").words
    assert loads()[0].castings[0].pressure_kpa == 0.0


def test_a_resin_that_had_gelled_is_said_and_written_down() -> None:
    run = pour("boathouse-pegs:2", "--close", "3 h")

    assert "before the mould is closed at 180 min: no gap would have let the air out" in run.err
    assert loads()[0].castings[0].air_mm == float("inf")
    assert "had gelled" in mouldgen("log", "show", "1").out
    assert mouldgen("log", "show", "1", "--json").json["load"]["castings"][0]["air_mm"] is None


@pytest.mark.parametrize(
    ("words", "says"),
    [
        (("boathouse-pegs:9",), "has no load 9. Allowed: boathouse-pegs:1 to boathouse-pegs:7."),
        (("boathouse-peg:2",), "boathouse-peg: there is no such job."),
        (("boathouse-pegs:2", "--shop", "19"), '--shop: "19" has no unit.'),
        (("boathouse-pegs:2", "--close", "0 min"), "--close: a mould is shut after mixing began"),
        (("boathouse-pegs:2", "--pressure", "45"), '--pressure: "45" has no unit.'),
        (("boathouse-pegs:2", "--when", "noon"), '--when: "noon" is no moment.'),
        (("boathouse-pegs:2", "--when", "2026-11-20"), "--when: the time of day is missing."),
        (("boathouse-pegs:2", "--when", "2999-01-01 10:00"), "lies ahead"),
        (("boathouse-pegs:2", "--gap", "0 mm"), '--gap: "0 mm" is no gap.'),
        (("boathouse-pegs:2", "--gap", "x=1 mm"), '--gap: "x" names no castings.'),
        (("boathouse-pegs:2", "--gap", "3=1 mm", "--gap", "2-3=1 mm"), "for the second time"),
        (("boathouse-pegs:2", "--gap", "16=1 mm"), "--gap speaks of 16, and this load has 2-5."),
        (("boathouse-pegs:2", "--moulds", "2,2"), "names a casting twice"),
        (("boathouse-pegs:2", "--mixed", "0 g"), "--mixed: nothing was weighed out"),
        (("boathouse-pegs:2", "--mixed", "10 g", "--left", "11 g"), "--left: more was left over"),
        (("boathouse-pegs:2", "--note", "x" * 3000), "--note: that is too long for a note"),
    ],
)  # fmt: skip
def test_a_pour_that_cannot_be_read_writes_nothing(words: tuple[str, ...], says: str) -> None:
    run = mouldgen("log", "pour", *words)

    assert (run.code, run.out) == (2, "")
    assert says in run.err
    assert not Path("castings.sqlite").exists()


def test_a_result_is_repeated_in_one_sentence() -> None:
    written()
    run = mouldgen("log", "result", "1", "voids in 3 and 4, worst 1/8 in in 4, 4 scrapped, 25 min")

    assert (run.code, run.err) == (0, "")
    assert run.words == (
        "Load 1: boathouse-pegs:2, castings 2-5: voids in 3 and 4 (4: 3.2 mm); 2 and 5 good, 3"
        " repaired, 4 scrapped; 25 min of rework. Wrong? mouldgen log undo."
    )
    of = {casting.number: casting.result for casting in loads()[0].castings}
    assert {n: r.outcome for n, r in of.items() if r} == {
        2: "good", 3: "repaired", 4: "scrapped", 5: "good",
    }  # fmt: skip
    assert {n: r.rework_min for n, r in of.items() if r} == {2: 0.0, 3: 25.0, 4: 0.0, 5: 0.0}


def test_quotes_are_optional_and_the_job_may_name_the_load() -> None:
    written()
    run = mouldgen("log", "result", "boathouse-pegs:2", "voids", "in", "3", "at", "the", "top")

    assert run.words.startswith(
        "Load 1: boathouse-pegs:2, castings 2-5: voids in 3 (3: at the top); 2, 4 and 5 good, 3"
        " repaired."
    )


def test_a_result_said_again_replaces_and_undo_brings_the_first_back() -> None:
    written()
    mouldgen("log", "result", "1", "all good")
    again = mouldgen("log", "result", "1", "2 scrapped")
    assert "2 counts as having had voids; if not, say it again with: no voids in 2." in again.words
    assert "This replaces what was said of 2-5." in again.words

    assert mouldgen("log", "undo").words == (
        "Taken back: the result of load 1 (boathouse-pegs:2). What it had replaced, if anything,"
        " stands again. Once more goes further back."
    )
    assert "no voids; all good" in mouldgen("log", "list").out
    mouldgen("log", "undo")
    mouldgen("log", "undo", "--quiet")
    assert loads() == ()
    nothing = mouldgen("log", "undo")
    assert nothing.code == 1
    assert "there is nothing to take back" in nothing.err


def test_open_loads_stay_listed_until_all_castings_have_a_result() -> None:
    assert mouldgen("log").words.startswith("Nothing is logged yet.")
    written()
    written(3, moulds=(6, 7, 8, 9))
    mouldgen("log", "result", "1", "all good")
    mouldgen("log", "result", "2", "6-7 good")

    shown = mouldgen("log")
    assert shown.code == 0
    assert "boathouse-pegs:2" not in shown.out
    assert "no voids; 6 and 7 good; 8 and 9 still open" in shown.words
    assert [load["load_id"] for load in mouldgen("log", "--json").json["loads"]] == [2]
    everything = mouldgen("log", "list")
    assert "boathouse-pegs:2" in everything.out
    assert "8 castings: 6 with a result, 2 open. 0 had voids, 0 were scrapped." in everything.words
    assert [load["load_id"] for load in mouldgen("log", "list", "--open", "--json").json["loads"]
            ] == [2]  # fmt: skip
    mouldgen("log", "result", "2", "8-9 good")
    assert mouldgen("log").words == "All 2 loads have their result. All loads: mouldgen log list."
    assert mouldgen("log", "list", "--open").words == "No load is open."


def test_a_page_of_one_load_tells_all_of_it() -> None:
    with castings_file(Path("castings.sqlite")) as file:
        draft = load_draft(2, 4, job="boathouse-pegs", note="cold", mixed_g=412.0, left_g=18.0)
        file.pour(draft)
    mouldgen("log", "result", "1", "worst 3 mm in 4 at the top, 10 min", "--note", "dry ash")
    run = mouldgen("log", "show", "boathouse-pegs")

    assert "412 g mixed, 18 g left over. Note: cold; dry ash." in run.words
    assert "4 0.88 0.46 0.46 repaired 10 min 3 mm, at the top" in run.words
    assert "2 0.88 0.46 0.46 good none" in run.words
    assert len(mouldgen("log", "show", "1", "--quiet").out.splitlines()) < len(run.out.splitlines())


@pytest.mark.parametrize(
    ("words", "code", "says"),
    [
        (("result",), 2, "which load? Allowed: 1 for boathouse-pegs:2. Such as: mouldgen log"),
        (("result", "1"), 2, "what was found? Allowed: mouldgen log result 1"),
        (("result", "7", "all good"), 2, "there is no load 7."),
        (("result", "pegs", "all good"), 2, 'there is no load "pegs". Allowed: a number that'),
        (("result", "1", "9", "scrapped"), 2, "there is no casting 9 in this load, which has 2-5"),
        (("show", "boathouse-pegs:3"), 2, 'there is no load "boathouse-pegs:3".'),
        (("list", "--castings", "no-folder/x.sqlite"), 2, "there is no such castings file."),
        (("lst",), 2, "No such command 'lst'."),
        (("--json", "list"), 2, "Options go behind the word"),
        (("save", "rows.txt"), 2, "rows.txt: the ending does not say how rows are written"),
        (("read", "rows.txt"), 2, "Allowed: .csv or .json."),
        (("read", "rows.csv"), 2, "rows.csv: there is no such file."),
        (("copy", "castings.sqlite"), 2, "and it is never written over"),
    ],
)  # fmt: skip
def test_what_cannot_be_done_is_said_in_one_paragraph(
    words: tuple[str, ...], code: int, says: str
) -> None:
    written()
    before = Path("castings.sqlite").read_bytes()
    run = mouldgen("log", *words)

    assert run.code == code
    assert says in run.err
    assert run.err.count("\n") == 1
    assert Path("castings.sqlite").read_bytes() == before


def test_with_no_load_open_there_is_nothing_to_say() -> None:
    assert "no load is open. Nothing is logged yet." in mouldgen("log", "result").err
    assert "there are no rows to write" in mouldgen("log", "save", "x.csv").err
    assert not Path("x.csv").exists()


def test_at_a_terminal_three_questions_are_asked(typed) -> None:  # type: ignore[no-untyped-def]
    written()
    run = typed("3 and 12", "3, 4", "4", "25", words=("result",))

    assert run.code == 0, run.err
    assert "there is no casting 12 in this load" in run.words
    assert run.out.count("1. Which castings have voids that break the finished surface?") == 1
    assert "2. Which were scrapped? One that was repaired is not scrapped." in run.words
    assert "3. How many minutes did repairs take in all?" in run.words
    assert "voids in 3 and 4; 2 and 5 good, 3 repaired, 4 scrapped; 25 min of rework" in run.words


def test_the_questions_may_be_answered_with_none(typed) -> None:  # type: ignore[no-untyped-def]
    written()
    run = typed("none", "none", "", words=("result", "1"))

    assert "no voids; all good." in run.words


def test_one_who_does_not_know_yet_writes_nothing(typed) -> None:  # type: ignore[no-untyped-def]
    written()
    run = typed("", words=("result", "1"))

    assert run.code == 1
    assert run.out.endswith("Nothing is written down.\n")
    assert loads()[0].open


def test_at_a_terminal_what_is_not_clear_is_asked_back(typed) -> None:  # type: ignore[no-untyped-def]
    written()
    run = typed("2 scrapped", words=("result", "1", "two", "scrapped"))

    assert run.code == 0
    assert 'which ones do you mean by "two"?' in run.out
    assert loads()[0].castings[0].result is not None


def test_answers_that_end_early_write_nothing(typed) -> None:  # type: ignore[no-untyped-def]
    written()
    run = typed("3", words=("result", "1"))

    assert run.code == 2
    assert "Start again with: mouldgen log result" in run.err
    assert loads()[0].open


@pytest.mark.parametrize("form", ["csv", "json"])
def test_rows_are_saved_and_read_elsewhere(form: str) -> None:
    written()
    mouldgen("log", "result", "1", "voids in 3 at the top")
    saved = mouldgen("log", "save", f"rows.{form}")
    assert f"Written: 4 castings into rows.{form}." in saved.words
    assert mouldgen("log", "save", f"rows.{form}").code == 2
    taken = mouldgen("log", "read", f"rows.{form}", "--castings", "other.sqlite")
    assert f"Taken in from rows.{form}: 1 new load (1)." in taken.words
    again = mouldgen("log", "read", f"rows.{form}", "--castings", "other.sqlite")
    assert "0 new loads, 1 load that was here already." in again.words

    lists = [mouldgen("log", "list", "--json", "--castings", name).json["loads"]
             for name in ("castings.sqlite", "other.sqlite")]  # fmt: skip
    assert lists[0] == lists[1]
    wrong = Path(f"rows.{form}").read_text("utf-8").replace("resin-first", "upside-down", 1)
    Path(f"wrong.{form}").write_text(wrong, encoding="utf-8", newline="")
    run = mouldgen("log", "read", f"wrong.{form}", "--castings", "third.sqlite")
    assert run.code == 2
    assert "sequence: " in run.err
    assert '"upside-down" cannot be used here' in run.err
    assert not Path("third.sqlite").exists()


def test_a_load_whose_number_is_taken_says_its_new_one() -> None:
    written()
    mouldgen("log", "save", "rows.csv")
    pour("boathouse-pegs:3", "--castings", "other.sqlite")
    run = mouldgen("log", "read", "rows.csv", "--castings", "other.sqlite")

    assert "Its load 1 is load 2 here, since 1 was taken." in run.words
    told = mouldgen("log", "read", "rows.csv", "--castings", "other.sqlite", "--json").json
    assert told["already_there"] == 1


def test_a_copy_is_used_like_the_file() -> None:
    written()
    assert mouldgen("log", "copy", "copy.sqlite").code == 0

    assert mouldgen("log", "list", "--castings", "copy.sqlite").out == mouldgen("log", "list").out
    told = mouldgen("log", "copy", "second.sqlite", "--json").json
    assert told == {"file": "castings.sqlite", "copy": "second.sqlite", "version": __version__}


def test_the_file_lies_beside_the_shop_file() -> None:
    Path("shop").mkdir()
    text = (Path(__file__).parents[3] / "presets/jobs/boathouse-pegs.toml").read_text("utf-8")
    Path("shop/pegs.toml").write_text(text, "utf-8")
    Path("shop/shop.toml").write_text("[shop]\nscale = '1 g'\n", "utf-8")
    run = pour("shop/pegs.toml:2")

    assert f"It is kept in {Path('shop/castings.sqlite')}." in run.words
    assert len(loads("shop/castings.sqlite")) == 1


def test_every_answer_in_json_is_one_object() -> None:
    poured = mouldgen("log", "pour", "boathouse-pegs:2", "--json", *WHEN)
    assert poured.err == ""
    assert poured.json["load"]["castings"][0]["number"] == 2
    said = mouldgen("log", "result", "1", "2 scrapped", "--json").json
    assert said["supposed_voids"] == [2]
    assert said["replaced"] == []
    assert said["load"]["castings"][0]["result"]["outcome"] == "scrapped"
    saved = mouldgen("log", "save", "rows.json", "--json").json
    assert saved["castings"] == 4
    assert json.loads(Path("rows.json").read_text("utf-8"))["loads"] == [said["load"]]
    assert mouldgen("log", "undo", "--json").json["undone"].startswith("the result of load 1")


def test_words_that_steer_a_terminal_do_not_come_back() -> None:
    with castings_file(Path("castings.sqlite")) as file:
        file.pour(load_draft(1, job="p\x1begs", note="red \x1b[31m ink"))
    assert "\x1b" not in mouldgen("log", "list").out
    assert "\x1b" not in mouldgen("log", "show", "1").out


def test_moments_are_read_as_the_clock_of_the_shop_has_them() -> None:
    now = dt.datetime.now(dt.UTC)
    assert abs((dt.datetime.fromisoformat(read_when(None, now=moment())) - now).total_seconds()) < 5
    told = dt.datetime.fromisoformat(read_when("2026-07-01 18:30", now=moment()))
    assert told.tzinfo is not None
    assert told.replace(tzinfo=None) == dt.datetime(2026, 7, 1, 18, 30)  # noqa: DTZ001
    today = dt.datetime.fromisoformat(read_when("00:00", now=moment()))
    assert today.date() == now.astimezone().date()
    for text in ("1 Jul 2026 18:30", "July 1, 2026 18:30", "2026-07-01T18:30:00"):
        assert dt.datetime.fromisoformat(read_when(text, now=moment())) == told
    early = dt.datetime.fromisoformat(read_when("2026-07-01 7:05", now=moment()))
    assert early.replace(tzinfo=None) == dt.datetime(2026, 7, 1, 7, 5)  # noqa: DTZ001


@pytest.mark.parametrize("text", ["2026-07-01", "20260701", "1 July 2026"])
def test_a_day_without_its_hour_is_no_moment(text: str) -> None:
    with pytest.raises(UsageError, match="the time of day is missing"):
        read_when(text, now=moment())


@pytest.mark.parametrize("text", ["noon", "someday 18:30", "2026-07-01 25:00", "1.7.2026 18:30"])
def test_what_is_no_moment(text: str) -> None:
    with pytest.raises(UsageError, match=r'is no moment\. Allowed: such as "2026-11-20 18:30"'):
        read_when(text, now=moment())


@pytest.mark.parametrize(
    ("ago", "says"),
    [
        (dt.timedelta(days=7305), "was 20 years ago: is the year in --when right?"),
        (dt.timedelta(days=365), "was 365 days ago: is the year in --when right?"),
        (dt.timedelta(days=299), ""),
        (dt.timedelta(), ""),
    ],
)
def test_a_pour_of_long_ago_is_asked_about(ago: dt.timedelta, says: str) -> None:
    when = (dt.datetime.now(dt.UTC) - ago).isoformat(timespec="seconds")
    asked = long_ago(when, now=moment())

    assert asked.endswith(says)
    assert bool(asked) is bool(says)


def test_a_year_that_looks_like_a_slip_is_written_down_with_a_question(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.setattr("mouldgen.desk.log_told.long_ago", long_ago)
    run = mouldgen("log", "pour", "boathouse-pegs:2", "--when", "2006-11-20 18:30")
    (load,) = loads()

    assert run.code == 0
    assert re.search(
        r"^A pour on 2006-11-20 was \d\d years ago: is the year in", run.err, re.MULTILINE
    )
    assert load.poured_at.startswith("2006-11-20T18:30")


def test_a_job_in_inches_is_shown_its_sizes_in_inches(here: Path) -> None:
    (here / "pegs.toml").write_text('format = 1\nname = "pegs"\nunit = "in"\n', encoding="utf-8")
    with castings_file(Path("castings.sqlite")) as file:
        file.pour(load_draft(1, 2, 3, job="pegs"))
        file.pour(load_draft(1, 2, 3, job="boathouse-pegs"))
    said = "worst 1/16 in in 2, 0.1 inch in 3"
    answered = mouldgen("log", "result", "1", said).words
    inches, mm = (mouldgen("log", "show", load).out for load in ("1", "2"))

    assert "voids in 2 and 3 (2: 1.6 mm (1/16 in); 3: 2.5 mm (0.100 in))" in answered
    heading = next(line for line in inches.splitlines() if line.startswith("mould"))
    assert heading.split() == [
        "mould", "gap", "mm", "in", "open", "mm", "in", "air", "asks", "mm", "in", "result",
        "rework", "voids",
    ]  # fmt: skip
    # 0.88 mm / 25.4 = 0.0346 in, 0.46 mm / 25.4 = 0.0181 in
    assert re.search(
        r"2 +0\.88 +0\.035 +0\.46 +0\.018 .*repaired +1\.6 mm \(1/16 in\)$", inches, re.MULTILINE
    )
    assert inches == mouldgen("log", "show", "pegs.toml:1").out
    assert " in " not in mm
    assert "(1/16 in)" not in mouldgen("log", "result", "2", said).words
    listed = mouldgen("log", "list").words  # each load in the units of its own job
    assert listed.count("(2: 1.6 mm (1/16 in); 3: 2.5 mm (0.100 in))") == 1
    assert listed.count("(2: 1.6 mm; 3: 2.5 mm)") == 1


@pytest.mark.parametrize(
    ("text", "numbers"),
    [("3", (3,)), ("1-4, 7", (1, 2, 3, 4, 7)), ("7 and 1 - 2", (1, 2, 7)), ("2 4", (2, 4))],
)
def test_numbers_are_read(text: str, numbers: tuple[int, ...]) -> None:
    assert read_numbers(text, where="--moulds") == numbers


@pytest.mark.parametrize("text", ["", "0", "4-1", "x", "1-", "1-20000", "-3"])
def test_numbers_that_are_none_are_refused(text: str) -> None:
    with pytest.raises(UsageError, match=r"--moulds: .* names no castings"):
        read_numbers(text, where="--moulds")


def test_a_job_without_a_gap_has_no_moulds_to_write_down() -> None:
    run = mouldgen("log", "pour", str(Path(__file__).parents[2] / "fixed_conflict.toml"))

    assert (run.code, run.out) == (1, "")
    assert run.err.startswith("hot-urethane: no gap meets every rule, so no mould was made.")
    assert "Tell the gap of the moulds that you have, such as --set mould.gap='1.2 mm'." in run.err


def test_what_has_no_pot_card_is_one_load_of_all_moulds() -> None:
    # A resin that gels before the close of the card, poured on a cold day and closed in time.
    run = pour(
        "boathouse-pegs", "--set", "resin.card=casting-urethane-fast", "--set", "mould.gap=2 mm",
        "--shop", "10 C", "--close", "8 min",
    )  # fmt: skip
    (load,) = loads()

    assert run.err == ""
    assert len(load.castings) == answer_job(load_job("boathouse-pegs").job).fillings
    assert {casting.air_mm < float("inf") for casting in load.castings} == {True}


def test_what_can_hardly_be_is_asked_about_and_written_down() -> None:
    run = pour("boathouse-pegs:2", "--close", "2 min", "--gap", "3=0.3 mm")

    assert "the mould was shut before mixing ended: look at --close." in run.err
    assert "In 3 the thickest insert to be expected takes up the whole gap" in run.err
    assert loads()[0].castings[1].open_mm < 0.0


def test_a_slip_of_the_keys_is_asked_about_and_written_down() -> None:
    run = pour("boathouse-pegs:2", "--shop", "66 C", "--gap", "16 mm", "--moulds", "2-5, 55")

    assert "The job's castings are 1-22: is 55 in --moulds right?" in run.err
    assert "A shop at 66 C would be unusual: is --shop right, C and not F?" in run.err
    assert "A gap of 16 mm would be wider than any that is reckoned with, 15 mm" in run.err
    assert [casting.number for casting in loads()[0].castings] == [2, 3, 4, 5, 55]


def test_resin_that_would_not_fill_the_moulds_is_asked_about() -> None:
    run = pour("boathouse-pegs:2", "--mixed", "150 g", "--left", "140 g")

    assert "10 g would not half fill moulds that take" in run.err
    takes_g = float(run.err.split("that take ")[1].split(" g")[0])
    # 4 moulds of what `resin` says one of them holds, at 1.08 g/ml.
    assert takes_g == pytest.approx(4 * 26.1 * 1.08, rel=0.01)
    assert pour("boathouse-pegs:3", "--mixed", "150 g", "--left", "20 g").err == ""


def test_what_is_usual_is_not_asked_about() -> None:
    assert pour("boathouse-pegs:2", "--shop", "45 C", "--close", "7 min").err == ""
    assert pour("boathouse-pegs:3", "--shop", "5 C", "--gap", "15 mm").err == ""


def test_where_the_file_lies_elsewhere_the_words_that_are_told_name_it() -> None:
    # A shop file beside the job and none here: the castings file lies there, and plain words from
    # here would read, and change, another one.
    Path("my jobs").mkdir()
    shipped = Path(__file__).parents[3] / "presets" / "jobs" / "boathouse-pegs.toml"
    Path("my jobs/boathouse-pegs.toml").write_text(shipped.read_text("utf-8"), encoding="utf-8")
    Path("my jobs/shop.toml").write_text('[shop]\nscale = "0.1 g"\n', encoding="utf-8")
    written()  # load 1 of the file of this folder
    run = pour("my jobs/boathouse-pegs.toml:1")

    there = "--castings 'my jobs/castings.sqlite'"
    assert f'mouldgen log result 1 "all good" {there}. Wrong? mouldgen log undo {there}.' in (
        run.words
    )
    found = mouldgen("log", "result", "my jobs/boathouse-pegs.toml:1", "all good")
    assert found.words.endswith(f"Wrong? mouldgen log undo {there}.")
    assert not loads("my jobs/castings.sqlite")[0].open
    assert loads()[0].open
    assert "casting 1." in mouldgen("log", "show", "my jobs/boathouse-pegs.toml").words
    listed = mouldgen("log", "--castings", "my jobs/castings.sqlite")
    assert f"All loads: mouldgen log list {there}." in listed.words


def test_a_reading_that_brought_nothing_names_no_way_back() -> None:
    # It is not in the journal: undo would take the load itself back.
    written()
    mouldgen("log", "save", "rows.csv")
    run = mouldgen("log", "read", "rows.csv")

    assert run.words == "Taken in from rows.csv: 0 new loads, 1 load that was here already."
    assert mouldgen("log", "undo").words.startswith("Taken back: the pour of load 1")


def test_a_list_of_a_file_that_is_not_there_is_refused(tmp_path: Path) -> None:
    gone = tmp_path / "castigns.sqlite"
    for words in (("log", "list"), ("log",)):
        run = mouldgen(*words, "--castings", str(gone))
        assert run.code == 2
        assert "there is no such castings file" in " ".join(run.err.split())
    assert not gone.exists()
