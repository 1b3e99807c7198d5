"""A food that no table knows: figures of its kind, with the widest ranges, and said to be that."""

from __future__ import annotations

from dataclasses import replace

from stillroom.base.fact import Number
from stillroom.enrich.loads import Kitchen
from stillroom.enrich.model import model_table
from stillroom.science.balance import dry_mass
from stillroom.science.drying import Dryer, drying_time
from stillroom.science.loading import piece
from stillroom.science.range import Range

KINDS = ("vegetable", "fruit", "herb")
_USUAL = {"vegetable": ("sliced", 57.0), "fruit": ("sliced", 57.0), "herb": ("leaves", 41.0)}
"""Usual cut and heat [deg C] of each kind; common practice."""
_WIDER = 1.5


def unknown_food(
    name: str, kind: str, grams: float | None, said: dict[str, float | str], kitchen: Kitchen
) -> list[Number]:
    """Drying time and dried weight of a food by its kind alone.

    Args:
        name: as said.
        kind: one of ``KINDS``.
        grams: fresh weight [g]; None when not said.
        said: ``cut``, ``thickness_mm``, ``temperature_c`` where they were said.
        kitchen: the kitchen.

    Returns:
        The figures, half as wide again as those of the kind; none where the equations do not reach.
    """
    cut, heat = _USUAL[kind]
    constants = model_table().constants(name, "", kind)
    constants = replace(constants, solids_spread=constants.solids_spread * 1.2)
    thickness = said.get("thickness_mm")
    try:
        size = piece(str(said.get("cut") or cut), float(thickness) if thickness else None)
        dryer = Dryer(float(said.get("temperature_c") or heat), kitchen.room_c,
                      kitchen.room_rh.likely, kitchen.altitude_m)  # fmt: skip
        hours = drying_time(constants, size, dryer, model_table().dryer)
    except ValueError:
        return []
    wide = Range(hours.low / _WIDER, hours.likely, hours.high * _WIDER, hours.assumes,
                 "that only its kind is known", hours.sources)  # fmt: skip
    found = [("drying_time", wide, "h")]
    if grams:
        found.append(("dry_mass", dry_mass(grams, constants), "g"))
    sources = constants.sources or ("stillroom-choice",)
    return [
        Number(figure, value.low, value.likely, value.high, unit, None, value.assumes,
               value.driver, tuple(dict.fromkeys((*value.sources, *sources))))
        for figure, value, unit in found
    ]  # fmt: skip
