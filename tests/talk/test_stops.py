"""Under a stop nothing is said of keeping, packing or times; one hazard is said once."""

from __future__ import annotations

from datetime import datetime
from pathlib import Path

import pytest

from stillroom.base.fact import Caution
from stillroom.talk.answer import Answer
from stillroom.talk.session import Session
from stillroom.talk.stops import merged_cautions

_SILENT = {"time", "conditioning", "packaging", "storage", "shelf-life", "jar", "brine"}
STOPPED = (
    "springbok biltong hung in the garage, sliced 1 inch",
    "2 kg kudu strips in vinegar and salt, then hung in the biltong box",
    "fresh rosemary and garlic in oil on the shelf",
    "10 lb of plums and tomatoes, going to bottle the lot for the pantry",
    "green fuzz on the dried pears in the jar on the shelf",
)


def answer(note: str, home: Path) -> Answer:
    return Session(home, clock=lambda: datetime(2026, 8, 20, 9)).reply(note, keep=False)


@pytest.mark.parametrize("note", STOPPED)
def test_a_stop_leaves_no_way_round_it(note: str, tmp_path: Path) -> None:
    said = answer(note, tmp_path)
    assert said.stopped
    assert [r.topic for r in said.advice.rulings if r.topic in _SILENT] == []
    assert said.numbers == ()


def test_a_stop_about_one_food_leaves_the_other_alone(tmp_path: Path) -> None:
    said = answer("The dried figs have gone mouldy. 2 kg plums, halved, on 4 trays.", tmp_path)
    assert said.stopped
    assert {number.batch for number in said.numbers} == {"plum-1"}


def test_a_hazard_with_and_without_a_batch_is_one_caution() -> None:
    loose = Caution("stop", "mould-present", "Bin it.", "a", sources=("x",), because=("fuzz",))
    bound = Caution("stop", "mould-present", "Bin it.", "b", batch="fig-1", sources=("y",))
    (one,) = merged_cautions([loose, bound])
    assert (one.batch, one.sources, one.because) == ("fig-1", ("x", "y"), ("fuzz",))


def test_other_words_for_another_batch_stay() -> None:
    first = Caution("caution", "packed-warm", "Cool the figs.", "a", batch="fig-1")
    other = Caution("caution", "packed-warm", "Cool the plums.", "a", batch="plum-1")
    assert merged_cautions([first, other]) == (first, other)


@pytest.mark.parametrize(
    "note", ["raw garlic in honey on the counter for a month", "fresh basil in oil in the fridge"]
)
def test_food_kept_wet_gets_no_advice_on_drying(note: str, tmp_path: Path) -> None:
    said = answer(note, tmp_path)
    assert said.advice.cautions
    assert (said.advice.rulings, said.numbers, said.question) == ((), (), "")
