"""A told batch as a curve: what of the journal goes into the picture."""

from __future__ import annotations

from datetime import timedelta
from pathlib import Path

import pytest

from stillroom.base.clock import parse_now
from stillroom.base.problem import ProblemError
from stillroom.base.statement import Amount, Statement
from stillroom.talk.curve import curve_of, draw_curve
from stillroom.talk.session import Session

START = parse_now("2026-08-14T08:00:00")


def grams(value: float) -> Amount:
    return Amount("g", "g", value, value)


def told(home: Path, *more: tuple[float, Statement], load: Statement | None = None) -> Session:
    session = Session(home, measure="metric", clock=lambda: START + timedelta(days=2))
    first = load or Statement(
        "load", "tomatoes", food="tomato", amount=grams(2000), cut="sliced", thickness_mm=6.0,
        trays=4, temperature_c=60.0,
    )  # fmt: skip
    for hours, item in ((0.0, first), *more):
        session.journal.keep(item.text, [item], START + timedelta(hours=hours))
    return session


def weigh(value: float, **slots: object) -> Statement:
    text = f"weighed the tomatoes, {value:g} g"
    return Statement("weigh", text, food="tomato", amount=grams(value)).having(**slots)


def test_course_starts_at_the_weight_loaded_and_falls_to_the_end_weight(tmp_path: Path) -> None:
    curve = curve_of(told(tmp_path), "tomato-1")
    assert curve.title == "tomato-1: tomatoes, sliced"
    assert curve.likely[0] == pytest.approx(2000)
    assert list(curve.likely) == sorted(curve.likely, reverse=True)
    assert curve.end is not None
    assert curve.end[0] < curve.likely[-1] < curve.end[2]
    for low, likely, high in zip(curve.low, curve.likely, curve.high, strict=True):
        assert low <= likely + 1e-6 <= high + 2e-6


def test_weighings_are_shown_without_tray_and_bend_the_course(tmp_path: Path) -> None:
    heavy = curve_of(told(tmp_path / "a", (4, weigh(1800, tare_g=300.0))), "tomato-1")
    assert heavy.weighings == ((0.0, 2000.0), (4.0, 1500.0))
    light = curve_of(told(tmp_path / "b", (4, weigh(900))), "tomato-1")
    assert light.hours[-1] < heavy.hours[-1], "the lighter one is done sooner"
    assert "Bent to the weighings" in light.note
    at_four = min(range(len(light.hours)), key=lambda n: abs(light.hours[n] - 4))
    assert light.likely[at_four] == pytest.approx(900, rel=0.15)


def test_single_trays_stand_for_the_load_when_nothing_else_was_weighed(tmp_path: Path) -> None:
    session = told(tmp_path, (4, weigh(350, tray=3)))
    assert curve_of(session, "tomato-1").weighings[-1] == (4.0, 1400.0)


def test_weights_that_make_no_sense_are_shown_but_bend_nothing(tmp_path: Path) -> None:
    curve = curve_of(told(tmp_path, (4, weigh(2600))), "tomato-1")
    assert (4.0, 2600.0) in curve.weighings
    assert curve.note.startswith("Band: dry after")


def test_batch_of_unknown_weight_shows_its_weighings_alone(tmp_path: Path) -> None:
    load = Statement("load", "tomatoes", food="tomato", trays=4)
    curve = curve_of(told(tmp_path, (4, weigh(900)), load=load), "tomato-1")
    assert curve.hours == ()
    assert curve.weighings == ((4.0, 900.0),)


def test_large_batches_are_shown_in_the_larger_unit(tmp_path: Path) -> None:
    session = told(tmp_path)
    assert curve_of(session, "tomato-1").unit == "g"
    session.measure = "us"
    assert curve_of(session, "tomato-1").unit == "lb"


def test_unknown_batch_names_those_there_are(tmp_path: Path) -> None:
    with pytest.raises(ProblemError, match="tomato-1"):
        curve_of(told(tmp_path), "plum-9")


def test_batch_never_on_trays_is_one_sentence(tmp_path: Path) -> None:
    have = Statement("have", "plums", food="plum", amount=grams(500))
    with pytest.raises(ProblemError, match="never told to be on the trays"):
        curve_of(told(tmp_path, load=have), "plum-1")


@pytest.mark.parametrize("ending", [".png", ".svg", ".txt"])
def test_curve_is_written_by_its_ending(ending: str, tmp_path: Path) -> None:
    path = tmp_path / f"curve{ending}"
    draw_curve(told(tmp_path), "tomato-1", path)
    assert path.stat().st_size > 500
    if ending == ".txt":
        assert "mass without tray [g]" in path.read_text(encoding="utf-8")


def test_other_endings_and_places_are_one_sentence(tmp_path: Path) -> None:
    session = told(tmp_path)
    for name in ("curve.gif", "no/curve.txt", "no/curve.png"):
        with pytest.raises(ProblemError):
            draw_curve(session, "tomato-1", tmp_path / name)
