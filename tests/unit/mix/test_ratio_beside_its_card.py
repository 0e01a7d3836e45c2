"""A ratio that is not the card's: when it is told, with both numbers, and when it is not."""

from __future__ import annotations

import pytest

from mouldgen.build import build_moulds
from mouldgen.job.load import load_job
from mouldgen.mix.ratio import MOST_OFF, ratio_findings
from tests.gap_questions import resin

SLOW, MEDIUM = "casting-epoxy-slow", "casting-epoxy-medium"


def found(*sets: str, card: str = SLOW):
    words = [f"resin.card={card}", *(f"resin.{one}" for one in sets)]
    return ratio_findings(load_job("boathouse-pegs", sets=words).job.resin)


@pytest.mark.parametrize(
    ("card", "sets", "own", "told", "off", "place"),
    [
        # Grams of B for 100 g of A by hand: 100 x 0.96/(2 x 1.13) = 42.48, and 83.0 on the other.
        (SLOW, ["ratio_basis=mass"], "50.0", "42.5", "18 % more", "[resin] ratio_basis"),
        # 83 x 0.963/1.16
        (MEDIUM, ["ratio=[100, 83]"], "68.9", "83.0", "17 % less", "[resin] ratio"),
        (MEDIUM, ["ratio_basis=mass"], "100.0", "83.0", "20 % more", "[resin] ratio_basis"),
        # 90 x 0.995/1.105 against 100:90
        ("casting-urethane-fast", ["ratio=[100, 90]"], "81.0", "90.0", "10 % less",
         "[resin] ratio"),
    ],
)  # fmt: skip
def test_what_differs_is_told_with_both_numbers(card, sets, own, told, off, place) -> None:
    (finding,) = found(*sets, card=card)
    assert (finding.id, finding.rule, finding.severity) == ("mix.ratio", "mix", "warn")
    assert f"the job weighs {own} g of part B" in finding.message
    assert f"the card {card} {told} g" in finding.message
    assert f"{off}. Read the can, its label wins" in finding.message
    assert f"leave {place} out;" in finding.message
    assert finding.place == place
    assert finding.limit == MOST_OFF == 0.02


def test_both_keys_are_named_where_both_are_the_jobs() -> None:
    (finding,) = found("ratio=[100, 60]", "ratio_basis=mass")
    assert "leave [resin] ratio and ratio_basis out;" in finding.message
    assert finding.measured == pytest.approx(60.0 / 42.4779 - 1.0, abs=1e-4)


@pytest.mark.parametrize(
    ("b_per_100_a", "told"), [(41.5, True), (41.7, False), (43.2, False), (43.4, True)]
)
def test_two_percent_either_way_is_the_limit(b_per_100_a: float, told: bool) -> None:
    """42.478 less and plus 2 percent: 41.628 and 43.327."""
    assert bool(found(f"ratio=[100, {b_per_100_a}]", "ratio_basis=mass")) is told


@pytest.mark.parametrize(
    ("card", "sets"),
    [
        (SLOW, []),
        (SLOW, ["ratio=[4, 2]"]),
        (MEDIUM, ["ratio=[100, 83]", "ratio_basis=mass"]),  # 1:1 by volume in grams
        (SLOW, ["density_a=1.16 g/ml", "density_b=0.90 g/ml"]),  # the can tells them better
    ],
)
def test_another_way_to_say_the_same_is_not_told(card: str, sets: list[str]) -> None:
    assert found(*sets, card=card) == ()


def test_without_a_card_there_is_nothing_to_compare() -> None:
    assert ratio_findings(resin(card=None, ratio_basis="mass")) == ()
    assert ratio_findings(resin(card="no-such-card", ratio_basis="mass")) == ()


def test_a_card_that_leaves_a_density_to_the_job_tells_nothing(tmp_path, monkeypatch) -> None:
    (tmp_path / "resins").mkdir()
    (tmp_path / "resins" / "half.toml").write_text(
        'ratio = [2, 1]\nratio_basis = "volume"\n', encoding="utf-8"
    )
    monkeypatch.setenv("MOULDGEN_PRESETS", str(tmp_path))
    assert ratio_findings(resin(card="half", ratio_basis="mass")) == ()


def test_a_build_in_conflict_tells_it_too() -> None:
    sets = ["resin.ratio_basis=mass", "pot.height=40 mm"]
    conflict = build_moulds(load_job("boathouse-pegs", sets=sets).job)
    assert conflict.parts is None
    assert [f.severity for f in conflict.findings if f.id == "mix.ratio"] == ["warn"]
