"""Lengths in and out. An inch is 2.54 cm by definition (common knowledge, no source)."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from evenround.tables.lengths import format_length, parse_length


@pytest.mark.parametrize(
    ("text", "cm"),
    [
        ("56cm", 56.0),
        ("560 mm", 56.0),
        ("0.56 m", 56.0),
        ("22 in", 55.88),
        ('22 1/2"', 57.15),
        ("22½ in", 57.15),
        ("22 ½ inches", 57.15),
        ("22-1/2 in", 57.15),
        ('22.5"', 57.15),
        ("22.5\u201d", 57.15),
        ("½ in", 1.27),
        ("1 ft", 30.48),
        ("1 ft 10 in", 55.88),
        ("1' 10\"", 55.88),
        ("1\u2032 10\u2033", 55.88),
        ("-1 in", -2.54),
        ("\u22121 in", -2.54),
        ("+2 cm", 2.0),
        ("56,5 cm", 56.5),
        ("  56 CM ", 56.0),
        ("4 in", 10.16),  # trade.md, Words: 4 in is 10.16 cm, never 10
    ],
)
def test_texts_with_a_unit(text: str, cm: float) -> None:
    assert parse_length(text, "cm") == pytest.approx(cm, abs=1e-12)
    assert parse_length(text, "in") == pytest.approx(cm, abs=1e-12)


def test_bare_numbers_are_in_the_briefs_unit() -> None:
    assert parse_length(22, "cm") == 22
    assert parse_length(22, "in") == pytest.approx(55.88)
    assert parse_length("22 1/2", "in") == pytest.approx(57.15)
    assert parse_length("56,5", "cm") == 56.5


@pytest.mark.parametrize(
    "value",
    [
        "",
        " ",
        "wide",
        "cm",
        "12 parsecs",
        "inf",
        "nan cm",
        "1e3 cm",
        "22 1/0 in",
        "1 ft 10",
        "1 ft 10 cm",
        "1 cm 2 mm",
        "--1 cm",
        "1/2/3 in",
        "\u0662 cm",
        "9" * 500,
        float("inf"),
        float("-inf"),
        float("nan"),
        10**400,
        True,
        None,
        [1],
        b"1 cm",
    ],
)
def test_nonsense_says_what_a_length_is(value: object) -> None:
    with pytest.raises(ValueError, match=r"length|fraction|after feet come inches"):
        parse_length(value, "cm")


def test_a_comma_before_three_digits_could_mean_two_things() -> None:
    with pytest.raises(ValueError, match="two ways"):
        parse_length("1,250 mm", "cm")


@given(st.integers(-99_999, 99_999), st.sampled_from(["mm", "cm", "m", "in", "ft"]))
def test_decimals_come_back(hundredths: int, unit: str) -> None:
    text = f"{hundredths / 100:.2f} {unit}"
    per = {"mm": 0.1, "cm": 1, "m": 100, "in": 2.54, "ft": 30.48}[unit]
    assert parse_length(text, "cm") == pytest.approx(hundredths / 100 * per)
    assert parse_length(text.replace(".", ","), "cm") == parse_length(text, "cm")


@given(st.integers(0, 90), st.integers(1, 15), st.sampled_from([2, 4, 8, 16]))
def test_fractions_of_an_inch(whole: int, above: int, below: int) -> None:
    expected = (whole + above / below) * 2.54
    assert parse_length(f'{whole} {above}/{below}"', "cm") == pytest.approx(expected)


@given(st.floats(-500, 500), st.sampled_from(["cm", "in"]))
def test_what_is_shown_is_read_back_to_its_last_place(cm: float, unit: str) -> None:
    shown = format_length(cm, unit, 2)  # type: ignore[arg-type]
    assert abs(parse_length(shown, "cm") - cm) <= 0.0051 * 2.54


@given(st.text(max_size=40))
def test_any_text_gives_a_finite_number_or_a_value_error(text: str) -> None:
    try:
        cm = parse_length(text, "in")
    except ValueError as error:
        assert str(error)
    else:
        assert math.isfinite(cm)


def test_shown() -> None:
    assert format_length(56.8, "cm") == "56.8 cm"
    assert format_length(56.8, "in") == "22.4 in"
    assert format_length(-0.01, "cm") == "0.0 cm"
    assert format_length(55.88, "in", 2) == "22.00 in"
