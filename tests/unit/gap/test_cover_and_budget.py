"""What the maker asks for: resin over the insert, and a bill that stays within bounds."""

import math

import pytest

from mouldgen.build import build_moulds
from mouldgen.gap.budget import budget
from mouldgen.gap.cost import cost, resin_cost
from mouldgen.gap.cover import cover, least_piece_mm
from mouldgen.gap.findings import findings_of
from mouldgen.gap.turn import turn
from mouldgen.job.load import load_job
from mouldgen.job.model import Piece
from tests.gap_questions import question, resin, rod

THIN = rod(envelope_mm=10.0, measured_mm=(20.4,) * 22)


def piece(**changes: float) -> Piece:
    return Piece.model_construct(**{"diameter": 26.0, "length": 60.0, "turning": 2.0, **changes})


def test_without_a_cover_there_is_no_such_rule() -> None:
    assert cover(question()) is None
    assert cost(question()) is None


def test_cover_is_geometry() -> None:
    # Over the drawn rod of 10 mm an insert may reach 0.2 of thickness, 0.1 of bore and 0.25 of
    # slide farther; 1.5 of cover, 2 to turn off and 0.1 that the bore prints narrow.
    bound = cover(question(insert=THIN, piece=piece(cover=1.5)))

    assert bound.value_mm == pytest.approx(0.55 + 1.5 + 2.0 + 0.1, rel=1e-12)
    assert bound.kind == "at_least"
    assert "1.50 mm of resin over an insert that may lie 0.55 mm" in bound.why


def test_a_piece_that_keeps_its_cover_asks_for_at_least_as_much_to_turn() -> None:
    for wide in (24.1, 26.0, 30.0):
        asked = question(insert=THIN, piece=piece(cover=1.5, diameter=wide))
        assert turn(asked).value_mm >= cover(asked).value_mm - 1e-9


def test_a_piece_too_thin_for_its_cover_has_no_gap() -> None:
    asked = question(insert=THIN, piece=piece(cover=1.5, diameter=24.0))
    bound = cover(asked)

    assert least_piece_mm(asked) == pytest.approx(2 * (10.0 + 0.55 + 1.5))
    assert bound.value_mm is None
    assert bound.why.endswith("ask for a piece of 24.10 mm, and it is turned to 24 mm")
    assert budget(asked).set_by == "cover"


def test_a_given_gap_without_its_cover_is_to_be_looked_at() -> None:
    asked = question(insert=THIN, piece=piece(cover=1.5, diameter=24.0), given_mm=4.0)
    found = {f.id: f.severity for f in findings_of(budget(asked), asked)}

    assert found["gap.cover"] == "warn"


# ---------------------------------------------------------------------- budget


def priced(amount: float, per: str, **changes: object):
    return resin(price=(amount, per), **changes)


def test_the_cost_is_the_resin_of_all_moulds_with_its_loss() -> None:
    # A cup of 15 + 2 mm, pips of 1 mm, insert of 70 mm, head of 9 mm: 80 mm of bore, less the rod.
    by_mass = question(resin=priced(0.038, "g"))
    poured = (math.pi * 17.0**2 * 80.0 - math.pi * 15.0**2 * 70.0) / 1000.0

    assert resin_cost(by_mass, 2.0) == pytest.approx(22 * poured * 1.1 * 1.1 * 0.038, rel=1e-12)
    by_volume = question(resin=priced(0.045, "ml"))
    assert resin_cost(by_volume, 2.0) == pytest.approx(22 * poured * 1.1 * 0.045, rel=1e-12)


def test_the_budget_is_met_and_a_wider_gap_breaks_it() -> None:
    asked = question(resin=priced(0.038, "g"), resin_budget=30.0)
    bound = cost(asked)

    assert bound.kind == "at_most"
    assert resin_cost(asked, bound.value_mm) == pytest.approx(30.0, rel=1e-6)
    assert resin_cost(asked, bound.value_mm) <= 30.0
    assert resin_cost(asked, bound.value_mm + 0.001) > 30.0
    assert f"above {bound.value_mm:.2f} mm resin for 22 moulds costs more than 30.00" in bound.why


def test_too_little_money_leaves_no_gap() -> None:
    bound = cost(question(resin=priced(0.038, "g"), resin_budget=1.0))

    assert bound.value_mm is None
    assert "which the insert needs to enter, resin for 22 moulds costs" in bound.why


def test_plenty_of_money_binds_nothing() -> None:
    assert cost(question(resin=priced(0.038, "g"), resin_budget=1e6)).value_mm == math.inf


def test_the_solids_cost_what_the_rule_reckons() -> None:
    # Pips, ribs and legs take a little resin away, so that the bill never comes out higher.
    found = build_moulds(
        load_job("boathouse-pegs", sets=["resin.price=38 per kg", "order.resin_budget=100"]).job
    )
    real = 0.038 * found.amounts.all.a_g + 0.038 * found.amounts.all.b_g

    reckoned = resin_cost(found.answer.question, found.answer.gap.gap_mm)
    assert real <= reckoned <= 1.04 * real
