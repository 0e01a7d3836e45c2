"""Remedies: a job changed as one says has the gap that it promises, and nothing to fix about it."""

from pathlib import Path

import pytest

from mouldgen.answer import Answer, answer_job
from mouldgen.errors import InternalError
from mouldgen.gap.budget import budget
from mouldgen.gap.changes import changed
from mouldgen.gap.findings import findings_of
from mouldgen.gap.remedies import ENOUGH, Remedy
from mouldgen.job.load import load_job
from tests.gap_questions import pot, pour, question, resin, rod

HOT = Path(__file__).parents[2] / "fixed_conflict.toml"
BARE = Path(__file__).parents[2] / "bare_job.toml"
DEMO = "boathouse-pegs"
SOFT = ("plastic.softens=45 C",)  # so soft that no single change but two is enough
ROD = ("insert.diameter=30 mm", "insert.length=70 mm", "piece.diameter=26 mm", "piece.turning=2 mm")


def answer(source: str | Path, sets: tuple[str, ...], remedy: Remedy | None = None) -> Answer:
    changes = [f"{key}={text}" for key, text in remedy.changes] if remedy else []
    return answer_job(load_job(source, sets=[*sets, *changes]).job)


def reckoned(found: Answer) -> list[Remedy]:
    return [remedy for remedy in found.gap.remedies if remedy.changes]


CONFLICTS = {
    "fast urethane in a warm shop": (HOT, ()),
    "mixed for a minute only": (HOT, ("pour.mix=1 min",)),
    "with the default mixing": (HOT, ("pour.mix=6 min",)),
    "closed late": (DEMO, ("pour.close=60 min",)),
    "closed at the last moment": (DEMO, ("pour.close=45 min",)),
    "a pot that is too low": (DEMO, ("pot.height=80 mm",)),
    "a bed that is too small": (DEMO, ("printer.width=45 mm",)),
    "a wide piece on a thin rod": (BARE, ("insert.diameter=12 mm", "piece.diameter=24 mm")),
    "a draft in a soft plastic": (
        DEMO,
        ("mould.draft=4 deg", "plastic.card=pla", "pour.shop=25 C"),
    ),
    "an insert that must not show": (
        BARE,
        (
            "insert.diameter=22 mm",
            "piece.diameter=26 mm",
            "piece.turning=1 mm",
            "piece.cover=2.5 mm",
            "resin.gel=120 min",
            "plastic.card=asa",
        ),
    ),
    "too little money": (DEMO, ("resin.price=38 per kg", "order.resin_budget=20")),
    "a weak push": (BARE, (*ROD, "pour.push=0.001 N", "pour.sequence=resin-first")),
    "resin on top in no time": (
        BARE,
        (*ROD, "pour.sequence=insert-first", "pour.mix=13.99 min", "resin.gel=25 min"),
    ),
    "a small pot and every insert guessed": (
        DEMO,
        ("insert.measured=[]", "pot.diameter=55 mm", "mould.vent_grooves=0"),
    ),
    "a bar in a round pot": (
        BARE,
        (
            "insert.shape=bar",
            "insert.width=16 mm",
            "insert.thickness=15 mm",
            "pot.card=pot-228",
            "pot.diameter=47 mm",
            "order.pieces=9",
            "piece.diameter=12 mm",
            "resin.gel=80 min",
            "plastic.card=asa",
        ),
    ),
    "a large cup": (BARE, (*ROD, "pour.batch=800 g", "resin.gel=22 min", "pour.close=23 min")),
}


@pytest.mark.parametrize("name", CONFLICTS)
def test_a_job_changed_as_a_remedy_says_has_its_gap(name: str) -> None:
    source, sets = CONFLICTS[name]
    found = answer(source, sets)

    assert found.gap.conflict is not None
    assert reckoned(found) or name == "a bed that is too small"
    for remedy in reckoned(found):
        again = answer(source, sets, remedy)
        assert (again.gap.gap_mm, again.gap.conflict) == (remedy.gap_mm, None), remedy.text
        stops = [f for f in findings_of(again.gap, again.question) if f.severity == "stop"]
        assert stops == [], remedy.text


@pytest.mark.parametrize("mix", ["1 min", "2 min", "6 min"])
def test_the_hot_urethane_has_three_remedies_or_more(mix: str) -> None:
    found = answer(HOT, (f"pour.mix={mix}",))

    assert "the resin gels 5.7 min after mixing starts" in found.gap.conflict
    assert len(reckoned(found)) >= 3
    texts = " ".join(remedy.text for remedy in reckoned(found))
    assert "four times the gel time, 28 min" in texts
    assert "slow casting epoxy" in texts
    last = found.gap.remedies[-1]
    assert (last.text, last.gap_mm) == ("take shorter inserts, and more of them", None)


def test_a_card_is_put_in_whole_even_over_settings() -> None:
    sets = ("resin.gel=7 min", "resin.viscosity=0.8 Pa s")
    found = answer(HOT, sets)
    remedy = next(
        r for r in reckoned(found) if r.text.endswith("slow casting epoxy, 2:1 by volume")
    )

    assert answer(HOT, sets, remedy).job.resin.viscosity == 0.5
    assert answer(HOT, sets, remedy).job.resin.card == "casting-epoxy-slow"


def test_two_changes_are_only_tried_where_one_is_not_enough() -> None:
    few = answer(HOT, SOFT)
    many = answer(DEMO, ("mould.draft=2 deg", "plastic.card=pla", "pour.shop=25 C"))

    def singles(found: Answer) -> list[Remedy]:
        return [remedy for remedy in reckoned(found) if ", and " not in remedy.text]

    assert len(singles(few)) < ENOUGH < len(reckoned(few)) + 1
    assert len(reckoned(many)) == len(singles(many)) or len(singles(many)) < ENOUGH


def test_a_second_change_is_never_idle() -> None:
    for remedy in reckoned(answer(HOT, SOFT)):
        if ", and " in remedy.text:
            first, second = remedy.changes[:1], remedy.changes[1:]
            for alone in (first, second):
                part = Remedy("", None, alone)
                assert answer(HOT, SOFT, part).gap.conflict is not None, remedy.text


def test_layers_halve_what_air_has_to_climb() -> None:
    asked = question(insert=rod(length_mm=140.0), pour=pour(layers=2), resin=resin(heat_j_g=100.0))
    half = question(insert=rod(length_mm=70.0), resin=resin(heat_j_g=100.0))

    def asks(one, rule: str) -> float:
        return next(b.value_mm for b in budget(one).bounds if b.rule == rule)

    assert asks(asked, "air") == pytest.approx(asks(half, "air"), rel=1e-12)
    assert asks(asked, "push") == pytest.approx(asks(half, "push"), rel=1e-12)
    assert asks(asked, "run-down") > 0.0
    found = {f.id: f for f in findings_of(budget(asked), asked)}
    assert "2 layers of 70 mm" in found["gap.layers"].message
    assert found["gap.sequence"].severity == "warn"


def test_the_smaller_batch_gels_later_and_never_holds_less_than_one_mould() -> None:
    found = answer(BARE, CONFLICTS["a large cup"][1])
    batches = [r for r in reckoned(found) if r.changes[0][0] == "pour.batch"]

    assert [r.text for r in batches] == ["mix no more than 100 g at once"]
    assert batches[0].gap_mm is not None


def test_a_larger_pot_is_asked_for_in_both_directions() -> None:
    asked = question(pot=pot(height=80.0, diameter=60.0))
    (remedy,) = [r for r in budget(asked).remedies if r.text.startswith("cast in a pot")]

    assert [key for key, _ in remedy.changes] == ["pot.diameter", "pot.height"]
    assert budget(changed(asked, remedy.changes)).gap_mm == remedy.gap_mm


def test_a_little_less_cover_is_offered() -> None:
    found = answer(BARE, CONFLICTS["an insert that must not show"][1])
    (remedy,) = [r for r in reckoned(found) if r.changes[0][0] == "piece.cover"]

    assert "be content with" in remedy.text
    value = float(remedy.changes[0][1].removesuffix(" mm"))
    assert 0.0 < value < 2.5


@pytest.mark.parametrize(
    ("setting", "told"),
    [
        (("colour.name", "smoke"), "no question follows from the setting colour.name"),
        (("pour.pressure", "50 psi"), "no question follows from the setting pour.pressure"),
        (("piece.diameter", "30 mm"), "no question follows from the setting piece.diameter"),
        (("mould.draft", "1 deg"), "no question follows from the setting mould.draft"),
        (("insert.length", "30 mm"), "no question follows from the setting insert.length"),
        (("order.pieces", "3"), "no question follows from the setting order.pieces"),
        (("printer.undersize", "0 mm"), "no question follows from the setting printer.undersize"),
        (("pot.height", "100 mm"), "a pot that there is not cannot be changed"),
    ],
)
def test_a_setting_that_changes_more_than_the_question_is_refused(setting, told: str) -> None:
    with pytest.raises(InternalError, match=told):
        changed(question(pot=None), (setting,))
