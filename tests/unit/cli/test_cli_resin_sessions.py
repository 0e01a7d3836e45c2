"""``mouldgen resin``: sessions with their cups, the clock line, what is left over, and the data."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.cli_runs import mouldgen

DEMO, KNOBS = "boathouse-pegs", "drawer-knobs"
# A scale of whole grams, so that a small mix is topped up, and no piece cast before the rest.
COARSE = ("--set", "shop.scale=1 g", "--set", "order.first_article=false")


def lines(*words: str) -> list[str]:
    return mouldgen("resin", *words).out.splitlines()


def test_the_demo_says_what_is_weighed_and_by_when_it_is_pressed() -> None:
    run = mouldgen("resin", DEMO)
    rows = [line.split() for line in run.out.splitlines()]
    assert ["colour", "A", "g", "B", "g", "start", "done"] in rows
    # 26.12 ml in a mould are 28.0 g; one alone leaves 8 g in its cup, four leave 10 %: 36.1 g and
    # 123.4 g, of which 1.13 in 1.61 are part A (2:1 by volume of 1.13 and 0.96 g/ml).
    assert ["smoke", "25.3", "10.8", "0:00", "7:20"] in rows
    assert ["smoke", "86.6", "36.8", "0:00", "8:20"] in rows
    assert ["smoke", "65.0", "27.6", "0:00", "8:00"] in rows
    assert "weighed as 684.1 g." in run.words  # 36.1 + 3 x 123.4 + 3 x 92.6
    assert "Session 1 of 7: 1 mould, 1; finished and shown before the rest is cast." in run.out
    assert "Sessions 2-4 of 7: 4 moulds each, 2-5; 6-9; 10-13." in run.out
    assert "Sessions 5-7 of 7: 3 moulds each, 14-16; 17-19; 20-22." in run.out
    assert (
        "MIX 3:00, NEW CUP, 3:00 POUR at 7:00 PRESSURE by 14:00 LIMIT 14:01 by air, 0:01 to spare"
        in run.words
    )
    assert "catch mould of" not in run.words, "nothing is topped up"
    assert "DEMOULD after 72 h, FULLY CURED after 7 d." in run.words
    assert "look at: 7 of 7 mixes are small, the lightest 36.1 g: under 200 g" in run.words
    assert "Rounding to 0.1 g changes the share of B by at most 0.5 % in a mix; 2.0 % is" in (
        run.words
    )


def test_on_a_coarse_scale_the_demo_says_what_is_left_over_and_what_would_waste_less() -> None:
    run = mouldgen("resin", DEMO, *COARSE)
    rows = [line.split() for line in run.out.splitlines()]
    assert ["smoke", "118", "50", "0:00", "8:20"] in rows
    assert "Sessions 1-4 of 6: 4 moulds each, 1-4; 5-8; 9-12; 13-16." in run.out
    assert "finished and shown" not in run.words
    assert "-> 2 catch moulds of 30 ml" in run.words
    # What would waste less comes with the finding, reckoned and not guessed.
    assert "[mould] gap = 1.0 mm: about 656 ml in 3 mixes." in run.words
    assert "look at: 6 of 6 mixes are small, the lightest 168 g: under 200 g" in run.words
    assert "Rounding to 1 g changes the share of B by at most 0.2 % in a mix; 2.0 % is" in run.words


def test_fluid_ounces_are_told_apart() -> None:
    run = mouldgen("resin", DEMO, "--set", "mould.gap=2 mm")
    head = next(line for line in run.out.splitlines() if line.startswith("3 sessions, 3 mixes:"))
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
    assert "One clear mix a session, split into a cup for each colour: 8 mixes;" in run.words
    assert "MIX 1:00 POUR at" in run.words  # a urethane takes no second cup


def test_verbose_writes_the_clock_out() -> None:
    run = mouldgen("resin", KNOBS, "--verbose", "--set", "order.first_article=false")
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
    assert (mixing["way"], mixing["how"], mixing["mixes"]) == ("swirl", "together", 8)
    assert mixing["first_alone"] is True
    assert [len(session["moulds"]) for session in mixing["sessions"]] == [1, 4, 4, 4, 4, 4, 3, 3]
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
    rows = [line.split() for line in lines(str(path), *COARSE, "--set", "mould.gap=2 mm")]
    # 13.8 g in 460 g, 3 %: a hundredth, for a third of the thickness it was tested in.
    assert ["smoke", "323", "137", "14", "0:00", "10:40"] in rows


@pytest.mark.parametrize(
    ("seconds", "text"),
    [(1200.0, "20 min"), (5400.0, "90 min"), (7200.0, "2 h"), (9000.0, "2.5 h"),
     (259200.0, "72 h"), (360000.0, "100 h"), (604800.0, "7 d"), (10000.0, "167 min"),
     (50.0, "50 s")],
)  # fmt: skip
def test_times_of_a_card_are_no_finer_than_they_are_told(seconds: float, text: str) -> None:
    from mouldgen.sheet.session_words import time_words

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


@pytest.mark.parametrize(("job", "pours"), [("apple-toppers", 3), ("burl-knobs", 1)])
def test_a_test_casting_is_told_with_its_own_mixes_and_bought_with_them(
    job: str, pours: int
) -> None:
    """Of a customer's wood: by the sessions' own figures, and as `buy` has it on its list."""
    data = mouldgen("resin", job, "--json").json
    mixing, test = data["mixing"], data["mixing"]["test"]
    assert mixing["first_alone"] is False
    assert (test["castings"], test["mixes"], len(test["sessions"])) == (1, pours, pours)
    mixes = [mix for session in test["sessions"] for mix in session["mixes"]]
    assert sum(mix["total_g"] for mix in mixes) == pytest.approx(test["weighed_g"], abs=1e-6)
    assert sum(mix["poured_ml"] for mix in mixes) == pytest.approx(
        data["one"]["poured_ml"], abs=0.01
    )
    assert [session["moulds"] for session in test["sessions"]] == [[1]] * pours
    assert all(session["close_s"] <= session["limit_s"] for session in test["sessions"])
    # It is none of the sessions: those cast every mould of the order, and no more.
    cast = [m for s in mixing["sessions"] if s["pour"] == 1 for m in s["moulds"]]
    assert cast == list(range(1, len(cast) + 1))

    words = mouldgen("resin", job).words
    each = "; ".join(f"A {mix['a_g']:.0f} g and B {mix['b_g']:.0f} g" for mix in mixes)
    own = "a mix" if pours == 1 else f"{pours} mixes"
    assert (
        f"A test casting of other wood goes before the customer's and takes {own} of its own, which"
        f" no session counts: {each}; {test['weighed_g']:.0f} g in all." in words
    )

    bought = mouldgen("buy", job, "--json").json["resin"]
    assert bought["for_a_test_g"] == pytest.approx(test["weighed_g"], abs=1e-6)
    assert bought["need_g"] == pytest.approx(mixing["weighed_g"] + test["weighed_g"], abs=1e-6)


def test_wood_that_can_be_had_again_has_no_test_casting_and_buys_what_is_weighed() -> None:
    mixing = mouldgen("resin", DEMO, "--json").json["mixing"]
    assert mixing["test"] is None
    assert mixing["weighed_g"] == pytest.approx(684.1, abs=1e-6)
    assert "test casting" not in mouldgen("resin", DEMO).words
    bought = mouldgen("buy", DEMO, "--json").json["resin"]
    assert (bought["need_g"], bought["for_a_test_g"]) == (pytest.approx(684.1, abs=1e-6), 0.0)


def test_nothing_that_can_be_poured_has_no_test_casting_either() -> None:
    run = mouldgen("resin", "apple-toppers", "--json", "--set", "resin.gel=3 min")
    assert run.code == 1
    assert run.json.get("mixing", {}).get("test") is None
