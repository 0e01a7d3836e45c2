"""``mouldgen tune``: the answer first, the next trial last, and all of it as JSON."""

from __future__ import annotations

import re
import shlex
import xml.etree.ElementTree as ET
from pathlib import Path

import pytest

from mouldgen.cli.app import command
from mouldgen.cli.chance_plot import ChanceRow, chance_plot
from mouldgen.cli.plots import PLAIN
from mouldgen.cli.trial_gaps import log_line, trial_line
from tests.castings_seeds import TIGHT_AND_WIDE, pegs, seed
from tests.cli_runs import mouldgen

JOB = "boathouse-pegs"
# Two loads of few castings: what a trial tells is worth its money.
FEW = ((0.46, 3, 5), (0.46, 2, 5))


@pytest.fixture(autouse=True)
def here(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> Path:
    monkeypatch.chdir(tmp_path)
    return tmp_path


def test_without_castings_it_says_that_there_is_only_the_physics() -> None:
    told = mouldgen("tune", JOB)

    assert told.code == 0
    assert told.words.startswith(
        "No castings are logged yet, so there is only the physics, which asks for 0.88 mm;"
    )
    assert "Yield: 92 %, as the job has it; no casting has a result yet." in told.words
    assert "The gap of the job is 0.88 mm, set by air." in told.words
    assert not Path("castings.sqlite").exists()


def test_with_castings_the_answer_comes_first_and_the_trial_last() -> None:
    seed(Path("castings.sqlite"), TIGHT_AND_WIDE)
    told = mouldgen("tune", JOB)
    gap = mouldgen("gap", JOB, "--json").json["gap_mm"]

    assert told.code == 0
    assert told.words.startswith(
        "3 of 18 castings of the last 2 loads had voids; a good piece costs least at a gap of"
        f" {gap:.2f} mm: against 0.88 mm each casting takes"
    )
    order = [
        "eight times in ten;", "Eight times in ten it lies between", "would halve the range",
        f"The gap of the job is {gap:.2f} mm now in the place of 0.88 mm, set by air.",
        "you wrote 92 %, which stands. Leave [order] yield out", "no load of this job was weighed",
        "trial",
    ]  # fmt: skip
    places = [told.words.index(words) for words in order]
    assert places == sorted(places)
    assert "7 of 20" in told.out
    assert re.search(r"0 of 8.*", told.out)


def test_quiet_leaves_the_plot_and_the_reasons_out() -> None:
    seed(Path("castings.sqlite"), TIGHT_AND_WIDE)
    told = mouldgen("tune", JOB, "--quiet")

    assert "% with a void" not in told.out
    assert "Yield" not in told.out
    assert told.words.startswith("3 of 18 castings")
    assert "trial" in told.words


def test_verbose_says_which_prices_are_belief() -> None:
    told = mouldgen("tune", JOB, "--verbose", "--set", "resin.packs=[]")

    assert "Resin: 30 a kg, the usual one, which is belief." in told.words
    assert "Castings: castings.sqlite." in told.words


def test_json_has_everything_with_its_unit() -> None:
    seed(Path("castings.sqlite"), TIGHT_AND_WIDE)
    told = mouldgen("tune", JOB, "--json")
    data = told.json
    tuned = data["tuned"]

    assert told.err == ""
    assert (tuned["castings"], tuned["voids"], tuned["loads"]) == (28, 7, 3)
    assert data["gap_mm"] == tuned["least_cost"]["gap_mm"] > data["gap_without_castings_mm"] == 0.88
    assert tuned["least_cost"]["low_mm"] <= data["gap_mm"] <= tuned["least_cost"]["high_mm"]
    assert tuned["least_cost"]["cost_per_good"] < tuned["least_cost"]["now_cost_per_good"]
    assert [row["void"] for row in tuned["rows"]].count(True) == 7
    assert all(row["void_low"] <= row["void_mean"] <= row["void_high"] for row in tuned["gaps"])
    assert [row["casting_cost"] for row in tuned["gaps"]] == sorted(
        row["casting_cost"] for row in tuned["gaps"]
    )
    assert data["yield"]["used"] == data["yield"]["without_castings"] == 0.92
    assert data["yield"]["share"] == pytest.approx((12 * 0.92 + 28) / 40, abs=1e-6)
    assert data["learned"]["castings"] == 28
    assert data["trial"]["worth_it"] is (data["trial"]["make"] is not None)
    assert tuned["says"][0].startswith("3 of 18 castings")


def test_the_lines_of_a_trial_are_ones_that_the_commands_read() -> None:
    seed(Path("castings.sqlite"), FEW)
    sets = ("--set", "pour.shop='19 C'")
    told = mouldgen("tune", JOB, "--pieces", "5000", *sets)
    trial = mouldgen("tune", JOB, "--pieces", "5000", *sets, "--json").json["trial"]

    assert trial["worth_it"]
    assert trial["saves"] > trial["costs"]
    assert "Worth a trial:" in told.words
    assert told.out.rstrip().endswith(trial["pour"])
    assert f"    {trial['make']}\n" in told.out
    gaps = [f"{gap:.2f}" for gap in trial["gaps_mm"]]
    make, pour = (shlex.split(trial[line]) for line in ("make", "pour"))
    assert make[:4] == ["mouldgen", "trial", JOB, "--gaps"]
    assert make[4:] == [f"{','.join(gaps)}mm", "--each", str(trial["castings_each"]), *sets]
    assert [word for word in pour if "mm" in word] == [
        f"{i * 4 + 1}-{i * 4 + 4}={gap}mm" for i, gap in enumerate(gaps)
    ]
    for words in (make[1:], pour[1:]):
        program = command(words)
        above = program.make_context("mouldgen", words[:1])
        read = program.get_command(above, words[0])
        assert read is not None
        read.make_context(words[0], words[1:], parent=above)


def test_one_casting_of_a_gap_is_told_as_one() -> None:
    assert trial_line(JOB, [0.9, 1.2], each=1) == f"mouldgen trial {JOB} --gaps 0.90,1.20mm"
    assert log_line(JOB, [0.9, 1.2], name="pegs", each=1) == (
        f"mouldgen log pour {JOB}:1 --moulds 1-2 --gap 1=0.90mm --gap 2=1.20mm"
        " --set name=pegs-trial"
    )


def test_a_file_that_was_named_is_named_in_the_line_that_writes_into_it() -> None:
    line = log_line(JOB, [0.9], name="pegs", each=2, castings=Path("other.sqlite"))

    assert line.endswith("--gap 1-2=0.90mm --set name=pegs-trial --castings other.sqlite")


def test_where_none_is_worth_it_no_line_is_told() -> None:
    told = mouldgen("tune", JOB, "--pieces", "1")

    assert "No trial is worth it" in told.words
    assert "mouldgen trial" not in told.out


def test_a_written_gap_stays_and_no_sentence_moves_it() -> None:
    seed(Path("castings.sqlite"), [(0.46, 2, 7)])
    told = mouldgen("tune", JOB, "--set", "mould.gap='1.1 mm'")

    assert "You wrote the gap of 1.10 mm, and castings leave it as it is." in told.words
    assert "The job's gap" not in told.words
    assert "against 1.10 mm each casting takes" in told.words


def test_the_picture_is_drawn_into_the_jobs_plots() -> None:
    seed(Path("castings.sqlite"), TIGHT_AND_WIDE)
    told = mouldgen("tune", JOB, "--pictures")
    path = Path("out") / JOB / "plots" / "tune.svg"

    assert told.out.rstrip().endswith(f"Picture: {path.as_posix()}")
    title = ET.parse(path).getroot().find("{http://www.w3.org/2000/svg}title")
    assert title is not None
    assert title.text == f"{JOB}: chance of a void over the gap"
    assert mouldgen("tune", JOB, "--pictures", "--json").json["files"] == ["plots/tune.svg"]


def test_where_nothing_can_be_said_it_says_why_and_exits_with_1() -> None:
    seed(Path("castings.sqlite"), TIGHT_AND_WIDE)
    told = mouldgen("tune", JOB, "--set", "pour.close='80 min'")

    assert told.code == 1
    assert told.words.startswith("Castings can say nothing of this gap: at this temperature")
    assert "Yield: 98 % come good by your own 28 castings" in told.words
    data = mouldgen("tune", JOB, "--set", "pour.close='80 min'", "--json").json
    assert (data["tuned"], data["trial"]) == (None, None)


@pytest.mark.parametrize(
    ("words", "code", "says"),
    [
        (["--castings", "not-there.sqlite"], 2, "not-there.sqlite: there is no such castings file"),
        (["--castings", "broken.sqlite"], 2, "broken.sqlite"),
        (["--castings", "a.sqlite", "--no-castings"], 2, "do not go together"),
        (["--pieces", "0"], 2, "Invalid value for '--pieces'"),
    ],
)
def test_what_cannot_be_used_is_refused(words: list[str], code: int, says: str) -> None:
    Path("broken.sqlite").write_text("no database", encoding="utf-8")
    told = mouldgen("tune", JOB, *words)

    assert (told.code, told.out) == (code, "")
    assert says in told.err


def test_a_job_in_inches_is_told_in_inches_too() -> None:
    seed(Path("castings.sqlite"), TIGHT_AND_WIDE)
    told = mouldgen("tune", JOB, "--set", "unit=in")

    assert re.search(
        r"a gap of 1\.\d\d mm \(0\.0\d\d in\): against 0\.88 mm \(0\.035 in\)", told.words
    )


def test_a_plot_puts_dots_between_the_ends_of_their_bands() -> None:
    rows = [
        ChanceRow("0.9 mm", 0.2, 0.3, 0.5, "3 of 10"),
        ChanceRow("1.2 mm", 0.0, 0.05, 0.1, ""),
    ]
    wide, narrow, *rest = chance_plot(rows, columns=60, drawn=PLAIN).splitlines()

    assert wide.startswith("0.9 mm ")
    assert wide.endswith("  3 of 10")
    assert wide.index("/") < wide.index("o") < wide.rindex("/", 0, wide.index("3 of"))
    assert narrow.index("/") < wide.index("/")
    assert rest[1].endswith("% with a void")
    assert max(map(len, [wide, narrow])) <= 60


def test_pegs_are_what_the_file_holds(here: Path) -> None:
    from mouldgen.castings.store import castings_file

    with castings_file(seed(here / "a.sqlite", TIGHT_AND_WIDE)) as file:
        kept = file.castings()
    made = [casting for load in pegs(TIGHT_AND_WIDE) for casting in load.castings]
    facts = ("load", "number", "gap_mm", "open_mm", "air_mm", "pressure_kpa", "sequence")

    assert [[getattr(one, name) for name in facts] for one in kept] == [
        [getattr(one, name) for name in facts] for one in made
    ]


def test_castings_of_other_resins_alone_are_said_to_be_that() -> None:
    seed(Path("castings.sqlite"), TIGHT_AND_WIDE)
    stranger = "None of these castings was of casting-epoxy-medium"

    assert "None of these castings" not in mouldgen("tune", JOB).out
    other = mouldgen("tune", JOB, "--set", "resin.card=casting-epoxy-medium").words
    assert f"{stranger}: they count by how much wider they were than air asked" in other


def test_where_no_gap_is_known_to_cure_the_plot_names_none_either() -> None:
    # Poured five times as wide as air asks, and three in four had voids all the same.
    seed(Path("castings.sqlite"), ((2.6, 9, 12), (2.6, 9, 12)))
    told = mouldgen("tune", JOB)

    assert "which no gap is known to cure" in told.words
    assert "least cost" not in told.out
    assert "18 of 24 wider" in told.out


def test_where_no_gap_is_known_to_cure_no_trial_of_gaps_is_offered() -> None:
    seed(Path("castings.sqlite"), ((2.6, 9, 12), (2.6, 9, 12)))
    told = mouldgen("tune", JOB, "--quiet")

    assert "which no gap is known to cure" in told.words
    assert told.words.endswith(
        "No trial of other gaps is told: find out first where the voids come from."
    )
    assert "mouldgen trial" not in told.out
    assert mouldgen("tune", JOB, "--json").json["trial"] is None


def test_a_trial_comes_after_what_speaks_against_the_physics() -> None:
    # Wider was worse, though not so surely that no gap is told.
    seed(Path("castings.sqlite"), ((0.46, 0, 10), (0.9, 7, 10), (1.4, 9, 10)))
    told = mouldgen("tune", JOB)

    assert "speak against the physics" in told.words
    assert "Once that is checked, worth a trial:" in told.words
    assert "mouldgen trial" in told.out
    Path("castings.sqlite").unlink()
    seed(Path("castings.sqlite"), FEW)
    assert "Once that is checked" not in mouldgen("tune", JOB, "--pieces", "5000").words


def test_a_yield_that_was_seen_at_another_gap_says_at_which() -> None:
    seed(Path("castings.sqlite"), ((0.46, 8, 8), (0.46, 8, 8)))
    told = mouldgen("tune", JOB)
    data = mouldgen("tune", JOB, "--json").json

    assert (
        "come good by your own 16 castings, whose gaps count here as around 0.88 mm, eight"
        in told.words
    )
    assert data["yield"]["seen_gap_mm"] == pytest.approx(0.88, abs=0.005)
    both = mouldgen("tune", JOB, "--json", "--set", "order.fills=0.1").json["learned"]
    assert (both["yield"], both["fills"], both["seen_gap_mm"]) == (None, None, None)  # written
    own = mouldgen("tune", JOB, "--set", "mould.gap='0.88 mm'")
    assert "come good by your own 16 castings, eight times in ten" in own.words


def test_a_gap_far_from_the_rules_asks_for_one_mould_first() -> None:
    seed(Path("castings.sqlite"), ((0.46, 8, 8), (0.46, 8, 8)))
    far = mouldgen("gap", JOB).words
    assert re.search(
        r"It leaves [3-9]\.\d times what the air rule alone asks for: cast one mould first", far
    )
    Path("castings.sqlite").unlink()
    seed(Path("castings.sqlite"), TIGHT_AND_WIDE)
    assert "cast one mould first" not in mouldgen("gap", JOB).words
