"""Big digits say what they were asked to say, and no two of them look alike."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from mouldgen.errors import InputError
from mouldgen.sheet.big_digits import LINES, Size, big_digits, read_back

NUMBERS = st.text("0123456789:.", min_size=1, max_size=9)
SIZES: tuple[Size, ...] = ("large", "small")


@pytest.mark.parametrize("size", SIZES)
@given(text=NUMBERS)
def test_what_is_drawn_reads_back(size: Size, text: str) -> None:
    drawn = big_digits(text, size=size)

    assert read_back(drawn) == text
    assert len(drawn) == LINES[size]
    assert len({len(line) for line in drawn}) == 1


@pytest.mark.parametrize("size", SIZES)
def test_no_digit_looks_like_another(size: Size) -> None:
    assert len({big_digits(sign, size=size) for sign in "0123456789"}) == 10


def test_digits_are_drawn_like_this() -> None:
    assert big_digits("12.5") == (
        "  ██    ██████      ██████",
        "████        ██      ██    ",
        "  ██    ██████      ██████",
        "  ██    ██              ██",
        "██████  ██████  ██  ██████",
    )
    assert big_digits("7:40", size="small") == (
        "▀▀█ ▄ █ █ █▀█",
        " █  ▄ ▀▀█ █ █",
        " ▀      ▀ ▀▀▀",
    )


def test_a_large_one_takes_another_block() -> None:
    drawn = big_digits("88", block="#")

    assert set("".join(drawn)) == {"#", " "}
    assert drawn == tuple(line.replace("█", "#") for line in big_digits("88"))


@pytest.mark.parametrize("text", ["", "12 g", "-3", "1/4"])
def test_other_signs_are_refused(text: str) -> None:
    with pytest.raises(InputError, match="cannot be drawn large"):
        big_digits(text)


def test_what_is_no_number_is_not_read() -> None:
    with pytest.raises(InputError, match="no number"):
        read_back(("██████",) * 5)
