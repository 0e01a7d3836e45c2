"""What would waste less resin: each remedy is held against a whole job that takes it."""

from __future__ import annotations

from dataclasses import replace
from functools import cache

import pytest

from mouldgen.answer import answer_job
from mouldgen.job.load import load_job
from mouldgen.mix.mixing import Mixing, mixing
from mouldgen.mix.remedies import Remedy, remedies_of, remedy_words, with_remedies

DEMO = "boathouse-pegs"
# The demo on a scale that shows whole grams, which tops small mixes up, and with no piece cast
# before the rest; what the first article costs is told by tests of its own.
COARSE = ("shop.scale=1 g", "order.first_article=false")
SHEET = "resin.least_batch=200 g"


@cache
def job(name: str, *sets: str):
    before = COARSE if name == DEMO else ()
    return answer_job(load_job(name, sets=(*before, *sets)).job)


@cache
def mixed(name: str, *sets: str) -> Mixing:
    return mixing(job(name, *sets))


def told(name: str, *sets: str) -> tuple[Remedy, ...]:
    return remedies_of(mixed(name, *sets), job(name, *sets))


def as_done(name: str, *sets: str) -> tuple[float, int]:
    made = mixed(name, *sets)
    return made.mixed_ml, made.batches.mixes


def test_the_demo_is_told_of_a_finer_scale_and_of_a_gap_of_one_millimetre() -> None:
    scale, gap = told(DEMO)
    assert scale.change == "a scale that shows 0.1 g ([shop] scale)"
    assert gap.change == "[mould] gap = 1.0 mm"
    assert (scale.mixed_ml, scale.mixes) == pytest.approx(as_done(DEMO, "shop.scale=0.1 g"))
    assert (gap.mixed_ml, gap.mixes) == pytest.approx(as_done(DEMO, "mould.gap=1 mm"))
    # 0.12 mm wider mixes half as often and 280 ml less, though each mould holds more.
    assert gap.mixes == 3
    assert mixed(DEMO).mixed_ml - gap.mixed_ml == pytest.approx(282.0, abs=3.0)


def test_no_wider_gap_takes_less() -> None:
    (gap,) = [one for one in told(DEMO) if "gap" in one.change]
    for tenths in (9, 11, 12, 15, 20):
        assert as_done(DEMO, f"mould.gap={tenths / 10} mm")[0] >= gap.mixed_ml - 1e-6


def test_a_least_batch_of_the_data_sheet_is_weighed_too() -> None:
    both, gap, label = told(DEMO, SHEET)
    assert both.change.startswith("a smaller [resin] least_batch, if the label allows it, with a")
    assert label.change == "a smaller [resin] least_batch, if the label allows it"
    assert "gap" in gap.change
    assert both.mixed_ml == pytest.approx(as_done(DEMO, "shop.scale=0.1 g")[0])
    assert label.mixed_ml == pytest.approx(as_done(DEMO)[0])
    # A finer scale alone changes nothing where the data sheet asks for more than the scale.
    assert as_done(DEMO, SHEET, "shop.scale=0.1 g")[0] == pytest.approx(mixed(DEMO, SHEET).mixed_ml)


def test_what_helps_next_to_nothing_is_not_told() -> None:
    for name in ("gear-knob", "bell-pulls", "chest-toggles"):
        made = mixed(name)
        remedies = told(name)
        assert remedies
        for one in remedies:
            assert one.mixed_ml <= made.mixed_ml - 0.1 * made.batches.topped_ml
        assert [one.mixed_ml for one in remedies] == sorted(one.mixed_ml for one in remedies)
    # One mould a session, insert first: no gap fills more from one mix.
    assert not any("gap" in one.change for one in told("gear-knob"))


def test_a_gap_wider_than_a_rule_allows_is_never_told() -> None:
    answer = job(DEMO)
    most = replace(answer.gap.bounds[0], kind="at_most", value_mm=0.95)
    tight = replace(answer, gap=replace(answer.gap, bounds=(*answer.gap.bounds, most)))
    changes = [one.change for one in remedies_of(mixed(DEMO), tight)]
    # 0.9 mm is allowed still; 1.0 mm, which takes the least, is not.
    assert not any("1.0 mm" in change for change in changes)
    assert any("1.0 mm" in one.change for one in told(DEMO))


def test_a_gap_in_which_inserts_come_too_late_is_never_told(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.setattr("mouldgen.mix.remedies.too_stiff", lambda *_, **__: True)
    assert [one.change for one in told(DEMO)] == ["a scale that shows 0.1 g ([shop] scale)"]


def test_a_job_that_tops_nothing_up_has_none_and_stays_as_it_is() -> None:
    made = mixed(DEMO, "shop.scale=0.1 g")
    assert told(DEMO, "shop.scale=0.1 g") == ()
    assert with_remedies(made, job(DEMO, "shop.scale=0.1 g")) is made


def test_the_finding_says_what_would_waste_less() -> None:
    made = with_remedies(mixed(DEMO), job(DEMO))
    (least,) = [found for found in made.findings if found.id == "mix.least"]
    assert least.message.endswith(
        "Instead of 938 ml, the least resin first: a scale that shows 0.1 g ([shop] scale): about"
        " 632 ml in 6 mixes; [mould] gap = 1.0 mm: about 656 ml in 3 mixes."
    )
    assert len(made.findings) == len(mixed(DEMO).findings)


def test_words_for_one_mix_and_for_no_remedy() -> None:
    assert "about 99 ml in 1 mix." in remedy_words((Remedy("x", 99.4, 1),), mixed_ml=200.0)
    assert "something that sells" in remedy_words((), mixed_ml=200.0)
