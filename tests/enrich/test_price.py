"""What drying costs, in the currency of the price that was said."""

from __future__ import annotations

from datetime import datetime

import pytest

from stillroom.base.fact import Number, Value
from stillroom.base.statement import Context
from stillroom.enrich.enrich import enrich
from stillroom.reader.read import read
from stillroom.tables.tables import tables

LOAD = "6 lb plums, halved, on 4 trays at 135F"
OLD: dict[str, Value] = {"price_per_kwh": 0.30, "currency": "GBP"}


def figures(note: str, kitchen: dict[str, Value]) -> dict[str, Number]:
    reading = read(note, Context(now=datetime(2026, 8, 14, 9)))
    lots: list[dict[str, Value]] = [
        {"batch": "plum-1", "food": "plum", "stage": "drying", "cut": "halved", "fresh_g": 2721.0}
    ]
    enriched = enrich(reading, lots, kitchen, tables())
    return {number.name: number for number in enriched.numbers}


@pytest.mark.parametrize(
    ("note", "kitchen", "price", "unit"),
    [
        (LOAD, OLD, 0.30, "GBP"),
        (f"Power is R2.85 a unit. {LOAD}", OLD, 2.85, "ZAR"),
        (f"Power is 28 cents a unit. {LOAD}", OLD, 0.28, "currency"),
        (f"Power is €0.34 a unit. {LOAD}", {}, 0.34, "EUR"),
    ],
)
def test_cost_is_the_energy_at_the_price_said(
    note: str, kitchen: dict[str, Value], price: float, unit: str
) -> None:
    found = figures(note, kitchen)
    assert found["cost"].unit == unit
    assert found["cost"].likely == pytest.approx(price * found["energy"].likely)


def test_no_price_gives_no_cost() -> None:
    assert "cost" not in figures(LOAD, {})
