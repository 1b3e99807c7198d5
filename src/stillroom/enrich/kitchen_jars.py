"""How a pickle's pieces lie in the jar: pack class by cut, limp or firm, jar size."""

from __future__ import annotations

import re
from collections.abc import Sequence

from stillroom.base.quantity import unit_for
from stillroom.base.statement import Statement
from stillroom.tables.kitchen_rows import FoodUse

_LIMP = {"salted", "drained", "pressed", "cooked", "blanched", "thawed", "marinated"}
_ALWAYS_COOKED = {"beet", "potato", "sweet potato"}
_PEPPERS = ("bell pepper", "chili pepper")
_SCALDED = ("onion", "shallot")
"""Small onions are scalded to peel them (pk_nchfp_rings cooks them half through)."""
_US_JAR_ML, _METRIC_JAR_ML = 473.18, 500.0
_BY_CUT = {
    "halved": "halves", "quartered": "halves", "diced": "dice", "strips": "spears",
    "spears": "spears", "shredded": "shreds", "chopped": "dice", "minced": "minced",
    "pureed": "minced", "powdered": "minced", "leaves": "leaves", "florets": "florets",
}  # fmt: skip
_BY_SHAPE = {
    "long": "long", "small-round": "small-whole", "florets": "florets", "leafy": "shreds",
    "hollow": "rings", "solid": "slices",
}  # fmt: skip
_WHOLE = {"long": "long", "small-round": "small-whole", "leafy": "leaves", "florets": "florets"}
THIN_MM, THICK_MM = 5.0, 9.5


def cut_class(items: Sequence[Statement], use: FoodUse, note: str, *, mixed: bool = False) -> str:
    """The row of brine_pack.csv that a pickle's pieces belong to.

    Args:
        items: its statements.
        use: its food.
        note: the note, for "rings" and "gherkins", which no slot holds.
        mixed: more than two foods in one jar.
    """
    if mixed:
        return "mixed"
    cut = next((item.cut for item in reversed(items) if item.cut), None)
    thickness = next((item.thickness_mm for item in reversed(items) if item.thickness_mm), None)
    size = next((item.size for item in items if item.size), None)
    if cut in (None, "sliced") and re.search(r"\brings\b", note, re.I):
        return "rings"
    if cut == "sliced" or (cut is None and thickness is not None):
        return _slices(use, thickness)
    if cut == "whole" or (cut is None and size == "small"):
        small = size == "small" or re.search(r"\b(?:gherkin|baby|pearl|cherry|tiny)", note, re.I)
        return _WHOLE.get(use.shape) or ("small-whole" if small else "whole")
    if cut in ("strips", "spears") and use.shape == "long":
        return "long"
    if cut == "leaves" and use.kind not in ("herb", "leafy"):
        return "shreds"
    return _BY_CUT.get(cut or "") or _BY_SHAPE.get(use.shape, "slices")


def _slices(use: FoodUse, thickness: float | None) -> str:
    if use.shape == "hollow":
        return "rings"
    if use.shape == "leafy":
        return "shreds"
    if thickness is None:
        return "slices"
    if thickness < THIN_MM:
        return "slices-thin"
    return "slices-thick" if thickness >= THICK_MM else "slices"


def is_soft(items: Sequence[Statement], food: str, cut: str = "") -> bool:
    """Whether the pieces are limp when packed: salted, heated, scalded, flattened halves."""
    if (food in _PEPPERS and cut == "halves") or (food in _SCALDED and cut == "small-whole"):
        return True
    return food in _ALWAYS_COOKED or any(_LIMP.intersection(item.prep) for item in items)


_SIZE_WORDS = re.compile(
    r"(?:(\d+(?:\.\d+)?)\s*|(half|quarter)[\s-])?(pints?|quarts?|gallons?|lit(?:re|er)s?|ml|l)"
    r"[\s-]+jars?\b", re.I
)  # fmt: skip


def _size_named(note: str) -> float | None:
    """The size in the words "quart jars", "500 ml jars", which a question about jars leaves out.

    >>> _size_named("how many half-litre jars"), _size_named("two jars")
    (500.0, None)
    """
    found = _SIZE_WORDS.search(note)
    unit = unit_for(found.group(3)) if found else None
    if found is None or unit is None:
        return None
    part = {"half": 0.5, "quarter": 0.25}.get((found.group(2) or "").lower(), 1.0)
    number = float(found.group(1) or 1.0)
    if number == int(number) and number < 20 and unit.si > 100:
        number = 1.0  # "9 pint jars" are nine of them
    return part * number * unit.si


def jar_size(items: Sequence[Statement], measure: str, note: str = "") -> tuple[float, bool]:
    """Capacity of one jar in ml, and whether it was said."""
    said = next((item.vessel_ml for item in items if item.vessel_ml), None) or _size_named(note)
    return (said, True) if said else (_US_JAR_ML if measure == "us" else _METRIC_JAR_ML, False)


def as_jars(item: Statement) -> Statement:
    """A statement whose pints or quarts are jars: "brine for six quarts of spears"."""
    amount = item.amount
    if (
        amount is None
        or amount.value is None
        or amount.si is None
        or amount.unit not in ("pt", "qt")
        or item.vessel_count
        or item.act not in ("brine", "ask")
        or item.food in ("vinegar", "salt", "sugar", None)
    ):
        return item
    return item.having(
        amount=None, vessel="jar", vessel_count=amount.value, vessel_ml=amount.si / amount.value
    )
