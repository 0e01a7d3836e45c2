"""A resin's price as it is written, and a table under a setting as the command line reads it."""

import pytest
from pydantic import ValidationError

from mouldgen.errors import JobError, UnitError
from mouldgen.job.changes import from_card, to_card, with_setting
from mouldgen.job.load import load_job
from mouldgen.job.material_tables import Plastic, Resin
from mouldgen.job.model import Pour
from mouldgen.job.price import price


@pytest.mark.parametrize(
    ("text", "amount", "per"),
    [
        ("38 per kg", 0.038, "g"),
        ("38/kg", 0.038, "g"),
        ("0.5 per g", 0.5, "g"),
        ("20 per lb", 20 / 453.59237, "g"),  # the international pound, exact
        ("45 per l", 0.045, "ml"),
        ("45.5 per litre", 0.0455, "ml"),
        ("160 per US gal", 160 / 3785.411784, "ml"),  # 231 cubic inches, exact
    ],
)
def test_a_price_is_money_for_a_gram_or_a_millilitre(text: str, amount: float, per: str) -> None:
    assert price(text) == (pytest.approx(amount, rel=1e-12), per)


@pytest.mark.parametrize("text", ["38", "per kg", "0 per kg", "-3 per kg", "38 kg", 38, 38.0, None])
def test_what_is_no_price_is_refused(text: object) -> None:
    with pytest.raises(UnitError, match=r"not the price of a resin.*38 per kg"):
        price(text)


@pytest.mark.parametrize("text", ["38 per oz", "38 per mm", "38 per bottle"])
def test_a_unit_of_nothing_is_refused(text: str) -> None:
    with pytest.raises(UnitError, match="neither a unit of mass nor of volume"):
        price(text)


@pytest.mark.parametrize(
    ("key", "text", "value"),
    [("close", "4 min", 240.0), ("layers", "2", 2), ("sequence", "bottom-feed", "bottom-feed"),
     ("batch", "50 g", 50.0), ("shop", "77 F", 25.0)],
)  # fmt: skip
def test_a_setting_is_read_as_behind_set(key: str, text: str, value: object) -> None:
    changed = with_setting(Pour(), key, text)

    assert getattr(changed, key) == value
    loaded = load_job("boathouse-pegs", sets=[f"pour.{key}={text}", "pour.mix=1 min"]).job
    assert getattr(loaded.pour, key) == value


def test_a_setting_out_of_range_is_refused() -> None:
    with pytest.raises(ValidationError, match="less than or equal to 4"):
        with_setting(Pour(), "layers", "5")


def test_a_card_starts_the_table_anew() -> None:
    thick = from_card(Resin, "casting-epoxy-slow").model_copy(update={"viscosity": 9.0})

    assert with_setting(thick, "card", "casting-urethane-fast").viscosity == 0.12
    with pytest.raises(JobError, match=r"there is no card"):
        from_card(Plastic, "cheese")


def test_the_settings_of_a_card_are_the_card() -> None:
    sets = [f"{key}={text}" for key, text in to_card("resin", "casting-epoxy-medium")]

    # Over a job that has settings of its own.
    job = load_job("boathouse-pegs", sets=["resin.gel=7 min", "resin.viscosity=3 Pa s", *sets]).job
    assert job.resin == from_card(Resin, "casting-epoxy-medium")
