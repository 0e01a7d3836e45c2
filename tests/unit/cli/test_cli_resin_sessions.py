"""``mouldgen resin``: sessions with their cups, the clock line, what is left over, and the data."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.cli_runs import mouldgen

DEMO, KNOBS = "boathouse-pegs", "drawer-knobs"


def lines(*words: str) -> list[str]:
    return mouldgen("resin", *words).out.splitlines()


def test_the_demo_says_what_is_weighed_and_by_when_it_is_pressed() -> None:
    run = mouldgen("resin", DEMO)
    rows = [line.split() for line in run.out.splitlines()]
    assert ["colour", "A", "g", "B", "g", "start", "done"] in rows
    assert ["smoke", "118", "50", "0:00", "8:20"] in rows
    assert "Sessions 1-4 of 6: 4 moulds each, 1-4; 5-8; 9-12; 13-16." in run.out
    assert (
        "MIX 3:00, NEW CUP, 3:00 POUR at 7:00 PRESSURE by 14:00 LIMIT 14:01 by air, 0:01 to spare"
        in run.words
    )
    assert "-> 2 catch moulds of 30 ml" in run.words
    assert "DEMOULD after 72 h, FULLY CURED after 7 d." in run.words
    # What would waste less comes with the finding, reckoned and not guessed.
    assert "[mould] gap = 1.0 mm: about 656 ml in 3 mixes." in run.words
    assert "look at: 6 of 6 mixes are small, the lightest 168 g: under 200 g" in run.words
    assert "Rounding to 1 g changes the share of B by at most 0.2 % in a mix; 2.0 % is" in run.words


def test_fluid_ounces_are_told_apart() -> None:
    run = mouldgen("resin", DEMO, "--set", "mould.gap=2 mm")
    head = next(line for line in run.out.splitlines() if line.startswith("2 sessions, 2 mixes:"))
    ml, us, imperial = (float(word.strip("(,")) for word in head.split() if "." in word)
    assert us == pytest.approx(ml / 29.5735, abs=0.01)  # US and imperial fluid ounces in ml
    assert imperial == pytest.approx(ml / 28.4131, abs=0.01)
    assert " oz in" not in run.words.replace("fl oz", "")


def test_a_split_mix_has_a_row_for_each_cup() -> None:
    run = mouldgen("resin", KNOBS)
    rows = [line.split() for line in run.out.splitlines()]
    head = next(k for k, row in enumerate(rows) if row[:2] == ["cup", "colour"])
    assert rows[head + 1][:4] == ["clear", "mix", *rows[head + 1][2:4]]
    assert {row[1] for row in rows[head + 2 : head + 4]} == {"pearl", "sea"}
    assert "One clear mix a session, split into a cup for each colour: 7 mixes;" in run.words
    assert "MIX 1:00 POUR at" in run.words  # a urethane takes no second cup


def test_verbose_writes_the_clock_out() -> None:
    run = mouldgen("resin", KNOBS, "--verbose")
    rows = [line.split() for line in run.out.splitlines()]
    steps = rows[rows.index(["from", "to", "what"]) + 1 :][:10]
    assert [row[0] for row in steps[1:]] == [row[1] for row in steps[:-1]]  # one after another
    assert [" ".join(row[2:]) for row in steps] == [
        "weigh", "mix A and B", "split off pearl", "split off sea green", "stir in pearl",
        "stir in sea green", "pour sea green: moulds 1-4", "pour pearl: moulds 1-4",
        "4 inserts and 4 lids: moulds 1-4", "carry in, shut the pot, press",
    ]  # fmt: skip
    assert "from" not in [row[0] for row in map(str.split, lines(KNOBS)) if row]


def test_layers_name_their_heights_and_the_window() -> None:
    run = mouldgen("resin", "apple-toppers")
    assert run.words.count("over the inside floor.") == 3
    assert "NOT BEFORE 2 h and not after 24 h from the mixing of pour 2" in run.words
    # One block stands in the pot at a time: three loads of three pours.
    assert "9 sessions, 9 mixes" in run.out


def test_pens_say_how_many_of_each_colour() -> None:
    run = mouldgen("resin", "conference-pens")
    assert "cavities of its own, of 44: teal mica 16, copper mica 15, pearl mica 13." in run.words


def test_nothing_to_be_poured_in_time_must_be_fixed() -> None:
    run = mouldgen("resin", KNOBS, "--set", "resin.gel=3 min", "--quiet")
    assert run.code == 1
    assert "must fix: Not one mould can be poured in time" in run.words
    assert "Session" not in run.out


def test_json_holds_sessions_mixes_cups_and_steps() -> None:
    data = mouldgen("resin", KNOBS, "--json").json
    mixing = data["mixing"]
    assert (mixing["way"], mixing["how"], mixing["mixes"]) == ("swirl", "together", 7)
    assert mixing["mixed_ml"] - mixing["beyond_loss_ml"] == pytest.approx(
        data["all"]["mixed_ml"], abs=0.002
    )
    session = mixing["sessions"][0]
    assert session["close_s"] <= session["limit_s"]
    (mix,) = session["mixes"]
    assert sum(cup["ml"] for cup in mix["cups"]) == pytest.approx(mix["mixed_ml"], abs=0.002)
    assert mix["mixed_imperial_fl_oz"] > mix["mixed_us_fl_oz"]
    assert [step["what"] for step in session["steps"]][-1] == "press"
    assert session["steps"][0]["start_s"] == -120.0


def test_without_a_pot_moulds_are_shut_and_not_pressed() -> None:
    run = mouldgen("resin", "bell-pulls")
    assert "SHUT by" in run.words
    assert "PRESSURE" not in run.out
    assert "as it comes" in run.out
    assert (
        mouldgen("resin", "bell-pulls", "--json").json["mixing"]["sessions"][0]["mixes"][0]["cups"][
            0
        ]["colour"]
        is None
    )


def test_a_tint_has_its_column(tmp_path: Path) -> None:
    job = (Path(__file__).parents[3] / "presets/jobs/boathouse-pegs.toml").read_text("utf-8")
    told = 'share = 1.0\ntint = 0.01\ntested = "6 mm"\nshown = "2 mm"'
    path = tmp_path / "pegs.toml"
    path.write_text(job.replace("share = 1.0", told), encoding="utf-8")
    rows = [line.split() for line in lines(str(path), "--set", "mould.gap=2 mm")]
    # 13.8 g in 460 g, 3 %: a hundredth, for a third of the thickness it was tested in.
    assert ["smoke", "323", "137", "14", "0:00", "10:40"] in rows


@pytest.mark.parametrize(
    ("seconds", "text"),
    [(1200.0, "20 min"), (5400.0, "90 min"), (7200.0, "2 h"), (9000.0, "2.5 h"),
     (259200.0, "72 h"), (360000.0, "100 h"), (604800.0, "7 d"), (10000.0, "167 min"),
     (50.0, "50 s")],
)  # fmt: skip
def test_times_of_a_card_are_no_finer_than_they_are_told(seconds: float, text: str) -> None:
    from mouldgen.cli.sessions import time_words

    assert time_words(seconds) == text


def test_clear_resin_takes_no_time_for_a_tint() -> None:
    sessions = mouldgen("resin", "apple-toppers", "--json").json["mixing"]["sessions"]
    for session in sessions[:3]:
        (cup,) = (cup for mix in session["mixes"] for cup in mix["cups"])
        stirred = [step for step in session["steps"] if step["what"] == "stir"]
        assert len(stirred) == (0 if cup["colour"] == "clear" else 1), cup["colour"]


def test_heights_of_pours_are_in_inches_too_where_the_job_is() -> None:
    run = mouldgen("resin", "apple-toppers", "--set", "unit=in")
    assert "up to 31 mm (1 7/32 in) over the inside floor" in run.words
    assert "from 31 mm (1 7/32 in) to 59 mm (2 21/64 in) over the inside floor" in run.words
