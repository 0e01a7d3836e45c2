"""The clock of one session, step by step against a clock worked by hand."""

from __future__ import annotations

import math

import pytest

from mouldgen.job.load import load_job
from mouldgen.job.work import work_times
from mouldgen.mix.clock import Clock, CupAsk, Hands, MixAsk, clock_text, hands_of, session_clock

HANDS = Hands(
    weigh=120.0, mix=180.0, split=20.0, stir=60.0, pour=10.0, place=30.0, lid=5.0, press=40.0
)


def cup(mass_g: float = 100.0, *, tinted: bool = True, factor: float = 1.0, moulds=(1, 2)):
    return CupAsk(mass_g, tinted, factor, tuple((m, 1) for m in moulds))


def clock(*mixes: MixAsk, **changes) -> Clock:
    given = {
        "moulds": (1, 2), "inserts": 1, "order": "resin-first", "hands": HANDS,
        "gel": lambda _: 1500.0, "air_s": None, "reserve_s": 100.0,
    }  # fmt: skip
    return session_clock(mixes, **(given | changes))


def told(found: Clock) -> list[tuple[float, float, str]]:
    return [(step.start_s, step.end_s, step.what) for step in found.steps]


def test_one_tinted_mix_by_hand() -> None:
    found = clock(MixAsk(100.0, (cup(),)))
    assert told(found) == [
        (-120.0, 0.0, "weigh"), (0.0, 180.0, "mix"), (180.0, 240.0, "stir"),
        (240.0, 250.0, "pour"), (250.0, 260.0, "pour"),
        (260.0, 290.0, "place"), (290.0, 295.0, "lid"),
        (295.0, 325.0, "place"), (325.0, 330.0, "lid"), (330.0, 370.0, "press"),
    ]  # fmt: skip
    assert (found.pour_s, found.close_s, found.limit_s) == (240.0, 370.0, 1400.0)
    assert (found.limited_by, found.slack_s, found.fits) == ("gel", 1030.0, True)


def test_inserts_that_are_in_first_take_no_time_of_the_gels() -> None:
    first = clock(MixAsk(100.0, (cup(),)), order="insert-first")
    assert told(first)[:3] == [
        (-180.0, -60.0, "weigh"), (-60.0, -30.0, "place"), (-30.0, 0.0, "place")
    ]  # fmt: skip
    assert first.close_s == 370.0 - 2 * 30.0
    fed = clock(MixAsk(100.0, (cup(),)), order="bottom-feed")
    assert fed.close_s == 370.0 - 2 * 35.0  # lids are on as well: it is poured through the runner


def test_a_later_pour_places_nothing() -> None:
    found = clock(MixAsk(100.0, (cup(),)), inserts=0)
    assert "place" not in {step.what for step in found.steps}


def test_a_tint_that_goes_into_part_a_is_stirred_before() -> None:
    found = clock(MixAsk(100.0, (cup(),), tint_before=True))
    assert told(found)[:2] == [(-180.0, -60.0, "weigh"), (-60.0, 0.0, "stir")]
    assert found.close_s == 310.0


def test_split_cups_are_tinted_slow_first_and_poured_quick_first() -> None:
    """All split by 3:40; the slow cup is stirred to 4:40, the quick one to 5:40 and poured."""
    quick, slow = cup(100.0, factor=0.5), cup(100.0)
    found = clock(MixAsk(200.0, (quick, slow)), gel={200.0: 1000.0, 100.0: 1500.0}.__getitem__)
    steps = [(s.start_s, s.what, s.cup) for s in found.steps if s.cup]
    assert steps == [
        (180.0, "split", 2), (200.0, "split", 1), (220.0, "stir", 2), (280.0, "stir", 1),
        (340.0, "pour", 1), (350.0, "pour", 1), (360.0, "pour", 2), (370.0, "pour", 2),
    ]  # fmt: skip
    # The quick cup: 220 of 1000 s gone in the mix, 60 of 1500 s untinted, the rest of 750 s.
    (first, second) = found.cups[0]
    assert first.gel_s == pytest.approx(280.0 + (1 - 0.22 - 0.04) * 750.0)
    assert second.gel_s == pytest.approx(220.0 + (1 - 0.2 - 20 / 1500) * 1500.0)
    assert found.limit_s == pytest.approx(first.gel_s - 100.0)
    assert (first.done_s, second.done_s) == (360.0, 380.0)


def test_a_larger_cup_that_gels_sooner_is_poured_first() -> None:
    found = clock(
        MixAsk(300.0, (cup(100.0), cup(200.0))), gel=lambda mass: 2000.0 - mass, reserve_s=None
    )
    assert [s.cup for s in found.steps if s.what == "pour"] == [2, 2, 1, 1]


def test_a_second_mix_has_its_own_gel() -> None:
    found = clock(
        MixAsk(100.0, (cup(moulds=(1,)),)), MixAsk(100.0, (cup(moulds=(2,), factor=0.5),)),
        air_s=600.0,
    )  # fmt: skip
    assert found.mixed_s == (0.0, 250.0)
    # It starts at 250 s; 180 of 1500 s are gone when its tint goes in.
    assert found.cups[1][0].gel_s == pytest.approx(250.0 + 180.0 + (1 - 180 / 1500) * 750.0)
    assert (found.limit_s, found.limited_by) == (600.0, "air")


def test_without_a_pot_it_ends_with_the_last_lid() -> None:
    hands = hands_of(
        work_times(None), load_job("bell-pulls").job.pour, order="resin-first", pot=False
    )
    found = clock(MixAsk(100.0, (cup(),)), hands=hands)
    assert found.steps[-1].what == "close"
    assert found.close_s == found.steps[-2].end_s


def test_the_push_is_the_makers_where_the_resin_is_in_first() -> None:
    job = load_job("boathouse-pegs").job  # push_time 60 s, presets: place 30 s
    times = work_times(job.work)
    assert hands_of(times, job.pour, order="resin-first", pot=True).place == 60.0
    assert hands_of(times, job.pour, order="insert-first", pot=True).place == 30.0


def test_too_late_a_close_does_not_fit() -> None:
    assert not clock(MixAsk(100.0, (cup(),)), gel=lambda _: 460.0).fits
    assert clock(MixAsk(100.0, (cup(),)), gel=lambda _: 470.0).fits  # 370 s and 100 s of reserve


@pytest.mark.parametrize(
    ("seconds", "text"),
    [(0.0, "0:00"), (425.4, "7:05"), (3600.0, "1:00:00"), (-150.0, "-2:30"), (math.inf, "never"),
     (-0.2, "0:00"), (59.6, "1:00")],
)  # fmt: skip
def test_times_are_shown_as_on_a_clock(seconds: float, text: str) -> None:
    assert clock_text(seconds) == text
