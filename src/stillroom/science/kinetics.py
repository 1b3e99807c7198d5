"""Drying curves and the two stages of drying, as published equations."""

from __future__ import annotations

from math import exp, log, pi

from stillroom.science.air import Air, latent_heat

_GAS = 0.0083145  # kJ/(mol K)


def page_ratio(time: float, k: float, n: float = 1.0, a: float = 1.0, b: float = 0.0) -> float:
    """Moisture ratio by Midilli, ``MR = a exp(-k t^n) + b t``.

    With b = 0 and a = 1 this is Page; with n = 1 too it is Lewis; a free and n = 1 is
    Henderson-Pabis. The unit of ``time`` is that of ``k``.

    Args:
        time: since the start.
        k: drying constant.
        n: exponent.
        a: start value.
        b: slope.

    Returns:
        Moisture ratio [1].

    Raises:
        ValueError: time is negative, or k or n is not above 0.

    Source:
        [sour-cherry-pmc10571025] for the check values.

    >>> page_ratio(90, 0.0504, 0.761)
    0.213
    """
    if time < 0 or k <= 0 or n <= 0:
        raise ValueError("time must not be negative, and k and n must be above 0")
    return float(a * exp(-k * time**n) + b * time)


def page_time(ratio: float, k: float, n: float = 1.0) -> float:
    """Time to a moisture ratio, ``t = (-ln MR / k)^(1/n)``.

    Raises:
        ValueError: the ratio is outside 0 to 1 (0 is never reached).

    >>> round(page_time(0.1, 0.0504, 0.761), 1)
    151.7
    """
    if not 0 < ratio <= 1:
        raise ValueError("the moisture ratio must be above 0 and at most 1")
    if k <= 0 or n <= 0:
        raise ValueError("k and n must be above 0")
    return float((-log(ratio) / k) ** (1 / n))


def arrhenius(activation_kj_mol: float, from_c: float, to_c: float) -> float:
    """How many times faster a drying constant is at another temperature.

    Args:
        activation_kj_mol: activation energy [kJ/mol].
        from_c: temperature that the constant belongs to [deg C].
        to_c: temperature asked about [deg C]; inside the reported span only.

    >>> round(arrhenius(37.99, 60, 70), 3)
    1.491
    """
    start, end = from_c + 273.15, to_c + 273.15
    return exp(activation_kj_mol / _GAS * (1 / start - 1 / end))


def slab_time(
    diffusivity_m2_h: float, thickness_m: float, start: float, end: float, faces: int = 2
) -> float:
    """Long-time diffusion in a slab, ``MR = (8/pi2) exp(-pi2 D t / L2)`` [h].

    Args:
        diffusivity_m2_h: D [m2/h]; published D ignores shrinkage.
        thickness_m: full thickness [m].
        start: free moisture at the start.
        end: free moisture at the end, same unit.
        faces: 2, or 1 when it lies on a closed sheet.

    Source:
        [geankoplis-ch9] example 9.9-1.

    >>> round(slab_time(2.97e-6, 0.0254, 0.25, 0.05), 1)
    30.8
    """
    length = thickness_m if faces == 2 else 2 * thickness_m
    return length**2 / (pi**2 * diffusivity_m2_h) * log(8 * start / (pi**2 * end))


def two_stage_time(
    start: float, critical: float, balance: float, end: float, constant_rate: float
) -> float:
    """Constant rate to the critical moisture, then a rate that falls in proportion.

    ``t = (X0 - Xc) / N + (Xc - Xe) / N ln((Xc - Xe) / (X - Xe))``, moistures in kg/kg dry.

    Args:
        start: X0 [kg/kg dry], like the next three.
        critical: Xc; at or above X0 there is no first stage.
        balance: Xe, the floor.
        end: X.
        constant_rate: N, moisture lost per time while the surface is wet.

    Returns:
        Time in the unit of ``constant_rate``.

    Raises:
        ValueError: the end is at or below the floor, above the start, or N is not above 0.

    Source:
        [anantharaman-ch6] examples 6.8-6.10, [coulson-v2-ch16] example 16.1.

    >>> round(two_stage_time(3.0, 1.5, 0.1111, 0.25, 0.0001 / 0.9) / 3600, 2)
    11.74
    """
    if constant_rate <= 0:
        raise ValueError("the drying rate must be above 0")
    if end <= balance:
        raise ValueError(
            f"the end point {end:.3g} kg/kg is at or below what this air allows, {balance:.3g}"
        )
    if end > start:
        raise ValueError("the end point is wetter than the start")
    if end >= critical:
        return (start - end) / constant_rate
    first = max(0.0, start - critical) / constant_rate
    slope = (critical - balance) / constant_rate
    return first + slope * log((min(start, critical) - balance) / (end - balance))


def heat_transfer_parallel(mass_flux_kg_m2_h: float) -> float:
    """Heat transfer to a surface along the air, ``0.0204 G^0.8`` [W/(m2 K)].

    Args:
        mass_flux_kg_m2_h: G, 2450 to 29300 (0.6 to 7.6 m/s); below it is extrapolated.

    Source:
        [geankoplis-ch9] example 9.6-3.
    """
    return float(0.0204 * mass_flux_kg_m2_h**0.8)


def heat_transfer_channel(mass_flux_kg_m2_s: float, channel_m: float) -> float:
    """Heat transfer between trays, ``5.90 G^0.71 / de^0.29`` [W/(m2 K)].

    Args:
        mass_flux_kg_m2_s: G.
        channel_m: equivalent diameter of the gap [m].

    Source:
        [treybal-ch12] illustration 12.4.
    """
    return float(5.90 * mass_flux_kg_m2_s**0.71 / channel_m**0.29)


def surface_flux(air: Air, heat_transfer: float) -> float:
    """Evaporation from a wet surface at the wet bulb, ``h (T - Twb) / lambda`` [kg/(m2 h)].

    Args:
        air: in the dryer.
        heat_transfer: h [W/(m2 K)]; home cabinets 8 to 25.

    Returns:
        Per exposed face. Radiation and warm trays are left out; many foods never reach it.

    Source:
        [geankoplis-ch9], [treybal-ch12].

    >>> from stillroom.science.air import warmed_air
    >>> round(surface_flux(warmed_air(21, 0.5, 60), 15), 3)
    0.745
    """
    heat = heat_transfer * (air.dryer_c - air.wet_bulb_c)
    return heat * 3.6 / latent_heat(air.wet_bulb_c)
