"""The card by the pot: it fits its page, and says nothing that the mixing does not."""

import math
import re
from dataclasses import replace
from itertools import pairwise
from pathlib import Path
from typing import get_args

import pytest
from hypothesis import given
from hypothesis import strategies as st

from mouldgen.errors import NoAnswerError
from mouldgen.job.cautions import cautions_for
from mouldgen.mix.clock import clock_text
from mouldgen.sheet.big_digits import LINES as HIGH
from mouldgen.sheet.big_digits import big_digits, read_back
from mouldgen.sheet.card_words import length
from mouldgen.sheet.number_words import grams, runs
from mouldgen.sheet.pot_card import COLUMNS, LINES, Paper, card_text, not_ready_text
from mouldgen.sheet.pot_card_values import CardSpot, PotCard
from mouldgen.sheet.pot_drawing import Mark, drawn, pot_drawing, side_by_side
from mouldgen.units import bar, psi
from tests.pot_cards import HAND_MADE, carded, with_tables

ROOT = Path(__file__).parents[3]
JOBS = sorted(path.stem for path in (ROOT / "presets" / "jobs").glob("*.toml"))
PAPERS: tuple[Paper, ...] = get_args(Paper)
RATED = "drawer-knobs"
# A scale of whole grams tops a small mix up, and nothing is cast before the rest.
COARSE = ("shop.scale=1 g", "order.first_article=false")
GRAMS = re.compile(r"(?<![\w.])(\d+(?:\.\d+)?) g\b")
PRESSURES = re.compile(r"(\d[\d.]*) ?(psi|bar|kPa|MPa|atm)")


def words(card: PotCard, paper: Paper = "a4") -> str:
    """The card with every run of blanks and line ends as one blank."""
    return " ".join(card_text(card, paper=paper).split())


def big_grams(card: PotCard) -> list[tuple[str, str]]:
    """What the big digits of parts A and B say, mix by mix."""
    lines = card_text(card).splitlines()
    found = []
    for mix in card.mixes:
        a, b = (grams(g, digit_g=card.digit_g) for g in (mix.a_g, mix.b_g))
        size = next(s for s in HIGH if any(big_digits(a, size=s)[0] in line for line in lines))
        high, wide = HIGH[size], [len(big_digits(text, size=size)[0]) for text in (a, b)]
        title = next(
            k for k, line in enumerate(lines) if re.match(rf"MIX.* {mix.mixed_ml:.1f} ml", line)
        )
        block = [line.ljust(COLUMNS) for line in lines[title + 1 : title + 1 + high]]
        at_a, at_b = 4, 4 + wide[0] + 2 + 3 + 4
        found.append(
            (
                read_back(tuple(line[at_a : at_a + wide[0]] for line in block)),
                read_back(tuple(line[at_b : at_b + wide[1]] for line in block)),
            )
        )
    return found


# ------------------------------------------------------------------------------------- page


@pytest.mark.parametrize("paper", PAPERS)
@pytest.mark.parametrize("job", JOBS)
def test_every_card_of_every_shipped_job_fits_its_page(job: str, paper: Paper) -> None:
    cards = carded(job).cards

    assert len(cards) == len(carded(job).made.sessions) >= 1
    for card in cards:
        lines = card_text(card, paper=paper).splitlines()
        assert len(lines) <= LINES[paper]
        assert max(map(len, lines)) <= COLUMNS
        assert [line for line in lines if line != line.rstrip()] == []
        assert big_grams(card), "the digits are large or small on every shipped card"


def test_pages_are_those_that_printers_have() -> None:
    # Six lines and ten characters to the inch; ISO 216 A4 is 210 x 297 mm, Letter 8.5 x 11 in.
    assert LINES["a4"] <= 6 * (297 / 25.4 - 1)
    assert LINES["letter"] <= 6 * (11 - 1)
    assert COLUMNS < 10 * 210 / 25.4


def test_a_card_made_up_by_hand_looks_like_this() -> None:
    golden = Path(__file__).with_name("river_rails_card.txt").read_text(encoding="utf-8")

    assert card_text(HAND_MADE) == golden
    assert card_text(HAND_MADE) == card_text(HAND_MADE, paper="a4", block="█")


def test_many_mixes_take_smaller_digits_and_lose_no_grams() -> None:
    one = HAND_MADE.mixes[1]
    told = card_text(replace(HAND_MADE, mixes=(one,) * 4, stops=("Wet.",)), paper="letter")

    assert len(told.splitlines()) <= LINES["letter"]
    assert told.count("[ ] A 88.0 g   [ ] B 73.1 g   A + B  161.1 g") == 4
    assert len(big_grams(replace(HAND_MADE, mixes=(one,)))) == 1, "alone it has big digits"


@given(
    job=st.text("abcz-9", min_size=1, max_size=48),
    colour=st.text("abc -", min_size=1, max_size=70).filter(lambda name: name.strip() != ""),
    grams=st.floats(0.1, 99_999.0),
    digit=st.sampled_from((1.0, 0.1, 0.01)),
    moulds=st.sets(st.integers(1, 999), min_size=1, max_size=30),
    limit=st.none() | st.floats(100.0, 400_000.0),
    rack=st.booleans(),
)
def test_no_line_is_wider_than_the_page_whatever_is_told(
    job: str, colour: str, grams: float, digit: float, moulds: set[int], limit: float | None,
    rack: bool,
) -> None:  # fmt: skip
    mixes = [
        replace(
            mix, a_g=grams, b_g=grams / 2, total_g=1.5 * grams,
            cups=tuple(replace(cup, colour=colour, g=grams, tint_g=grams / 50) for cup in mix.cups),
        )
        for mix in HAND_MADE.mixes
    ]  # fmt: skip
    assert HAND_MADE.pot is not None
    card = replace(
        HAND_MADE, job=job, mixes=tuple(mixes), digit_g=digit, moulds=tuple(sorted(moulds)),
        limit_s=limit, pot=replace(HAND_MADE.pot, rack=rack), tests=0,
    )  # fmt: skip

    assert max(map(len, card_text(card).splitlines())) <= COLUMNS


def test_a_load_that_does_not_fit_is_refused_and_not_cut() -> None:
    with pytest.raises(
        NoAnswerError, match=r"the card of load 2 takes \d+ lines and the page has 59"
    ):
        card_text(replace(HAND_MADE, mixes=HAND_MADE.mixes * 12), paper="letter")


def test_a_terminal_without_blocks_gets_ascii_and_the_same_numbers() -> None:
    card = carded(RATED).cards[0]
    plain = card_text(card, block="#")

    assert plain.isascii()
    assert f"PRESSED by {clock_text(card.close_s)}" in plain
    assert all(line.replace("█", "#") in plain for line in big_digits(f"{card.mixes[0].a_g:.0f}"))
    assert not card_text(card).isascii()


# ------------------------------------------------------------------------------------ grams


@pytest.mark.parametrize("job", JOBS)
def test_no_gram_stands_on_a_card_that_is_not_in_its_mixing(job: str) -> None:
    found = carded(job)
    digit = found.made.question.stock.digit_g
    for card, session in zip(found.cards, found.made.sessions, strict=True):
        weighed = [
            (grams(mix.weighed.a_g, digit_g=digit), grams(mix.weighed.b_g, digit_g=digit))
            for mix in session.portions
        ]
        cups = [cup for mix in session.portions for cup in mix.cups]
        known = {
            *(grams(mix.weighed.total_g, digit_g=digit) for mix in session.portions),
            *(grams(cup.g, digit_g=digit) for cup in cups),
            *(grams(cup.tint_g, digit_g=digit) for cup in cups if cup.tint_g is not None),
            f"{digit:g}",
        }

        assert big_grams(card) == weighed
        assert set(GRAMS.findall(card_text(card))) <= known


def test_cups_of_one_mix_say_which_is_poured_first() -> None:
    (mix,) = carded(RATED).cards[0].mixes
    told = card_text(carded(RATED).cards[0])
    places = re.findall(r"^ +\d   \w.* g .*\[ \] (\d)(?:st|nd)$", told, re.MULTILINE)

    ends = sorted(cup.done_s for cup in mix.cups)
    assert len(places) == len(mix.cups) == 2
    assert [int(place) - 1 for place in places] == [ends.index(cup.done_s) for cup in mix.cups]


def test_a_tint_is_told_where_it_is_weighed_and_else_has_a_blank() -> None:
    weighed = carded("boathouse-pegs", "shop.scale=0.1 g", 'colour=[{name="smoke",tint=0.02}]')
    (cup,) = weighed.cards[0].mixes[0].cups
    assert cup.tint_g is not None
    assert f"tint {cup.tint_g:.1f} g" in words(weighed.cards[0])
    assert "tint _____ g" in words(carded("boathouse-pegs").cards[0])
    assert "tint" not in words(carded("sash-pulls").cards[0]), "nothing is stirred in"


@pytest.mark.parametrize("job", JOBS)
def test_the_clock_is_that_of_the_session(job: str) -> None:
    found = carded(job)
    for card, session in zip(found.cards, found.made.sessions, strict=True):
        told = card_text(replace(card, digit_g=card.digit_g), block="#")
        clock = session.clock
        assert f"POUR at {clock_text(clock.pour_s)}" in told
        by = re.search(r"(?:PRESSED|SHUT) by (\S+)   LIMIT (\S+)", told)
        assert by is not None
        # Rounded to the strict side: shut by no later, the limit no later than it is.
        assert clock.close_s <= _seconds(by[1]) < clock.close_s + 1.0
        assert clock.limit_s - 1.0 < _seconds(by[2]) <= clock.limit_s + 1e-5


def _seconds(text: str) -> int:
    total = 0
    for part in text.split(":"):
        total = 60 * total + int(part)
    return total


# --------------------------------------------------------------------------------- pressure


@given(
    pressure=st.none() | st.floats(1.0, 2000.0),
    rating=st.none() | st.floats(1.0, 1000.0),
    paper=st.sampled_from(PAPERS),
)
def test_no_pressure_above_the_rating_is_ever_told(
    pressure: float | None, rating: float | None, paper: Paper
) -> None:
    card = with_tables(carded(RATED), pour={"pressure": pressure}, pot={"rating": rating})
    told = PRESSURES.findall(card_text(card, paper=paper))

    if rating is None:
        assert told == []
        assert words(card).count("______ psi (______ bar) gauge") == 2
        return
    allowed = {"psi": float(f"{psi(rating):.3g}"), "bar": float(f"{bar(rating):.1f}")}
    assert all(float(number) <= allowed[unit] for number, unit in told)
    asked_for = pressure is not None and pressure <= rating
    assert len(told) == (4 if asked_for else 2), "the rating, and the pressure where it is allowed"
    assert ("PRESSURE ______ psi" in words(card)) is not asked_for


def test_a_pressure_without_a_pot_has_a_blank() -> None:
    card = with_tables(carded("sash-pulls"), pour={"pressure": 300.0})

    assert card.pot is None
    assert PRESSURES.findall(card_text(card)) == []
    assert "PRESSURE ______ psi" in words(card)


def test_no_pot_and_no_pressure_leave_the_pot_out() -> None:
    told = words(carded("sash-pulls").cards[0])

    assert told.startswith("POUR CARD SASH-PULLS")
    assert "SHUT by" in told
    assert not re.search(r"psi|PRESS|valve|VENT|-- POT", told)


# ------------------------------------------------------------------------------ what is said


@pytest.mark.parametrize(
    "box",
    [
        "[ ] wood at constant weight, last two weighings",
        "[ ] mould water-tested, then DRY",
        "[ ] held down by the lid's legs",
        "[ ] relief valve CHECKED",
        "[ ] valve opened SLOWLY",
        "[ ] SLOWLY, to nothing",
        "[ ] floor plate in",
        "[ ] start 0:00",
        "[ ] tint",
        "[ ] done",
        "Date ____",
        "Shop _____ C _____ F",
        "RH ____ %",
        "mixed ______ poured ______ pressed ______",
        "HOLD until ________ ___:___ (72 h from mixing)",
        "DEMOULD after ________ ___:___ (72 h after mixing)",
        "TURN after ________ ___:___ (7 d after mixing)",
        "Mould 1 of 22: piece 1 of 22 cast, 18 ordered; FIRST ARTICLE, alone",
        "Colour: smoke; lettered XX-1 0.90",
        "TO THE LINE, 82.9 mm (3 17/64 in) over the inside floor",
        "headroom",
        "(clock: 21 C, 70 F)",
    ],
)
def test_the_first_card_of_the_demo_has(box: str) -> None:
    assert box in words(carded("boathouse-pegs").cards[0])


@pytest.mark.parametrize(
    "box",
    ["-> 2 catch moulds of 30 ml", "Moulds 1-4 of 22: pieces 1-4 of 22 cast, 18 ordered Colour"],
)
def test_the_first_card_on_a_coarse_scale_has(box: str) -> None:
    assert box in words(carded("boathouse-pegs", *COARSE).cards[0])


@pytest.mark.parametrize("job", JOBS)
def test_the_first_article_is_alone_on_its_card_and_the_rest_waits_for_it(job: str) -> None:
    """Of wood that is the customer's a test is cast instead, and told on every card."""
    found = carded(job)
    alone = not found.answer.job.order.customers_wood
    for card in found.cards:
        told = words(card)
        assert ("FIRST ARTICLE, alone" in told) is (alone and card.load == 1)
        waits = "[ ] FIRST ARTICLE (load 1) finished, shown, approved on ____________"
        assert (waits in told) is (alone and card.load > 1)
        assert ("TEST CAST FIRST" in told) is not alone
    if alone:
        assert [card.moulds for card in found.cards if card.load == 1] == [(1,)]


def test_the_approval_is_asked_for_before_the_first_pour_of_a_load_and_not_again() -> None:
    later = replace(HAND_MADE, tests=0, first_alone=True)
    assert (later.load, later.pour) == (2, 2)
    waits = "FIRST ARTICLE (load 1) finished, shown, approved on"
    assert waits not in words(later)
    assert waits in words(replace(later, pour=1, since=None))
    assert "FIRST ARTICLE, alone" in words(replace(later, load=1))


def test_no_first_article_is_told_of_where_nobody_is_shown_one() -> None:
    for found in (carded("boathouse-pegs", *COARSE), carded("bell-pulls", "order.pieces=1")):
        assert not any("FIRST ARTICLE" in words(card) for card in found.cards)


@pytest.mark.parametrize("paper", PAPERS)
@pytest.mark.parametrize("job", JOBS)
def test_every_caution_that_applies_is_told_and_no_other(job: str, paper: Paper) -> None:
    for card in carded(job).cards:
        told = words(card, paper)
        apply = cautions_for(card.kind, pressure=card.pressed)
        for caution in apply:
            assert caution.short in told or caution.text in told, caution.topic
        assert "food contact" in told
        other = {"epoxy": "isocyanate|RESPIRATOR|asthma", "urethane": "epoxy"}[card.kind]
        assert not re.search(other, told)


@pytest.mark.parametrize("kind", ["epoxy", "urethane"])
def test_a_card_without_a_pot_tells_of_none(kind: str) -> None:
    bare = replace(HAND_MADE, kind=kind, pot=None, pressed=False, pressure_kpa=None)
    pot = re.compile(r"\bpots?\b|\bvent(?!ilate)\w*|pressur\w*|pressed|clamps?\b", re.IGNORECASE)
    for paper in PAPERS:
        told = words(bare, paper).replace("wood, pressed in slowly", "")
        assert pot.findall(told) == []
        assert "[ ] refilled, only once that opens" in told
        assert "Demould, and pour again, only when" in told or "For a second pour, refill" in told
    assert "[ ] vented slowly, only once that opens; refilled; pressed again" in words(HAND_MADE)


@pytest.mark.parametrize(
    ("kind", "guard"),
    [
        ("epoxy", "[ ] GLOVES, EYES, fresh air; a mask where the data sheet asks for one"),
        ("urethane", "[ ] GLOVES, EYES, RESPIRATOR as the data sheet names it; air drawn away"),
    ],
)
def test_hands_eyes_and_lungs_by_the_kind_of_resin(kind: str, guard: str) -> None:
    assert guard in words(replace(HAND_MADE, kind=kind))


def test_volumes_name_both_fluid_ounces_and_no_ounce_stands_alone() -> None:
    for job in JOBS:
        for told in map(words, carded(job).cards):
            assert re.search(r"ml \(\d+\.\d\d US fl oz, \d+\.\d\d imperial fl oz\)", told)
            assert re.findall(r"(?<!US fl )(?<!imperial fl )\boz\b", told) == []


def test_each_of_several_pours_tells_its_window_and_height() -> None:
    first, second, third = map(words, carded("apple-toppers").cards[:3])

    assert "LOAD 1 of 3, POUR 1 of 3" in first
    assert "NOT BEFORE" not in first
    assert "wood at constant weight" in first
    assert "POUR 2 from 2 h to 24 h after mixing: ________ ___:___" in first
    assert "HOLD until ________ ___:___ (2 h from mixing)" in first, "vented when the window opens"
    assert "[ ] NOT BEFORE 2 h and not after 24 h from pour 1, mixed" in second
    assert "NOT BEFORE 2 h and not after 24 h from pour 2" in third
    assert "POUR 4" not in third
    assert "HOLD until ________ ___:___ (72 h from mixing)" in third
    assert [("DEMOULD" in told, "TURN" in told) for told in (first, second, third)] == [
        (False, False), (False, False), (True, True),
    ]  # fmt: skip
    heights = [card.fill_mm for card in carded("apple-toppers").cards[:3]]
    assert heights == sorted(set(heights))


def test_wood_that_cannot_be_had_again_is_cast_after_a_test() -> None:
    assert carded("apple-toppers").answer.job.order.customers_wood
    assert all("[ ] TEST CAST FIRST" in words(card) for card in carded("apple-toppers").cards)
    assert "TEST CAST" not in words(carded("boathouse-pegs").cards[0])


def test_pieces_are_numbered_through_all_loads() -> None:
    for job in JOBS:
        found = carded(job)
        last_pour = [card for card in found.cards if card.pour == 1]
        ranges = [card.pieces for card in last_pour]
        assert ranges[0][0] == 1
        assert all(one[1] + 1 == two[0] for one, two in pairwise(ranges))
        assert ranges[-1][1] == last_pour[0].all_pieces >= last_pour[0].ordered


def test_a_hold_of_the_pot_goes_before_the_data_sheet() -> None:
    card = with_tables(carded("boathouse-pegs"), pot={"hold": 100 * 3600.0})

    assert "HOLD until ________ ___:___ (4.2 d pressed)" in words(card)
    assert card.demould_s == 100 * 3600.0, "nothing comes out of a pot that is shut"


# -------------------------------------------------------------------------------- not ready


def test_what_must_be_fixed_stands_on_top_and_leaves_the_page_whole() -> None:
    long = "The gap is too narrow for this resin at this temperature. " * 12
    card = replace(carded("boathouse-pegs").cards[0], stops=(long.strip(), "b", "c"))
    lines = card_text(card, paper="letter").splitlines()

    assert lines[2].startswith("NOT READY: The gap is too narrow")
    assert "NOT READY: 2 more" in card_text(card)
    assert len(lines) <= LINES["letter"]
    assert max(map(len, lines)) <= COLUMNS
    assert "NOT READY" not in card_text(carded("boathouse-pegs").cards[0])


def test_a_job_with_nothing_to_weigh_says_so() -> None:
    told = not_ready_text("river-rails", ["No gap meets every rule."])

    assert "NOT READY: No gap meets every rule." in told
    assert GRAMS.findall(told) == []


# ----------------------------------------------------------------------------------- pieces


def test_moulds_are_drawn_where_they_stand() -> None:
    drawn = pot_drawing(
        [
            CardSpot(1, (1, 1), x=0.0, y=0.6),
            CardSpot(1, (2, 2), x=0.6, y=0.0),
            CardSpot(1, (13, 16), x=-0.3, y=-0.4),
        ]
    )
    at = {
        name: (row, line.index(name)) for name in ("(1)", "(2)", "(13-16)")
        for row, line in enumerate(drawn) if name in line
    }  # fmt: skip

    assert len({len(line) for line in drawn}) == 1
    assert at["(1)"][0] < at["(2)"][0] < at["(13-16)"][0], "the back of the pot is on top"
    assert at["(13-16)"][1] < at["(1)"][1] < at["(2)"][1]


def test_a_number_without_room_is_a_dot() -> None:
    crowd = [CardSpot(1, (k, k), x=-0.6 + 0.1 * k, y=0.0) for k in range(10, 14)]
    (line,) = (line for line in pot_drawing(crowd) if "(10)" in line)

    assert "(11)" not in line
    assert line.count("(") == line.count(")")


@pytest.mark.parametrize("x", [-0.72, 0.72])
def test_a_number_by_the_wall_is_moved_and_not_lost(x: float) -> None:
    # A mould of two digits at the wall of the lines in the middle, as the demo's load 5 has it.
    (line,) = (line for line in pot_drawing([CardSpot(1, (19, 19), x=x, y=0.1)]) if "19" in line)

    assert "(19)" in line
    assert line.strip().startswith("|")
    assert line.strip().endswith("|")
    assert abs(line.index("(19)") + 1.5 - (11 + 11 * x)) <= 2.5


@pytest.mark.parametrize("job", JOBS)
def test_every_mould_of_a_shipped_card_is_drawn_by_its_number(job: str) -> None:
    for card in carded(job).cards:
        if card.pot is not None and len(card.pot.spots) <= 4:
            text = card_text(card)
            for spot in card.pot.spots:
                first, last = spot.moulds
                name = f"({first})" if first == last else f"({first}-{last})"
                assert spot.tier > 1 or name in text, (card.load, name)


def test_a_rack_and_a_tray_stand_on_the_card_as_pot_tells_them() -> None:
    # The tray's floor takes 2 mm of the height, and moulds stand in the seats of the rack.
    from mouldgen.layout.pot_order import pot_of_order

    extras = "extras={drip_tray=true, pot_rack=true}"
    found = carded("boathouse-pegs", extras)
    bare = carded("boathouse-pegs").cards[0].pot
    card, answer = found.cards[0], found.answer
    plan = pot_of_order(
        answer.job, answer.size, sizes=answer.sizes, blanks=answer.moulds, printed=answer.printed
    )
    assert card.pot.headroom_mm == pytest.approx(plan.loads[0].left_mm)
    assert card.pot.headroom_mm == pytest.approx(bare.headroom_mm - plan.tray_mm)
    seats = [(p.x_mm, p.y_mm) for load in plan.loads for t in load.tiers for p in t.places]
    radius = card.pot.diameter_mm / 2.0
    for spot in card.pot.spots:
        at = (spot.x * radius, spot.y * radius)
        assert min(math.dist(at, seat) for seat in seats) < 1e-9, "not in a seat of the rack"


@pytest.mark.parametrize("job", JOBS)
def test_every_mould_of_a_load_has_its_place_in_the_pot(job: str) -> None:
    for card in carded(job).cards:
        if card.pot is None or not card.pot.spots:
            continue
        standing = [n for s in card.pot.spots for n in range(s.moulds[0], s.moulds[1] + 1)]
        assert standing == list(card.moulds)
        assert all(spot.x**2 + spot.y**2 < 1.0 for spot in card.pot.spots)


def test_short_lengths_are_in_thousandths_and_runs_are_short() -> None:
    assert length(3.0) == "3.0 mm (0.118 in)"
    assert length(82.9) == "82.9 mm (3 17/64 in)"
    assert runs((1, 2, 3, 7, 9, 10)) == "1-3, 7, 9-10"


def test_moulds_that_are_used_again_are_fillings_by_number() -> None:
    first, second, third = map(words, carded("orchard-grips").cards[:3])
    assert "Filling 1 of 14 (moulds used again): piece 1 of 14 cast" in first
    assert "Fillings 2-5 of 14 (moulds used again): pieces 2-5 of 14 cast" in second
    assert "Fillings 6-8 of 14 (moulds used again): pieces 6-8 of 14 cast" in third


def test_a_larger_drawing_holds_bare_numbers_where_they_stand_and_two_stand_side_by_side() -> None:
    marks = [Mark("7", 0.0, 0.75), Mark("12", 0.5, 0.0), Mark("c", -0.5, -0.5)]
    lines = drawn(marks, columns=35, lines=17)

    assert len(lines) == 17
    assert {len(line) for line in lines} == {35}
    assert lines[2][17] == "7"  # three quarters of eight lines above the middle
    assert lines[8][25:27] == "12"
    assert lines[12].count("c") == 1
    both = side_by_side([lines, lines], columns=80).splitlines()
    assert len(both) == 17
    assert both[8].count("12") == 2
    assert len(side_by_side([lines, lines], columns=60).splitlines()) == 2 * 17 + 1
