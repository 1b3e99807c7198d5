"""Predictions against the published yields and hours; misses are printed with their reason."""

from __future__ import annotations

from statistics import median

import validate


def _print_misses(results: list[validate.Result]) -> None:
    for result in results:
        if not result.hit:
            print(f"miss: {result}")


def test_yields_hold_the_published_figures() -> None:
    results = validate.yields()
    _print_misses(results)
    assert len(results) >= 60
    assert validate.share(results) >= 0.85
    assert validate.off(results) <= 0.15


def test_every_miss_has_a_reason() -> None:
    everything = [*validate.yields(), *validate.hours(validate.home_hours())]
    assert not [str(r) for r in everything if not r.hit and r.food not in validate.WHY]


def test_home_hours_overlap_and_are_not_bought_by_width() -> None:
    results = validate.hours(validate.home_hours())
    _print_misses(results)
    assert validate.share(results) >= 0.85
    assert validate.share([r for r in results if r.held_out]) >= 0.85
    assert max(validate.widths(results)) <= 2.0


def test_timed_reports_are_met_in_the_middle() -> None:
    results = validate.hours(validate.timed_reports())
    _print_misses(results)
    assert 0.67 <= median(result.ratio for result in results) <= 1.5
    for setting in ("temperature", "thickness"):
        assert 1 / 1.3 <= validate.trend(results, setting) <= 1.3


def test_home_hours_show_no_trend_with_thickness() -> None:
    results = validate.hours(validate.home_hours())
    assert 1 / 1.15 <= validate.trend(results, "thickness") <= 1.15


def test_the_third_kept_out_is_a_third() -> None:
    held = [case for case in validate.home_hours() if case.held_out]
    assert abs(len(held) / len(validate.home_hours()) - 1 / 3) < 0.02
