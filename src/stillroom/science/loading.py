"""Pieces and trays: the thickness that dries like the piece, tray area, trays and loads."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from math import ceil, sqrt

from stillroom.science.range import Range, combine

FLESH_G_ML = 0.95
"""Density of fresh flesh [g/ml]; judgement, most fruit and vegetables run 0.8 to 1.05."""

_COVER = 0.7
"""Share of a tray that one layer with gaps covers; judgement."""

THINNEST_MM, THICKEST_MM = 0.5, 120
"""Pieces that the model speaks of [mm]."""

_PLANNED_KG_M2 = 4.9
"""Planning figure for a home dryer, one pound a square foot [loading-articles]."""

_HEAVIEST_KG_M2 = 10.3
"""Upper figure for a fan dryer, 18 lb on 8.5 square feet [mem-osu-855]."""

_LOAD_SOURCES = ("loading-articles", "mem-osu-855", "ksre-2018")


@dataclass(frozen=True)
class Shape:
    """How a cut dries and lies.

    Args:
        usual_mm: thickness or width when none is said [mm]; 0: from the whole piece.
        of_whole: size as a share of the whole piece, where ``usual_mm`` is 0.
        slab: thickness of the slab, dried on both faces, that dries alike, over the size.
        layer: mean height of one layer on the tray over the size.
    """

    usual_mm: float
    of_whole: float
    slab: float
    layer: float


# A square bar of side L dries like a slab of L / sqrt 2, a cube like L / sqrt 3 and a sphere of
# diameter d like d / 2 (first-term diffusion). Spears, sheets, whole, halved and quartered pieces
# were fitted with the drying constants (tests/science/fit_drying.py), starting from the geometry.
SHAPES = {
    "sliced": Shape(6.4, 0, 1.0, 1.0),
    "strips": Shape(6.4, 0, 1 / sqrt(2), 1.0),
    "diced": Shape(9.5, 0, 1 / sqrt(3), 1.0),
    "chopped": Shape(8.0, 0, 1 / sqrt(3), 1.2),
    "minced": Shape(4.0, 0, 1 / sqrt(3), 1.5),
    "shredded": Shape(3.5, 0, 1 / sqrt(2), 1.8),
    "spears": Shape(12.0, 0, 0.45, 0.8),
    "florets": Shape(25.0, 0, 0.4, 0.5),
    "leaves": Shape(2.0, 0, 1.0, 0.6),
    "pureed": Shape(4.8, 0, 1.3, 1.4),
    "powdered": Shape(2.0, 0, 1.0, 1.0),
    "whole": Shape(0, 1.0, 0.775, 0.66),
    "halved": Shape(0, 1.0, 0.61, 0.33),
    "quartered": Shape(0, 1.0, 0.275, 0.28),
}


_SINGLE = ("leaves", "pureed")


@dataclass(frozen=True)
class Piece:
    """A piece as the drying model sees it.

    Args:
        cut: one of ``SHAPES``.
        size_mm: as said or usual [mm].
        slab_mm: thickness of the slab, dried on both faces, that dries alike [mm].
        layer_kg_m2: one layer with gaps, per tray area [kg/m2].
        load_kg_m2: as home trays are usually loaded [kg/m2].
        assumes: what was taken for granted.
    """

    cut: str
    size_mm: float
    slab_mm: float
    layer_kg_m2: float
    load_kg_m2: float
    assumes: tuple[str, ...]


def piece(cut: str, thickness_mm: float | None = None, whole_mm: float = 0.0) -> Piece:
    """A cut and its thickness as the model sees them.

    Args:
        cut: one of ``SHAPES``.
        thickness_mm: as said [mm]; the usual one when None.
        whole_mm: across the whole food [mm], for whole, halved and quartered; 0 when unknown.

    Raises:
        ValueError: the cut is unknown, or the thickness is outside 0.5 to 120 mm.

    >>> piece("sliced", 6.4).slab_mm
    6.4
    """
    if cut not in SHAPES:
        raise ValueError(f"no such cut: {cut!r}; known are {', '.join(SHAPES)}")
    shape = SHAPES[cut]
    assumes: tuple[str, ...] = ()
    if thickness_mm is None:
        size = shape.usual_mm or (whole_mm or 30.0) * shape.of_whole
        assumes = (f"{cut} pieces about {size:.0f} mm",)
    elif cut in ("halved", "quartered") and thickness_mm < 0.6 * whole_mm:
        # "quartered, 3/4 inch" names the depth of the piece, which is half the fruit across
        size = 2 * thickness_mm
    else:
        size = thickness_mm
    if not THINNEST_MM <= size <= THICKEST_MM:
        raise ValueError(f"{size:g} mm is outside the model's {THINNEST_MM} to {THICKEST_MM} mm")
    layer = min(FLESH_G_ML * size * shape.layer * _COVER, _HEAVIEST_KG_M2)
    # Cooks fill trays to about the same weight: thin pieces overlap, thick ones leave room.
    load = layer if cut in _SINGLE else sqrt(layer * _PLANNED_KG_M2)
    return Piece(cut, size, size * shape.slab, layer, load, assumes)


def load_density(cut: str, thickness_mm: float | None = None, whole_mm: float = 0.0) -> Range:
    """What is usually spread per tray area [kg/m2].

    Between one layer with gaps and the published planning figure of 4.9 kg/m2; 10.3 is the
    upper published figure.

    Source:
        [loading-articles], [mem-osu-855], [ksre-2018].
    """
    likely = piece(cut, thickness_mm, whole_mm).load_kg_m2
    return Range(
        likely / 1.4,
        likely,
        min(likely * 1.4, max(likely, _HEAVIEST_KG_M2)),
        assumes=("spread as home trays usually are, hardly overlapping",),
        driver="how closely the pieces lie",
        sources=_LOAD_SOURCES,
    )


def tray_area(prepared_g: float | Range, density_kg_m2: Range) -> Range:
    """Tray area that a load needs [m2].

    >>> round(tray_area(4536.0, Range(3.5, 4.9, 6.9)).likely, 2)
    0.93
    """
    return combine(
        lambda mass, density: mass / 1000 / density, mass=prepared_g, density=density_kg_m2
    )


@dataclass(frozen=True)
class Trays:
    """Trays and loads, whole numbers."""

    trays: Range
    loads: Range | None


def trays(area_m2: Range, tray_m2: float, tray_count: int | None = None) -> Trays:
    """Trays that an area needs, and loads of the dryer when its tray count is known.

    Args:
        area_m2: from ``tray_area``.
        tray_m2: usable area of one tray [m2].
        tray_count: trays of the dryer.

    Raises:
        ValueError: a tray's area or the count is not above 0.
    """
    if tray_m2 <= 0 or (tray_count is not None and tray_count < 1):
        raise ValueError("a tray needs an area above 0 and the dryer at least one tray")

    def whole(value: float, size: float) -> float:
        return float(max(1, ceil(value / size - 0.05)))

    need = _each(area_m2, tray_m2, whole)
    loads = None if tray_count is None else _each(area_m2, tray_m2 * tray_count, whole)
    return Trays(need, loads)


def _each(value: Range, size: float, whole: Callable[[float, float], float]) -> Range:
    return Range(
        whole(value.low, size), whole(value.likely, size), whole(value.high, size),
        value.assumes, value.driver, value.sources,
    )  # fmt: skip
