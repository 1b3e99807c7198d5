"""How long dried food keeps: published anchors carried to another temperature.

``t(T) = t_ref Q10^((T_ref - T) / 10)``. Anchors of a year at 60 deg F and six months at 80 deg F
for fruit give a Q10 of 1.87 [uga-dry-storage]; another extension text says three to four times for
each 10 deg C [missouri-storage].
"""

from __future__ import annotations

from collections.abc import Mapping

from stillroom.science.range import Range

Q10 = Range(1.6, 1.87, 2.4)
"""Factor for each 10 deg C; low and high judged from [uga-dry-storage] and [lavelli-2009]."""
DAYS_PER_MONTH = 30.4
FROZEN_DAYS = Range(240.0, 365.0, 540.0)
"""Dried food in the freezer [days]: about a year, common practice."""

OPENED = Range(0.5, 0.7, 0.9)
"""A pack in use against one left shut, for the air that gets in: no figure is published; common
practice, advice is small packs used up at once [usu-storage-pack]."""
BREATHING = Range(0.6, 0.8, 1.0)
"""In a film that oxygen passes against in glass: no figure is published; common practice, advice is
tight jars before bags [uga-sep-guide18]."""
IN_LIGHT = Range(0.4, 0.6, 0.9)
"""In the light against in the dark, for colour, scent and vitamins: no figure is published; common
practice, advice is to keep dark [uga-sep-guide18]."""


def keeping_days(anchors: Mapping[float, tuple[float, float]], temp_c: float) -> Range:
    """Keeping time of well-dried food in a tight pack, kept dark.

    Args:
        anchors: temperature [deg C] to keeping time low and high [months].
        temp_c: temperature of the store [deg C]; at or below -10 deg C it counts as a freezer.

    Returns:
        Days.

    Raises:
        ValueError: there is no anchor, or the temperature is above 45 deg C.

    Source:
        uga-dry-storage; missouri-storage.

    >>> keeping_days({15.6: (12, 12), 26.7: (6, 6)}, 15.6).likely
    364.8
    """
    if not anchors:
        raise ValueError("needs a published keeping time")
    if temp_c > 45:
        raise ValueError("no keeping time is published above 45 deg C")
    if temp_c <= -10:
        return FROZEN_DAYS
    nearest = min(anchors, key=lambda anchor: abs(anchor - temp_c))
    low, high = anchors[nearest]
    steps = (nearest - temp_c) / 10
    factors = sorted(q10**steps for q10 in (Q10.low, Q10.likely, Q10.high))
    middle = (low + high) / 2 * Q10.likely**steps
    least, likely, most = (
        month * DAYS_PER_MONTH for month in (low * factors[0], middle, high * factors[2])
    )
    return Range(least, likely, most, driver="the temperature of the store")
