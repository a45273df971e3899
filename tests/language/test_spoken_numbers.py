"""Numbers the way people say them: said in any of the usual ways, a number comes back."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from assistant.language.spoken_numbers import NumberReader, Said
from knowledge import load

WORDS = load().number_words
READER = NumberReader(WORDS)
UNITS = [
    "zero", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten", "eleven", "twelve",
    "thirteen", "fourteen", "fifteen", "sixteen", "seventeen", "eighteen", "nineteen",
]  # fmt: skip
TENS = {20: "twenty", 30: "thirty", 40: "forty", 50: "fifty", 60: "sixty", 70: "seventy", 80: "eighty", 90: "ninety"}


def values(text: str) -> list[float]:
    """Return what the words can mean, rounded past the noise of floats."""
    return [round(value, 9) for value in read(text).values]


def read(text: str) -> Said:
    pieces = [float(word) if word[0].isdigit() else word for word in text.split()]
    said = READER.read(pieces)
    assert said is not None, text
    assert said.length == len(pieces), f"{text}: only {said.length} words taken"
    return said


def below_hundred(number: int) -> str:
    if number < 20:
        return UNITS[number]
    ten, unit = number // 10 * 10, number % 10
    return TENS[ten] + (f" {UNITS[unit]}" if unit else "")


def in_full(number: int) -> str:
    """Two hundred and forty one; one thousand two hundred."""
    if number >= 1000:
        rest = number % 1000
        return f"{in_full(number // 1000)} thousand" + (f" {in_full(rest)}" if rest else "")
    if number < 100:
        return below_hundred(number)
    rest = number % 100
    return f"{UNITS[number // 100]} hundred" + (f" and {below_hundred(rest)}" if rest else "")


def without_and(number: int) -> str:
    return in_full(number).replace(" and ", " ")


def hundred_left_out(number: int) -> str:
    """Two forty one, two oh eight; for 101 to 999 without a round hundred."""
    hundreds, rest = divmod(number, 100)
    return f"{UNITS[hundreds]} {'oh ' if rest < 10 else ''}{below_hundred(rest)}"


def digit_by_digit(number: int) -> str:
    return " ".join(UNITS[int(digit)] for digit in str(number))


HOW_A_HUNDRED_IS_SAID = [in_full, without_and, hundred_left_out, digit_by_digit]


@given(st.integers(0, 99_999), st.sampled_from([in_full, without_and]))
def test_a_number_said_in_full_comes_back(number: int, say: object) -> None:
    assert callable(say)
    assert values(say(number)) == [number]


@given(st.integers(101, 999).filter(lambda n: n % 100), st.sampled_from(HOW_A_HUNDRED_IS_SAID))
def test_three_figures_come_back_however_they_are_said(number: int, say: object) -> None:
    assert callable(say)
    assert values(say(number)) == [number]


@given(st.integers(0, 999), st.integers(0, 999).map(str), st.sampled_from(["point", "decimal", "dot"]))
def test_decimals_come_back_digit_by_digit(whole: int, decimals: str, point: str) -> None:
    said = f"{in_full(whole)} {point} {' '.join(UNITS[int(d)] for d in decimals)}"
    assert values(said) == [float(f"{whole}.{decimals}")]


@given(st.integers(21, 99).filter(lambda n: n % 10), st.integers(1, 9))
def test_a_digit_behind_a_two_figure_number_is_a_tenth_or_a_unit(whole: int, digit: int) -> None:
    said = f"{below_hundred(whole)} {UNITS[digit]}"
    assert values(said) == [round(whole + digit / 10, 9), whole * 10 + digit]


@given(st.integers(1, 99_999))
def test_minus_turns_the_sign(number: int) -> None:
    assert values(f"minus {in_full(number)}") == [-number]


@given(st.integers(13, 19), st.integers(1, 9))
def test_a_teen_may_have_been_a_ten_and_the_other_way_round(teen: int, hundreds: int) -> None:
    ten = (teen - 10) * 10
    assert read(UNITS[teen]).misheard == ten
    assert read(TENS[ten]).misheard == teen
    assert read(f"{UNITS[hundreds]} {UNITS[teen]}").misheard == hundreds * 100 + ten


@pytest.mark.parametrize(
    ("said", "value"),
    [
        ("two forty one", 241), ("point three", 0.3), ("four point seven", 4.7), ("one twenty", 120),
        ("one oh five", 105), ("two oh eight", 208), ("two hundred and forty", 240),
        ("a hundred twenty", 120), ("hundred twenty", 120), ("twenty four", 24), ("zero point nine", 0.9),
        ("oh point nine", 0.9), ("nine and a half", 9.5), ("half", 0.5), ("a half", 0.5),
        ("two tenths", 0.2), ("three quarters", 0.75), ("two and three quarters", 2.75),
        ("twelve hundred", 1200), ("two four one", 241), ("zero zero zero", 0),
        ("point twenty five", 0.25), ("2 hundred", 200), ("2 forty", 240), ("4 point 7", 4.7),
        ("point 3", 0.3), ("9 and a half", 9.5), ("one hundred and five point five", 105.5),
        ("fourty five", 45), ("minus five", -5), ("negative point five", -0.5),
    ],
)  # fmt: skip
def test_a_way_of_saying_it(said: str, value: float) -> None:
    assert values(said) == [value]


@pytest.mark.parametrize("words", ["oh", "o", "and", "a", "point", "minus", "fan", "oh boy"])
def test_a_small_word_alone_is_no_number(words: str) -> None:
    assert READER.read(words.split()) is None


def test_four_seven_is_a_figure_pair_or_a_decimal() -> None:
    assert values("four seven") == [47, 4.7]


def test_reading_stops_where_the_number_stops() -> None:
    said = READER.read(["two", "forty", "one", "volts"])
    assert said is not None
    assert (said.length, said.values) == (3, (241,))
