"""What the commands on a job say in words: the demo's figures, conflicts, quiet and verbose."""

from __future__ import annotations

import json
import math
import xml.etree.ElementTree as ET
from dataclasses import replace
from pathlib import Path

import pytest

from mouldgen.cli.build import draw_pictures
from mouldgen.cli.findings import say_findings
from mouldgen.finding import Finding
from tests.cli_runs import Run, mouldgen
from tests.demo_set import demo_set

JOB = "boathouse-pegs"
CONFLICT = ("--set", "pour.close=60 min")
STOPPED = ("--set", "mould.gap=0.3 mm")


@pytest.fixture(scope="module")
def out(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return tmp_path_factory.mktemp("demo")


@pytest.fixture(scope="module")
def demo(out: Path) -> Run:
    return mouldgen("demo", "--out", str(out))


@pytest.mark.parametrize(
    "line",
    [
        (
            "boathouse-pegs: 18 pieces, white ash flute 30 mm x 70 mm in slow casting epoxy, 2:1 by"
            " volume."
        ),
        "Gap 0.88 mm all round, set by air: air needs 0.46 mm to clear 70 mm before the gel at 53",
        "Measured on the finished mould: nowhere less than 0.89 mm.",
        "Mould cavity 63.4 ml, insert 39.6 ml, net 23.8 ml of resin to the fill line, 2.3 ml more",
        "Resin to mix ml US fl oz A g B g A+B g",
        "one mould 28.7 0.97 21.7 9.2 30.9",
        "all 22 632.0 21.37 476.1 202.3 678.4",
        (
            "Moulds start 22: with 92 % of castings good, that many give 18 good pieces with a"
            " chance of 95 % or better."
        ),
        "Release Turn the cup away with the first cuts.",
        (
            "Beds 3, each a bed of 220 x 220 mm; bed 1 is one mould alone. Print it, fill it with"
            " water, wait ten minutes; if it is tight, print the rest. Dry every mould fully before"
            " resin."
        ),
        "Pressure 50 psi (3.4 bar) gauge; the plate says 60 psi (4.1 bar) gauge.",
        "look at: The reckoned gap of 0.88 mm is narrower than usual",
        "Mind Never above the pot's plate; never seal a mould; vent only when",
        "Not assessed for food contact. Data sheets and local rules come first.",
    ],
)
def test_the_demo_says(demo: Run, line: str) -> None:
    assert line in demo.words


def test_the_demo_is_done_and_says_where_to_look_first(demo: Run, out: Path) -> None:
    assert (demo.code, demo.err) == (0, "")
    assert "must fix" not in demo.out
    folder = (out / JOB).as_posix()
    assert demo.words.endswith("the mould to print and fill with water before all others.")
    assert f"Look first at {folder}/set-section.png" in demo.words
    for file in ("set-section.png", "set-apart.png", "beds/bed-1.3mf", "report.json"):
        assert (out / JOB / file).stat().st_size > 0


def test_ounces_are_those_of_the_figures_beside_them(demo: Run) -> None:
    # US fluid ounce: 29.57353 ml (NIST SP 811, 2008, Appendix B).
    assert math.isclose(632.0 / 29.57353, 21.37, abs_tol=0.005)
    assert math.isclose(28.7 / 29.57353, 0.97, abs_tol=0.005)


def test_lines_end_within_eighty_columns_but_for_long_paths(demo: Run, out: Path) -> None:
    assert [line for line in demo.out.splitlines() if len(line) > 80 and str(out) not in line] == []


def test_the_first_sentence_of_gap_says_what_would_narrow_it() -> None:
    run = mouldgen("gap", JOB)

    assert run.code == 0
    assert run.words.startswith(
        "The gap is 0.88 mm all round, set by air: air needs 0.46 mm to clear 70 mm before the gel"
        " at 53 min, plus 0.42 mm that the thickest insert and the printer take up. To narrow it:"
        " close the mould sooner;"
    )
    rows = [line.split()[:4] for line in run.out.splitlines()]
    assert [row[0] for row in rows if row[1:2] == ["at"]] == [
        "slide", "air", "push", "turn", "heat", "depth", "fits",
    ]  # fmt: skip
    assert ["air", "at", "least", "0.88"] in rows
    assert ["habit", "advice", "3.00", "the"] in rows


def test_gap_in_inches_has_them_beside_the_millimetres() -> None:
    # 0.88 mm / 25.4 mm is 0.0346 in.
    run = mouldgen("gap", JOB, "--set", "unit=in")

    assert run.words.startswith("The gap is 0.88 mm (0.035 in) all round, set by air")
    assert run.out.split("\n\n")[1].split("\n")[0].split() == ["rule", "asks", "for", "mm", "in",
                                                               "why"]  # fmt: skip


def test_gap_verbose_says_what_each_rule_rests_on() -> None:
    run = mouldgen("gap", JOB, "--verbose")

    assert "Taylor & Saffman 1959" in run.words
    assert "Taylor & Saffman 1959" not in mouldgen("gap", JOB).words


def test_gap_quiet_is_the_sentence_alone() -> None:
    run = mouldgen("gap", JOB, "--quiet")

    assert run.words.endswith("has to be guessed.")
    assert "rule" not in run.out


def test_a_gap_of_ones_own_is_set_against_the_rules_in_one_line() -> None:
    run = mouldgen("gap", JOB, *STOPPED)

    assert run.code == 1
    assert run.words.startswith("The gap is 0.30 mm all round, set by you; air asks for 0.88 mm.")
    assert "must fix: A gap of 0.30 mm is less than the 0.42 mm" in run.words
    assert (
        "look at: Your gap is under what these rules ask for: slide, air, push, turn." in run.words
    )


def test_a_gap_of_ones_own_that_no_gap_would_mend_is_told_so() -> None:
    run = mouldgen("gap", JOB, "--set", "mould.gap=2 mm", *CONFLICT)

    assert run.words.startswith(
        "The gap is 2.00 mm all round, set by you; no gap meets air: at this temperature the resin"
        " gels 53 min after mixing starts, before the mould is closed at 60 min."
    )


@pytest.mark.parametrize("command", ["gap", "resin", "beds", "build"])
def test_a_conflict_is_told_with_its_remedies_by_every_command(
    command: str, tmp_path: Path
) -> None:
    out = ("--out", str(tmp_path)) if command == "build" else ()
    run = mouldgen(command, JOB, "--quiet", *CONFLICT, *out)

    assert run.code == 1
    assert run.words.startswith(
        "No gap meets every rule. At this temperature the resin gels 53 min after mixing starts,"
        " before the mould is closed at 60 min. gap then what would help"
    )
    assert "mm close the mould 22 min sooner" in run.words
    assert "mm take a slower hardener: the same resin with twice the gel time" in run.words
    assert not any(tmp_path.iterdir())


def test_must_fix_writes_nothing_and_keeps_the_earlier_set(tmp_path: Path) -> None:
    assert mouldgen("build", JOB, "--out", str(tmp_path), "--quiet").code == 0
    mouldgen("gap", JOB, "--pictures", "--out", str(tmp_path))
    before = {p: p.read_bytes() for p in tmp_path.rglob("*") if p.is_file()}

    run = mouldgen("build", JOB, "--out", str(tmp_path), *STOPPED)

    assert run.code == 1
    assert "must fix: A gap of 0.30 mm is less than" in run.words
    assert "--anyway" in run.err
    assert {p: p.read_bytes() for p in tmp_path.rglob("*") if p.is_file()} == before
    assert tmp_path / JOB / "plots" / "gap.svg" in before


PICTURES = ("gap.svg", "pockets.svg", "set-apart.png", "set-section.png")


def test_pictures_lie_beside_the_report_are_listed_and_told(demo: Run, out: Path) -> None:
    report = json.loads((out / JOB / "report.json").read_text("utf-8"))
    svg = {name: ET.parse(out / JOB / name).getroot() for name in PICTURES if "svg" in name}

    assert [name for name in report["files"] if "/" not in name] == sorted(
        [*PICTURES, "report.json"]
    )
    assert " ".join(["gap.svg", "pockets.svg", "report.json", "set-apart.png"]) in demo.words
    # The demo keeps no air worth telling; the picture's own total is that of the report.
    assert svg["pockets.svg"][0].text == f"{JOB}: poured upright"
    ml = report["pour"]["shut_in_ml"]
    assert f" keep {ml:.2f}".rstrip("0").rstrip(".") in svg["pockets.svg"][1].text
    assert svg["gap.svg"][0].text == f"{JOB}: the gap is set by {report['gap']['set_by']}"


def test_the_gap_is_drawn_as_the_command_gap_draws_it(demo: Run, out: Path, tmp_path: Path) -> None:
    mouldgen("gap", JOB, "--pictures", "--out", str(tmp_path))

    drawn = (tmp_path / JOB / "plots" / "gap.svg").read_bytes()
    assert (out / JOB / "gap.svg").read_bytes() == drawn


def test_a_pour_that_is_to_lean_is_drawn_both_ways() -> None:
    found = demo_set()
    leaning = replace(found, tried=replace(found.tried, best=2))

    drawn = draw_pictures(leaning)

    assert sorted(drawn) == sorted([*PICTURES, "pockets-leaning.svg"])
    assert b"leaning by 15 degrees towards 180 degrees" in drawn["pockets-leaning.svg"]
    assert b"poured upright" in drawn["pockets.svg"]
    assert draw_pictures(replace(found, parts=None)) == {}


def test_a_build_keeps_what_gap_and_heat_drew_and_drops_its_own_earlier_pictures(
    tmp_path: Path,
) -> None:
    out = ("--out", str(tmp_path))
    mouldgen("gap", JOB, "--pictures", "--sweep", "pour.shop=20 C..22 C", "--steps", "2", *out)
    mouldgen("heat", JOB, "--pictures", *out)
    plots = {p.name: p.read_bytes() for p in (tmp_path / JOB / "plots").iterdir()}
    assert set(plots) == {"gap.svg", "heat.svg", "sweep-pour-shop.csv", "sweep-pour-shop.svg"}

    mouldgen("build", JOB, "--pictures", *out)
    drawn = {p.name for p in (tmp_path / JOB).iterdir()}
    mouldgen("build", JOB, *out, "--set", "order.pieces=1", "--set", "order.yield=1.0")

    assert set(PICTURES) <= drawn
    assert {p.name for p in (tmp_path / JOB).iterdir()} == {
        "beds", "parts", "plots", "report.json",
    }  # fmt: skip
    assert {p.name for p in (tmp_path / JOB / "beds").iterdir()} == {
        "bed-1.3mf", "bed-1.stl", "bed-1.svg",
    }  # fmt: skip
    assert {p.name: p.read_bytes() for p in (tmp_path / JOB / "plots").iterdir()} == plots


def test_anyway_writes_it_under_names_that_say_so(tmp_path: Path) -> None:
    run = mouldgen(
        "build", JOB, "--out", str(tmp_path), "--anyway", "--pictures", "--quiet", *STOPPED
    )

    names = {path.name for path in (tmp_path / JOB).rglob("*.*")}
    assert run.code == 1
    assert {"body-MUST-FIX.stl", "bed-1-MUST-FIX.3mf", "pockets-MUST-FIX.svg"} <= names
    assert all("MUST-FIX" in name for name in names - {"report.json"})


def test_keys_without_a_rule_are_told_together_and_one_by_one_where_all_is_asked_for(
    capsys: pytest.CaptureFixture[str],
) -> None:
    """No key of today's jobs is one; the next that is added may be, for a while."""
    kept = [
        Finding(f"job.not-used-yet.{key}", "job", "note", f"{key} is kept, but no rule.", place=key)
        for key in ("pot.bell", "shop.cat")
    ]
    say_findings(kept, quiet=False, verbose=False)
    together = " ".join(capsys.readouterr().out.split())
    say_findings(kept, quiet=False, verbose=True)

    assert together == "worth knowing: Kept, but no number depends on it yet: pot.bell, shop.cat."
    assert capsys.readouterr().out.count("is kept, but no rule.") == 2


def test_a_pot_without_a_rating_leaves_the_pressure_blank(tmp_path: Path) -> None:
    job = (Path(__file__).parents[3] / "presets/jobs/boathouse-pegs.toml").read_text("utf-8")
    path = tmp_path / "pegs.toml"
    path.write_text("\n".join(line for line in job.split("\n") if "rating" not in line))

    run = mouldgen("build", str(path), "--out", str(tmp_path / "out"))

    assert "Pressure ____ psi: write what the pot's plate says as [pot] rating." in run.words
    assert "50 psi" not in run.out


def test_resin_says_what_rounding_does_to_the_ratio() -> None:
    run = mouldgen("resin", JOB, "--set", "shop.scale=1 g")

    # 10 g to 22 g, where the card asks for 42.48 to 100: 45.455 / 42.478 is 7.0 % more.
    assert run.code == 0
    assert "The card says A to B 2:1 by volume; by mass that is 100:42.5." in run.words
    assert "Rounding up to 1 g changes the share of B by 7.0 % for one mould and 0.2 % for" in (
        run.words
    )


def test_resin_quiet_is_the_table_alone() -> None:
    assert len(mouldgen("resin", JOB, "--quiet").out.splitlines()) == 3


def test_a_finer_scale_shows_its_digit() -> None:
    rows = mouldgen("resin", JOB, "--quiet", "--set", "shop.scale=0.1 g").out.splitlines()

    assert rows[1].split() == ["one", "mould", "28.7", "0.97", "21.7", "9.2", "30.9"]


@pytest.mark.parametrize(
    ("words", "beds"),
    [
        ([], [("1", "1 body and 1 lid: one mould alone, to water-test"),
              ("2", "20 lids"), ("3", "21 bodies and 1 lid")]),
        (["--moulds", "1"], [("1", "1 body and 1 lid: one mould alone, to water-test")]),
        (["--moulds", "3"], [("1", "1 body and 1 lid: one mould alone, to water-test"),
                             ("2", "2 bodies and 2 lids")]),
    ],
)  # fmt: skip
def test_beds_say_what_lies_on_them(words: list[str], beds: list[tuple[str, str]]) -> None:
    run = mouldgen("beds", JOB, "--quiet", *words)

    rows = [line.split(maxsplit=3) for line in run.out.splitlines()[1:]]
    told = [(number, what) for number, _, _, what in rows]
    assert [number for number, _ in told] == [number for number, _ in beds]
    for (_, said), (_, expected) in zip(told, beds, strict=True):
        assert sorted(said.split(":")[0].split(" and ")) == sorted(
            expected.split(":")[0].split(" and ")
        )
        assert said.partition(":")[2] == expected.partition(":")[2]


def test_beds_say_whether_fewer_are_possible() -> None:
    assert "Fewer than 3 beds are impossible." in mouldgen("beds", JOB).words

    clip = ["--set", 'printer.keep_out=[["0 mm", "95 mm", "12 mm", "30 mm"]]']
    many = mouldgen("beds", JOB, "--moulds", "60", "--effort", "quick", *clip)
    assert (
        "Any layout takes 5 beds or more; whether 6 would do is not known. --effort usual looks"
        " longer." in many.words
    )


def test_an_effort_that_there_is_not_is_refused() -> None:
    run = mouldgen("beds", JOB, "--effort", "endless")

    assert run.code == 2
    assert "there is no effort 'endless'. Allowed: quick, usual, thorough." in run.err


def test_another_printer_may_be_tried() -> None:
    run = mouldgen("beds", JOB, "--set", "printer.card=round-240", "--set", "mould.gap=1 mm")

    assert "22 moulds on 3 beds, each a round bed of 240 mm." in run.words


@pytest.mark.parametrize(
    ("setting", "says"),
    [
        ("order.customers_wood=true", "start 18: one for each piece, because the customer's wood"),
        ("order.yield=1.0", "start 18: one for each piece, at a yield of 100 %."),
        ("mould.gap=2 mm", "Gap 2.00 mm all round, set by you."),
        ("unit=in", "white ash flute 30 mm (1 3/16 in) x 70 mm (2 3/4 in) in slow casting epoxy"),
        ("mould.fill=72 mm", "ml of resin to the fill line, "),
        ("resin.card=casting-urethane-fast", "No gap meets every rule."),
    ],
)
def test_build_tells_what_is_special_about_a_job(tmp_path: Path, setting: str, says: str) -> None:
    run = mouldgen("build", JOB, "--out", str(tmp_path), "--set", setting)

    assert says in run.words


def test_a_urethane_is_told_of_with_its_asthma(tmp_path: Path) -> None:
    run = mouldgen(
        "build", JOB, "--out", str(tmp_path), "--set", "resin.card=casting-urethane-fast",
        "--set", "pour.close=4 min", "--set", "pour.mix=1 min",
    )  # fmt: skip

    assert "Urethane can cause permanent asthma by lung and skin" in run.words
    assert "Uncured epoxy" not in run.words
