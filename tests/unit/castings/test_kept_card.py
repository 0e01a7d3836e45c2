"""Pot cards as a text: all of them come back, and a text that was changed is none."""

from __future__ import annotations

from dataclasses import asdict, replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from mouldgen.castings.kept_card import card_kept, kept_text
from mouldgen.castings.on_card import JobCard, OnCard
from mouldgen.gap.aging import at_shop
from mouldgen.job.load import load_job
from mouldgen.job.resin_numbers import KeptClock, KeptResin, kept_clock, kept_resin

ABOVE = st.floats(min_value=0, exclude_min=True, allow_infinity=False)
ANY = st.floats(allow_nan=False, allow_infinity=False)
TEXT = st.text(st.characters(exclude_categories=["Cs"]), max_size=8)
CARDS = st.builds(
    JobCard,
    job=TEXT,
    unit=st.sampled_from(["mm", "cm", "in", None]),
    fingerprint=TEXT,
    fillings=st.integers(1, 500),
    loads=st.dictionaries(
        st.integers(1, 40),
        st.builds(OnCard, st.lists(st.integers(1, 500), min_size=1).map(tuple), ABOVE),
        min_size=1,
        max_size=20,
    ),
    pours=st.integers(1, 4),
    gap_mm=ABOVE,
    taken_mm=ANY,
    layer_mm=ABOVE,
    mould_ml=ABOVE,
    mould_id=TEXT,
    sequence=st.sampled_from(["resin-first", "insert-first", "bottom-feed"]),
    resin_name=TEXT,
    wood=TEXT,
    resin=st.builds(
        KeptResin,
        kind=st.sampled_from(["epoxy", "urethane"]),
        viscosity=ABOVE,
        gel=ABOVE,
        gel_mass=ABOVE,
        gel_temperature=ANY,
        ratio=st.tuples(ABOVE, ABOVE),
        ratio_basis=st.sampled_from(["volume", "mass"]),
        density_a=ABOVE,
        density_b=ABOVE,
        heat_j_g=st.none() | ABOVE,
    ),
    clock=st.builds(KeptClock, shop=ANY, mix=ABOVE, close=ABOVE, batch=st.none() | ABOVE),
    pressure_kpa=st.none() | ANY,
    rating_kpa=st.none() | ABOVE,
    air_shift=ANY,
)
PEGS = JobCard(
    job="pegs", unit="mm", fingerprint="ab", fillings=3, pours=1, gap_mm=0.88, taken_mm=0.42,
    loads={1: OnCard((1,), 800.0), 2: OnCard((2, 3), 840.0)}, layer_mm=70.0, mould_ml=26.1,
    mould_id="BP-MM", sequence="resin-first", resin_name="slow", wood="white ash",
    resin=KeptResin("epoxy", 0.65, 2700.0, 150.0, 25.0, (2.0, 1.0), "volume", 1.1, 1.0, None),
    clock=KeptClock(21.0, 360.0, 840.0, None), pressure_kpa=344.7, rating_kpa=None, air_shift=0.0,
)  # fmt: skip


@given(CARDS)
def test_cards_come_back_to_the_last_digit(card: JobCard) -> None:
    back = card_kept(kept_text(card, key="k"), key="k")

    assert back is not None
    assert asdict(back) == asdict(card)
    assert (type(back.resin), type(back.resin.ratio)) == (KeptResin, tuple)
    assert list(back.loads) == list(card.loads)


def test_cards_of_another_key_are_none() -> None:
    text = kept_text(PEGS, key="k")

    assert card_kept(text, key="k") is not None
    assert card_kept(text, key="K") is None


def test_no_changed_character_makes_another_card() -> None:
    text = kept_text(PEGS, key="k")
    for at, sign in enumerate(text):
        for other in {"0", "1", " ", "-", '"', "e"} - {sign}:
            found = card_kept(text[:at] + other + text[at + 1 :], key="k")
            # Blanks between two words are no part of what is said.
            assert found is None or asdict(found) == asdict(PEGS)


@pytest.mark.parametrize("text", ["", "null", "[]", "{}", "[" * 100_000, '{"schema": 1}', "NaN"])
def test_what_is_no_card_is_none(text: str) -> None:
    assert card_kept(text, key="k") is None


def test_a_number_that_is_none_is_not_kept() -> None:
    with pytest.raises(ValueError, match="not JSON compliant"):
        kept_text(replace(PEGS, gap_mm=float("inf")), key="k")


@pytest.mark.parametrize("batch", [None, "300 g"])
@pytest.mark.parametrize("shop", [5.0, 21.0, 33.3])
def test_a_kept_resin_thickens_as_the_jobs_own(batch: str | None, shop: float) -> None:
    sets = () if batch is None else (f"pour.batch={batch}",)
    job = load_job("boathouse-pegs", sets=sets).job
    for close_s in (60.0, 840.0, 4000.0):
        own = job.pour.model_copy(update={"shop": shop, "close": close_s})
        kept = replace(kept_clock(job.pour), shop=shop, close=close_s)

        assert asdict(at_shop(kept_resin(job.resin), kept)) == asdict(at_shop(job.resin, own))
