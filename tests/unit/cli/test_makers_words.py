"""What a maker reads: the same number in every place, and words that say what to try."""

from __future__ import annotations

import re
from pathlib import Path

import numpy as np
import pytest

from mouldgen.check.piece import LEAST_RESIN, PieceMeasure, _all_wood
from mouldgen.check.pot import pressure_findings
from mouldgen.check.sound import sound
from mouldgen.cli.findings import say_findings
from mouldgen.cli.story import say_files
from mouldgen.errors import JobError
from mouldgen.finding import Finding
from mouldgen.gap.air import GEL_RELAX, air
from mouldgen.gap.feed import feed
from mouldgen.gap.fits import fits
from mouldgen.gap.push import push
from mouldgen.gap.words import least_mm, most_mm
from mouldgen.job.load import load_job
from mouldgen.pour.slices import pitch_mm
from mouldgen.solid.kernel import box
from mouldgen.solid.mesh import Mesh
from mouldgen.units.beside import with_inches
from tests.cli_runs import mouldgen
from tests.gap_questions import pot, pour, printer, question

KNOBS = "drawer-knobs"


# ------------------------------------------------------------------ one number, one rounding


@pytest.mark.parametrize(
    ("length", "least", "most"),
    [(0.6714, "0.68 mm", "0.67 mm"), (4.8971, "4.90 mm", "4.89 mm"), (2.5, "2.50 mm", "2.50 mm")],
)
def test_what_is_told_of_a_rule_meets_it(length: float, least: str, most: str) -> None:
    assert least_mm(length) == least
    assert most_mm(length) == most


def test_every_place_tells_a_rules_gap_alike() -> None:
    told = mouldgen("gap", KNOBS).words
    bounds = {b["rule"]: b["value_mm"] for b in mouldgen("gap", KNOBS, "--json").json["bounds"]}
    turn, heat = least_mm(bounds["turn"]), most_mm(bounds["heat"])

    # Rounded to the nearest the two would read otherwise than the table does.
    assert f"{bounds['turn']:.2f} mm" != turn
    assert f"{bounds['heat']:.2f} mm" != heat
    assert f"set by you; turn asks for {turn}." in told
    assert f"turn at least {turn.removesuffix(' mm')} a piece" in told
    assert f"heat at most {heat.removesuffix(' mm')} above {heat} the wall" in told
    assert f"is too wide: above {heat} the wall" in told
    narrow = mouldgen("gap", "curtain-finials", "--set", "mould.gap=0.9 mm").words
    assert "under the 0.97 mm of the turn rule" in narrow


def test_inches_of_a_rule_and_of_the_gap_it_sets_agree() -> None:
    told = mouldgen("gap", "curtain-finials", "--set", "unit=in").words

    gap = told.split(" mm (")[1].split(" in)")[0]
    mm = told.split("The gap is ")[1].split(" mm")[0]
    assert f"turn at least {mm} {gap} a piece" in told


@pytest.mark.parametrize(
    ("told", "shown"),
    [
        ("every 12.7 mm.", "every 12.7 mm (1/2 in)."),
        ("at least 6.9 mm wide", "at least 6.9 mm (0.272 in) wide"),  # 17/64 in would be too little
        ("30.16 mm long", "30.16 mm (1 3/16 in) long"),
        ("0.88 mm off", "0.88 mm (0.035 in) off"),
        ("M10x1.25, 22 mm deep", "M10x1.25, 22 mm (0.866 in) deep"),
        ("2 mm or 3 mm", "2 mm (0.079 in) or 3 mm (0.118 in)"),
        ("5 to 10 mm", "5 to 10 mm (0.197 to 0.394 in)"),
        ("120 x 40 mm", "120 x 40 mm (4.724 x 1.575 in)"),
        ("120 mm x 12.7 mm", "120 mm x 12.7 mm (4.724 x 1/2 in)"),
        ("at most 27.5 mm", "at most 27.5 mm (1.082 in)"),  # 1.083 in are 27.508 mm
        ("27.5 mm or less", "27.5 mm (1.082 in) or less"),
        ("27.5 mm long", "27.5 mm (1.083 in) long"),
        ("5 mm long or longer", "5 mm (0.197 in) long or longer"),
        *[(text, text) for text in (
            "0.88 mm (0.035 in) off", "2, 3 and 4 mm", "x 1.0, y -2.0, z 3.0 mm",
            "120 x 40 mm (4.724 x 1.575 in)", "3 mm2", "12 mm/s", "mm", "-3.5 mm", "x 12.0 mm",
            'hole = "8 mm"', "such as 22 mm", "0 mm",
        )],
    ],
)  # fmt: skip
def test_lengths_of_findings_have_inches_beside_them(told: str, shown: str) -> None:
    """1 in = 25.4 mm, exact (NIST SP 811)."""
    assert with_inches(told) == shown


@pytest.mark.parametrize("words", [("gap",), ("build", "--out", "out")])
def test_a_reader_of_inches_is_told_in_both_and_one_of_mm_is_not(
    words: tuple[str, ...], tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    command = (words[0], "curtain-finials", *words[1:], "--verbose")
    inches, plain = (mouldgen(*command, *more).words for more in (("--set", "unit=in"), ()))

    told = r"Loose bubbles under 0\.52 mm \(0\.020 in\) do not climb 60 mm \(2\.362 in\) before"
    assert re.search(told, inches)
    assert "Loose bubbles under 0.52 mm do not climb 60 mm before" in plain


# -------------------------------------------------------------------------- what to try


def test_a_hole_as_wide_as_is_allowed_is_allowed() -> None:
    base = ("--set", "insert.shape=rod", "--set", "insert.diameter=28.575 mm",
            "--set", "insert.measured=[]")  # fmt: skip
    refused = mouldgen("gap", "locker-pegs", *base, "--set", "insert.hole=27.6 mm")
    allowed = refused.err.split("at most ")[1].split(" mm")[0]
    taken = mouldgen("gap", "locker-pegs", *base, "--set", f"insert.hole={allowed} mm")

    assert refused.code == 2
    assert allowed == "27.5"
    assert "leaves less than" not in taken.err


def test_nothing_but_time_helps_a_resin_that_has_gelled() -> None:
    late = question(pour=pour(close=3600.0 * 24))

    assert [rule(late).relax for rule in (air, push, feed)] == [GEL_RELAX] * 3
    assert air(question()).relax[: len(GEL_RELAX)] == GEL_RELAX


def test_what_is_said_twice_is_told_once(capsys: pytest.CaptureFixture[str]) -> None:
    two = [Finding(f"gap.{rule}", rule, "stop", "It gels too soon.") for rule in ("air", "feed")]

    say_findings(two, quiet=False, verbose=False)
    assert capsys.readouterr().out.count("It gels too soon.") == 1
    say_findings(two, quiet=False, verbose=True)
    assert capsys.readouterr().out.count("It gels too soon.") == 2


def test_margins_wider_than_the_pot_are_no_negative_room() -> None:
    small = fits(question(pot=pot(diameter=9.0)))
    narrow = fits(question(printer=printer(width=8.0, depth=8.0)))

    assert small.why.endswith("is wider than the pot within its margins")
    assert narrow.why.endswith("is wider than the bed within its margins")


def test_a_rating_without_a_pot_says_where_it_goes() -> None:
    (without,) = pressure_findings(pour(pressure=300.0), None)
    (with_one,) = pressure_findings(pour(pressure=300.0), pot(rating=None))

    assert "write it as rating in a table [pot], with a card or with diameter" in without.message
    assert "write it as [pot] rating." in with_one.message


@pytest.mark.parametrize(
    ("setting", "told"),
    [
        ('resin.ratio="2:1"', r"a list in square brackets, such as \[2, 1\] for two parts of A"),
        ("printer.card=ender", r"square-300; or no card and your own numbers"),
    ],
)
def test_a_refused_value_says_what_to_write(setting: str, told: str) -> None:
    with pytest.raises(JobError) as caught:
        load_job(KNOBS, sets=[setting])
    assert re.search(told, str(caught.value))


def test_a_mesh_that_is_no_solid_says_what_to_do() -> None:
    good = box((0.0, 0.0, 0.0), (2.0, 2.0, 2.0)).any_mesh()
    turned = Mesh(good.vertices, good.triangles[:, ::-1])
    holed = Mesh(good.vertices, good.triangles[1:])

    (inside_out,) = sound(turned, name="part")
    assert inside_out.message.endswith(
        "Turn its faces outward in the program it was drawn in, and export it again."
    )
    assert "Mend it in the program" in sound(holed, name="part")[0].message
    assert np.isclose(inside_out.measured or 0.0, -8.0)


# ------------------------------------------------------------------------ what is there


def test_a_piece_of_bare_wood_is_told() -> None:
    (bare,) = _all_wood(PieceMeasure(10.0, 0.9 * LEAST_RESIN * 10.0, None))

    assert bare.severity == "note"
    assert bare.message.startswith("The finished piece holds next to no resin")
    assert _all_wood(PieceMeasure(10.0, 1.1 * LEAST_RESIN * 10.0, None)) == ()


def test_bed_10_comes_after_bed_2(capsys: pytest.CaptureFixture[str]) -> None:
    folder = Path("out/knobs")
    names = ["beds/bed-1.stl", "beds/bed-10.stl", "beds/bed-2.stl"]

    say_files(folder, [folder / name for name in names])
    assert "bed-1.stl bed-2.stl bed-10.stl" in capsys.readouterr().out


def test_a_resin_without_a_title_is_told_by_its_label(tmp_path: Path) -> None:
    told = mouldgen("build", "curtain-finials", "--set", "resin.title=", "--out", str(tmp_path))

    assert told.words.startswith(
        "curtain-finials: 4 pieces, black cherry tube 25.4 mm x 60 mm in epoxy, 2:1 by volume. Gap"
    )


def test_rubber_stands_heat_and_does_not_soften() -> None:
    told = mouldgen("heat", "lamp-finials").words

    assert "silicone rubber stands 200 degC" in told
    assert "softens" not in told


def test_all_resin_is_told_to_what_is_known_before_the_mould_is_drawn() -> None:
    told = mouldgen("heat", KNOBS)
    heat = mouldgen("heat", KNOBS, "--json").json["total_g"]
    resin = mouldgen("resin", KNOBS, "--json").json["all"]["total_g"]

    assert heat != resin
    assert heat == pytest.approx(resin, rel=0.05)  # legs, grooves and letters are the difference
    assert f"All the resin, about {float(f'{heat:.2g}'):.0f} g, left in one cup" in told.words


@pytest.mark.parametrize("gap", [0.05, 0.001, 1e-9])
def test_a_gap_that_nothing_enters_is_not_sliced_to_dust(gap: float) -> None:
    assert pitch_mm(gap) == 0.0625
