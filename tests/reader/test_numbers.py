"""Numbers with what they measure, written and said; money; and every number said reads back."""

from __future__ import annotations

from datetime import datetime

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from stillroom.base.statement import Context, Statement
from stillroom.reader.read import read

CONTEXT = Context(now=datetime(2026, 8, 14, 9))
LB, OZ = 453.59237, 28.349523125  # NIST Handbook 44, appendix C
CUP, PINT, GALLON = 236.5882365, 473.176473, 3785.411784


def first(note: str) -> Statement:
    statements = read(note, CONTEXT).statements
    assert statements, note
    return statements[0]


AMOUNTS = [
    ("kilo and a half of peppers", 1500),
    ("a kilo and a half of peppers", 1500),
    ("pound of plums", LB),
    ("and pound and three quarters of plums", 1.75 * LB),
    ("a pound and three quarters of plums", 1.75 * LB),
    ("two and three quarter pound of plums", 2.75 * LB),
    ("two and three quarters pounds of plums", 2.75 * LB),
    ("6lb4oz plums", 6.25 * LB),
    ("6 lb and 4 oz of plums", 6.25 * LB),
    ("2kg300 plums.", 2300),
    ("two kilos three hundred of plums", 2300),
    ("1,5 kg plums", 1500),
    ("1,500 g plums", 1500),
    ("1.500 kg plums", 1500),
    ("1/2 lb plums", LB / 2),
    ("½ lb plums", LB / 2),
    ("1½ lb plums", 1.5 * LB),
    ("1 1/2 lb plums", 1.5 * LB),
    ("1 and 1/2 pounds of plums", 1.5 * LB),
    ("2-1/2 lb plums", 2.5 * LB),
    ("1 & ½ lb plums", 1.5 * LB),
    ("three and a bit pounds of plums", 3 * LB),
    ("a couple of pounds of plums", 2 * LB),
    ("a stone and a half of plums", 21 * LB),
    ("three quarters of a kilo of plums", 750),
    ("point seven five kilos of plums", 750),
    ("nought point five kilos of plums", 500),
    ("two point two five pounds of plums", 2.25 * LB),
    ("a hundred and forty grams of plums", 140),
    ("twelve hundred grams of plums", 1200),
    ("two thousand five hundred grams of plums", 2500),
    ("a thousand and fifty grams of plums", 1050),
    ("four fifty grams of plums", 450),
    ("two oh five grams of plums", 205),
    ("1e3 g plums", 1000),
    ("2 lbs. plums, halved", 2 * LB),
    ("half a dozen plums", 6),
    ("two and a half dozen plums", 30),
    ("a couple of dozen plums", 24),
    ("3 dozen plums", 36),
    ("twenty-five plums", 25),
    ("a couple of plums", 2),
    ("half a bushel of plums", 17619.535),
]


@pytest.mark.parametrize(("note", "si"), AMOUNTS)
def test_amount_is_read(note: str, si: float) -> None:
    amount = first(note).amount
    assert amount is not None
    assert amount.si == pytest.approx(si, rel=1e-6)


@pytest.mark.parametrize(
    ("note", "low", "high"),
    [
        ("a pound or two of plums", LB, 2 * LB),
        ("4-5 lb plums", 4 * LB, 5 * LB),
        ("between four and five pounds of plums", 4 * LB, 5 * LB),
        ("three or four kilos of plums", 3000, 4000),
    ],
)
def test_amount_is_a_range(note: str, low: float, high: float) -> None:
    amount = first(note).amount
    assert amount is not None
    assert (amount.si_low, amount.si_high) == (pytest.approx(low), pytest.approx(high))


@pytest.mark.parametrize(
    "note", ["a few plums, halved", "£3 of plums, halved", "plums, halved, 40p"]
)
def test_no_amount_is_read_where_none_was_said(note: str) -> None:
    assert first(note).amount is None


SLOTS = [
    ("plums sliced quarter inch", "thickness_mm", 6.35),
    ("plums sliced an eighth of an inch", "thickness_mm", 3.175),
    ("plums sliced three sixteenths", "thickness_mm", 4.7625),
    ("plums sliced 3/8, peeled", "thickness_mm", 9.525),
    ('plums sliced 1/4"', "thickness_mm", 6.35),
    ("plums sliced 3mm thick", "thickness_mm", 3),
    ("plums sliced half a centimetre", "thickness_mm", 5),
    ("plums sliced 5 to 6 mm", "thickness_mm", 5.5),
    ("plums on 3 trays at one twenty five", "temperature_c", 51.667),
    ("plums on 3 trays at one three five", "temperature_c", 57.222),
    ("plums on 3 trays at a hundred and thirty", "temperature_c", 54.444),
    ("plums on 3 trays for 2h30", "hours", 2.5),
    ("plums on 3 trays for 1 hr 30", "hours", 1.5),
    ("plums on 3 trays for an hour and a half", "hours", 1.5),
    ("plums on 3 trays for ten and three quarter hours", "hours", 10.75),
    ("half-gallon jar of dried plums", "vessel_ml", 1893),
    ("three half-pints of dried plums", "vessel_ml", 237),
    ("three half-pints of dried plums", "vessel_count", 3),
    ("3 x 500 ml jars of dried plums", "vessel_count", 3),
    ("3x500ml jars of dried plums", "vessel_ml", 500),
]


@pytest.mark.parametrize(("note", "slot", "value"), SLOTS)
def test_slot_is_read(note: str, slot: str, value: float) -> None:
    assert getattr(first(note), slot) == pytest.approx(value, abs=0.01)


def test_seconds_of_blanching_are_no_heat() -> None:
    statement = first("Blanched the spinach 90 seconds, squeezed it dry. 700 g.")
    assert (statement.food, statement.hours) == ("spinach", 0.025)
    assert statement.temperature_c is None
    assert "dry" not in statement.sign


def test_a_share_is_no_part_of_a_cup() -> None:
    statement = first("plum pickle with two thirds of a cup of vinegar and a cup of sugar")
    assert statement.share is None


PRICES = [
    ("power is 32p a unit", 0.32, "GBP"),
    ("electricity at £0.32 per kWh", 0.32, "GBP"),
    ("our power is thirty two pence a kilowatt hour", 0.32, "GBP"),
    ("power's gone up to twenty eight cents a kilowatt hour", 0.28, None),
    ("electricity is $0.17 a kWh", 0.17, "$"),
    ("the power costs 28c a kWh", 0.28, None),
    ("electricity costs €0.34 a kWh", 0.34, "EUR"),
    ("power is 0.34 euros a unit", 0.34, "EUR"),
    ("electricity is R2.85 a unit", 2.85, "ZAR"),
    ("power is two rand eighty a unit", 2, "ZAR"),
    ("electricity is ₹8 a unit", 8, "INR"),
    ("electricity is Rs 8.50 per unit", 8.5, "INR"),
    ("electricity is 0.3 a kWh", 0.3, None),
]


@pytest.mark.parametrize(("note", "price", "currency"), PRICES)
def test_price_of_power_is_read_with_its_currency(
    note: str, price: float, currency: str | None
) -> None:
    statement = first(note)
    assert (statement.act, statement.currency) == ("set", currency)
    assert statement.price_per_kwh == pytest.approx(price)


ONES = ["", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten", "eleven",
        "twelve", "thirteen", "fourteen", "fifteen", "sixteen", "seventeen", "eighteen",
        "nineteen"]  # fmt: skip
TENS = ["", "", "twenty", "thirty", "forty", "fifty", "sixty", "seventy", "eighty", "ninety"]


def below_hundred(number: int) -> str:
    return ONES[number] if number < 20 else f"{TENS[number // 10]} {ONES[number % 10]}".strip()


def spoken(number: int, joint: str) -> str:
    """A number below 10,000 in words, as a grammar book has it."""
    parts = []
    if number >= 1000:
        parts.append(f"{ONES[number // 1000]} thousand")
    if number % 1000 >= 100:
        parts.append(f"{ONES[number % 1000 // 100]} hundred")
    if number % 100:
        parts.append(f"{joint if parts else ''} {below_hundred(number % 100)}".strip())
    return " ".join(parts)


@given(st.integers(1, 9999), st.sampled_from(["and", ""]))
@settings(max_examples=400, deadline=None)
def test_every_number_said_reads_back(number: int, joint: str) -> None:
    amount = first(f"{spoken(number, joint)} grams of plums").amount
    assert amount is not None
    assert amount.si == pytest.approx(number)


@given(st.integers(1, 20), st.sampled_from([
    ("a quarter", 0.25), ("a half", 0.5), ("three quarters", 0.75), ("1/2", 0.5), ("¾", 0.75),
    ("a third", 1 / 3), ("two thirds", 2 / 3),
]), st.booleans())  # fmt: skip
@settings(max_examples=200, deadline=None)
def test_every_part_said_reads_back(whole: int, part: tuple[str, float], spelt: bool) -> None:
    number = below_hundred(whole) if spelt else str(whole)
    amount = first(f"{number} and {part[0]} pounds of plums").amount
    assert amount is not None
    assert amount.value == pytest.approx(whole + part[1], rel=1e-4)


@given(st.floats(0.01, 900).map(lambda value: round(value, 2)), st.sampled_from([".", ","]))
@settings(max_examples=200, deadline=None)
def test_every_decimal_reads_back(value: float, mark: str) -> None:
    amount = first(f"{value:.2f} kg plums".replace(".", mark)).amount
    assert amount is not None
    assert amount.value == pytest.approx(value)
