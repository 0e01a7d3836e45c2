"""What a maker says of a load: understood as it is meant, or asked back."""

from __future__ import annotations

import math
from collections.abc import Sequence

import pytest
from hypothesis import given
from hypothesis import strategies as st

from mouldgen.castings.load_words import listed
from mouldgen.castings.said import Said, read_result
from mouldgen.errors import UsageError

LOAD = range(1, 8)


def told(said: Said) -> dict[int, str]:
    """Every casting that is not simply good, in short."""
    found = {}
    for draft in said.drafts:
        parts = ["void"] * draft.voids + [draft.outcome] * (draft.outcome != "good")
        parts += [f"{draft.worst_mm:g}"] if draft.worst_mm is not None else []
        parts += [draft.place] if draft.place else []
        parts += [f"{draft.rework_min:g} min"] if draft.rework_min else []
        if parts:
            found[draft.number] = " ".join(parts)
    return found


UNDERSTOOD: list[tuple[str, dict[int, str]]] = [
    ("all good", {}),
    ("good", {}),
    ("Everything fine.", {}),
    ("no voids", {}),
    ("none", {}),
    ("the rest good", {}),
    ("voids in 3 and 7, 7 scrapped, 25 min", {3: "void repaired 25 min", 7: "void scrapped"}),
    # A time says what it was spent on, and not what became of the casting named before it.
    ("voids in 3 and 7; 7 scrapped; 25 minutes repair",
     {3: "void repaired 25 min", 7: "void scrapped"}),
    ("holes in 3 and 7, 7 scrapped, 25 min of repairs",
     {3: "void repaired 25 min", 7: "void scrapped"}),
    ("25 min, repair in 3", {3: "void repaired 25 min"}),
    ("voids in 3 and 7 and 7 scrapped", {3: "void repaired", 7: "void scrapped"}),
    ("3 has voids and 7 is scrapped", {3: "void repaired", 7: "void scrapped"}),
    ("7 had voids and was scrapped", {7: "void scrapped"}),
    ("voids in 1-4", dict.fromkeys((1, 2, 3, 4), "void repaired")),
    ("voids in 1 to 4", dict.fromkeys((1, 2, 3, 4), "void repaired")),
    ("voids: #1, no. 2 & mould 4", dict.fromkeys((1, 2, 4), "void repaired")),
    ("2 scrapped", {2: "void scrapped"}),
    ("2 scrapped, no voids", {2: "scrapped"}),
    ("3, 7 scrapped", {3: "void scrapped", 7: "void scrapped"}),
    ("all scrapped", dict.fromkeys(LOAD, "void scrapped")),
    ("voids in 3, 3 good", {3: "void"}),
    ("worst 3 mm in 7", {7: "void repaired 3"}),
    ("worst 2 mm, voids in 3", {3: "void repaired 2"}),
    ("voids in 7 of 1/8 in at the top", {7: "void repaired 3.175 at the top"}),
    ('voids 1/8" in 5', {5: "void repaired 3.175"}),
    ("1 1/8 in in 3", {3: "void repaired 28.575"}),
    ("pits in 3 in the middle of the flutes and 7 scrapped",
     {3: "void repaired in the middle of the flutes", 7: "void scrapped"}),
    ("voids in 2 at the Top and bottom", {2: "void repaired at the Top and bottom"}),
    ("voids at the top in 3 and 4",
     {3: "void repaired at the top", 4: "void repaired at the top"}),
    ("voids in 3 and 7, both repaired, 10 min each",
     {3: "void repaired 10 min", 7: "void repaired 10 min"}),
    ("10 min on 3, 15 min on 7, voids in 3 and 7",
     {3: "void repaired 10 min", 7: "void repaired 15 min"}),
    ("1 h 10 mins, voids in 2", {2: "void repaired 70 min"}),
    ("all scrapped, 14 min", dict.fromkeys(LOAD, "void scrapped 2 min")),
    ("7 min, all good", dict.fromkeys(LOAD, "1 min")),
    ("nr 3 void 1/8 in near top, fixed 10 min", {3: "void repaired 3.175 near top 10 min"}),
    ("void 1/8 in. in 3; pinholes in nr. 5",
     {3: "void repaired 3.175", 5: "void repaired"}),
    ("3 big void, filled with CA glue, 7 tossed", {3: "void repaired", 7: "void scrapped"}),
    ("3 scrapped, all else good", {3: "void scrapped"}),
    ("voids in 3, all the others good", {3: "void repaired"}),
]  # fmt: skip


@pytest.mark.parametrize(("text", "means"), UNDERSTOOD)
def test_what_is_said_is_understood(text: str, means: dict[int, str]) -> None:
    said = read_result(text, LOAD)

    assert told(said) == means
    assert said.still_open == ()
    assert [draft.number for draft in said.drafts] == list(LOAD)


@pytest.mark.parametrize(
    ("text", "still_open", "means"),
    [
        ("1-4 good", (5, 6, 7), {}),
        ("1-3 good, 4 scrapped", (5, 6, 7), {4: "void scrapped"}),
        ("1-3 good, rest open", (4, 5, 6, 7), {}),
        ("voids in 2, rest left open", (1, 3, 4, 5, 6, 7), {2: "void repaired"}),
        ("voids in 2, 6 and 7 open", (6, 7), {2: "void repaired"}),
        ("1-3 good, others scrapped", (), dict.fromkeys((4, 5, 6, 7), "void scrapped")),
    ],
)
def test_what_was_not_turned_yet_stays_open(
    text: str, still_open: tuple[int, ...], means: dict[int, str]
) -> None:
    said = read_result(text, LOAD)

    assert said.still_open == still_open
    assert told(said) == means


@pytest.mark.parametrize(
    ("text", "asks"),
    [
        ("", "what was found on the castings?"),
        ("25 min", "what was found on the castings?"),
        ("3", 'what about "3"?'),
        ("9 scrapped", "there is no casting 9 in this load, which has 1-7. Allowed: the numbers"),
        ("9 scrapped", "If 9 is how many there were, which ones? Such as: 1 scrapped."),
        ("voids in 9", "Such as: voids in 1."),
        ("two scrapped", 'which ones do you mean by "two"?'),
        ("scrapped", 'which castings are meant by "scrapped"?'),
        ("voids", "or: all voids"),
        ("voids in 3 scrapped", 'does "3" belong to "voids" or to "scrapped"?'),
        ("voids in 3, both repaired", "which two are both of them?"),
        ("voids in 3; all scrapped", "all of the load, or all of those just named?"),
        ("3 good, 3 scrapped", "was 3 good or scrapped in the end?"),
        ("3 repaired, 3 scrapped", "was 3 repaired or scrapped in the end?"),
        ("voids in 3, no voids in 3", "did 3 have voids or not?"),
        ("no voids, worst 3 mm in 2", "did 2 have voids"),
        ("worst 2 mm, voids in 3 and 4", "in which casting was the worst void?"),
        ("worst 2.5 in 3", 'is "2.5 in 3" 2.5 inches or 2.5 mm? Allowed: 2.5 inch in 3, or 2.5 mm'),
        ("voids in 3, .5in 3", "is \".5in 3\" .5 inches or .5 mm?"),
        ("voids in 3,5 mm", 'is "3,5 mm" one number or two?'),
        ("voids at flute 2", 'is 2 in "at flute 2" a casting or a part of the place?'),
        ("voids in 3, 25 min, 5 min", "the minutes were told twice: which count?"),
        ("voids in 7-3", 'which castings are "7-3"?'),
        ("rest good, rest scrapped", "the rest was spoken of twice"),
        ("the rest", "what about the rest?"),
        ("no scrapped", 'what is meant by "no scrapped"?'),
        ("purple", 'what does "purple" say of the castings?'),
        ("3 not good", 'what does "not" say'),
        ("voids in 3 = 7", '"=" cannot be read here'),
        ("3 open, 3 scrapped", "what was found on 3?"),
        ("voids in 3, 10 min on 4, 4 open", "what was found on 4?"),
        ("voids in 1000000000000-2000000000000", "which castings are"),
        ("all good but 3", 'what was found on those behind "but"? Allowed: say it of them'),
        ("all good but void in 3", "then of the rest: voids in 3, rest good"),
        ("voids in all but 3", 'what was found on those behind "but"?'),
        ("all fine except 3", 'what was found on those behind "except"?'),
        ("all, apart from 3, good", 'what was found on those behind "apart"?'),
        ("void in 3, left as is", "was it left as it is, void and all?"),
        ("void in 3, left it", "voids in 3, 3 good: it had voids and was left so"),
        ("2 bad", 'what became of a "bad" one? Allowed: voids in 3; 3 repaired; 3 scrapped'),
        ("3 void, 3/16", "3/16 of what? Allowed: a size or a time with its unit: 3/16 in"),
        ("voids " * 1000, "longer than"),
        ("7" * 41 + " scrapped", f'"{"7" * 41}" is no word and no number'),
        ("voids in " + "no" * 400, 'no" is no word and no number'.replace("no", "no ...", 1)),
        ("3 good, scrapped, repaired", "was 3 good or repaired or scrapped in the end?"),
    ],
)  # fmt: skip
def test_what_could_mean_two_things_is_asked_back(text: str, asks: str) -> None:
    with pytest.raises(UsageError) as refused:
        read_result(text, LOAD)

    assert asks in str(refused.value)


def test_of_one_casting_no_number_is_needed() -> None:
    assert told(read_result("voids at the top, worst 3 mm, scrapped", [12])) == {
        12: "void scrapped 3 at the top"
    }


def test_what_is_supposed_is_told() -> None:
    assert read_result("2 scrapped, 3 repaired", LOAD).supposed == (2, 3)
    assert read_result("voids in 2 and 3, 2 scrapped", LOAD).supposed == ()
    assert read_result("2 scrapped, no voids", LOAD).supposed == ()


SUBSETS = st.sets(st.integers(1, 12), min_size=1, max_size=12)


@given(
    voids=SUBSETS,
    scrapped=st.sets(st.integers(1, 12), max_size=12),
    minutes=st.integers(0, 600),
    worst=st.floats(0.1, 50.0).map(lambda mm: round(mm, 2)),
    shuffled=st.randoms(use_true_random=False),
)
def test_a_sentence_in_any_order_means_the_same(
    voids: set[int], scrapped: set[int], minutes: int, worst: float, shuffled: object
) -> None:
    scrapped &= voids
    clauses = [f"voids in {listed(sorted(voids))}"]
    clauses += [f"{listed(sorted(scrapped))} scrapped"] if scrapped else []
    clauses += [f"{minutes} min"] if minutes else []
    clauses += [f"worst {worst} mm in {min(voids)}"]
    shuffled.shuffle(clauses)  # type: ignore[attr-defined]
    said = read_result("; ".join(clauses), range(1, 13))

    of = {draft.number: draft for draft in said.drafts}
    assert {n for n, draft in of.items() if draft.voids} == voids
    assert {n for n, draft in of.items() if draft.outcome == "scrapped"} == scrapped
    assert {n for n, draft in of.items() if draft.outcome == "repaired"} == voids - scrapped
    assert {n: d.worst_mm for n, d in of.items() if d.worst_mm} == {min(voids): worst}
    assert math.isclose(sum(draft.rework_min for draft in said.drafts), minutes, abs_tol=1e-9)
    assert said.minutes == pytest.approx(minutes)
    takers = (voids - scrapped) or voids
    assert all(of[n].rework_min == 0 for n in of if n not in takers)


WORDS = st.sampled_from(
    (
        "voids", "void", "in", "3", "7", "1-4", "99", "and", ",", ";", ".", "scrapped",
        "repaired", "good", "open", "all", "rest", "both", "worst", "mm", "1/8", "at",
        "the", "top", "25", "min", "each", "no", "none", "of", "flute", "two", '"', "-",
        ":", "3.5", "h", "#", "max", "0",
    )
)  # fmt: skip


@given(words=st.lists(WORDS, max_size=14), numbers=st.sets(st.integers(1, 9), min_size=1))
def test_any_words_are_understood_or_asked_back(words: Sequence[str], numbers: set[int]) -> None:
    load = sorted(numbers)
    try:
        said = read_result(" ".join(words), load)
    except UsageError:
        return
    closed = [draft.number for draft in said.drafts]
    assert sorted([*closed, *said.still_open]) == load
    for draft in said.drafts:
        assert draft.voids or (draft.worst_mm is None and draft.place == "")
        assert draft.rework_min >= 0.0


@given(text=st.text(max_size=40))
def test_any_text_is_understood_or_asked_back(text: str) -> None:
    try:
        said = read_result(text, LOAD)
    except UsageError:
        return
    assert said.drafts


@pytest.mark.parametrize("word", ["voids\x00in 3", "\u0feb3", "3 \x1b[31mbad"])
def test_a_question_steers_no_terminal(word: str) -> None:
    # What cannot be shown is read as a blank: it was once quoted back as it stood.
    said = ""
    try:
        read_result(word, LOAD)
    except UsageError as problem:
        said = str(problem)
    assert said.isprintable()


def test_what_cannot_be_shown_is_a_blank() -> None:
    assert told(read_result("voids\x00in\x07 3", LOAD)) == told(read_result("voids in 3", LOAD))
