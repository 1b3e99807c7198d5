"""Figures in sentences: damp kitchens, too few trays, seals, damp pieces, packages."""

from __future__ import annotations

from datetime import datetime, timedelta
from pathlib import Path

import pytest

from stillroom.enrich.packed import Pack, Store, film_of, keeping
from stillroom.science.range import Range
from stillroom.tables.tables import tables
from stillroom.talk.answer import Answer
from stillroom.talk.session import Session

USUAL = Range(0.35, 0.5, 0.65)


class Talk:
    """A conversation whose clock stands until it is moved."""

    def __init__(self, home: Path) -> None:
        self.now = datetime(2026, 8, 14, 9)
        self.session = Session(home, clock=lambda: self.now)

    def say(self, note: str, hours: float = 0.0) -> Answer:
        self.now += timedelta(hours=hours)
        return self.session.reply(note)


@pytest.fixture
def talk(tmp_path: Path) -> Talk:
    return Talk(tmp_path)


def said(answer: Answer, name: str) -> str:
    texts = [r.text for r in answer.advice.rulings if r.rule == f"sums.{name}"]
    texts += [c.text for c in answer.advice.cautions if c.rule == f"sums.{name}"]
    return " ".join(texts)


def test_a_damp_kitchen_is_warned_of_with_figures_and_what_helps(talk: Talk) -> None:
    talk.say("kitchen is 30 C and 80 percent humidity")
    text = said(talk.say("thyme leaves on the trays at 35 C"), "too-damp")
    for part in ("80 % humidity", "8 % is dry", "40 °C", "air conditioning", "drier day"):
        assert part in text


def test_a_kitchen_told_later_warns_of_what_is_on_the_trays(talk: Talk) -> None:
    talk.say("thyme leaves on the trays at 35 C")
    assert "too damp for thyme" in said(
        talk.say("the kitchen is 30 C and 80% humidity"), "too-damp"
    )


def test_a_dry_kitchen_is_not_warned_of(talk: Talk) -> None:
    talk.say("kitchen is 21 C and 45 percent humidity")
    assert not said(talk.say("thyme leaves on the trays at 41 C"), "too-damp")


def test_too_few_trays_are_told_with_the_number_of_loads(talk: Talk) -> None:
    text = said(talk.say("8 kg plums, halved and pitted, on six trays at 60 C"), "trays-short")
    assert "6 trays hold about" in text
    assert "2 loads" in text
    assert not said(talk.say("the plums weigh 4 kg", 6), "trays-short")
    assert not said(talk.say("500 g courgettes, sliced, on six trays"), "trays-short")


def test_a_seal_is_judged_by_the_weighing(talk: Talk) -> None:
    talk.say("8 kg plums, halved and pitted, on twelve trays at 60 C")
    talk.say("the plums weigh 2.1 kg", 20)
    wet = talk.say("can I vacuum seal the plums now?")
    assert wet.replies[0].text.startswith("No, not yet")
    assert "mould line" in wet.replies[0].text
    talk.say("the plums weigh 900 g", 16)
    assert talk.say("are the plums dry enough to seal?").replies[0].text.startswith(("Only", "Yes"))
    names = {n.name for n in talk.say("how are the plums, dry enough to seal?").numbers}
    assert {"water_activity", "mould_margin", "pathogen_margin"} <= names


def test_without_a_weight_the_dryness_test_decides(talk: Talk) -> None:
    talk.say("2 kg courgettes, sliced 5 mm, on the trays")
    text = talk.say("can I vacuum seal the courgettes?").replies[0].text
    assert "no weight to go by" in text


def test_a_few_damp_pieces_even_out_with_figures(talk: Talk) -> None:
    talk.say("2 kg plums, halved and pitted, on the trays")
    text = talk.say("will a few damp pieces matter?", 30).replies[0].text
    assert "one piece in ten" in text
    assert "7 days" in text


@pytest.mark.parametrize(
    ("pack", "name"),
    [
        (Pack("jar"), "tight jar"),
        (Pack("bag"), "zip bag"),
        (Pack("bag", wrap="freezer bags"), "freezer bag"),
        (Pack("bag", wrap="brown paper bags"), "paper bag"),
        (Pack("bag", seal="vacuum"), "vacuum pouch"),
        (Pack("vacuum-bag"), "vacuum pouch"),
        (Pack("bag", wrap="foil pouch"), "foil pouch"),
    ],
)
def test_a_package_is_known_by_vessel_seal_and_words(pack: Pack, name: str) -> None:
    film = film_of(pack)
    assert film is not None
    assert film.name == name


def test_no_package_is_guessed() -> None:
    assert film_of(Pack()) is None
    assert film_of(Pack("crock")) is None


def _days(food: str, pack: Pack) -> Range:
    known = tables()
    days = keeping(known.foods[food], known, pack, Store.at("cupboard", 21, USUAL))
    assert days is not None
    return days


@pytest.mark.parametrize("food", ["onion", "thyme", "beet"])
def test_keeping_falls_from_jar_to_pouch_to_bag_to_paper(food: str) -> None:
    order = [Pack("jar"), Pack("vacuum-bag"), Pack("bag"), Pack("bag", wrap="paper bag")]
    likely = [_days(food, pack).likely for pack in order]
    assert likely == sorted(likely, reverse=True)
    assert likely[3] < 14


def test_a_jar_in_the_dark_keeps_its_published_time() -> None:
    """uga-sep-guide18 and the 70 deg F row of the tables: unchanged by a tight jar."""
    assert _days("plum", Pack("jar")).likely == pytest.approx(_days("plum", Pack()).likely)


def test_opening_and_light_shorten_and_say_that_no_figure_is_published() -> None:
    shut = _days("plum", Pack("jar"))
    for pack in (Pack("jar", opened=True), Pack("jar", lit=True)):
        days = _days("plum", pack)
        assert days.likely < shut.likely
        assert any("common practice" in words for words in days.assumes)
        assert "common-practice" in days.sources


def test_the_best_by_day_goes_by_the_package(talk: Talk) -> None:
    talk.say("packed 200 g dried onions in a jar in the cupboard")
    talk.say("packed 200 g dried beets in a jar in the cupboard")
    talk.say("packed 200 g dried leeks in paper bags in the cupboard")
    talk.say("packed 200 g dried parsnips in a jar in the cupboard")
    ends = {line["food"]: line["best_by"] for line in talk.session.journal.view(talk.now)["stock"]}
    assert ends["leek"] < ends["onion"]
    before = ends["parsnip"]
    talk.say("used 50 g of the dried parsnips", 24)
    after = {line["food"]: line["best_by"] for line in talk.session.journal.view(talk.now)["stock"]}
    assert after["parsnip"] < before


@pytest.mark.parametrize(
    ("weight", "words"),
    [
        ("3.6 kg", "more than the 3 kg"),
        ("9 kg", "more than the 4 kg"),
        ("20 g", "less than the dry matter"),
    ],
)
def test_a_weight_that_cannot_be_is_told_and_left_out(talk: Talk, weight: str, words: str) -> None:
    talk.say("4 kg plums, halved, on ten trays at 60 C")
    good = talk.say("the plums weigh 3 kg", 6)
    odd = talk.say(f"the plums weigh {weight}", 2)
    assert words in said(odd, "weight-odd")
    water = [n.likely for a in (good, odd) for n in a.numbers if n.name == "present_moisture"]
    assert water[0] == pytest.approx(water[1])
    assert not said(talk.say("the plums weigh 2.5 kg", 2), "weight-odd")


def test_hours_left_run_down_between_weighings(talk: Talk) -> None:
    talk.say("4 kg plums, halved, on ten trays at 60 C")
    left = [
        n.likely
        for answer in (talk.say("the plums weigh 3 kg", 5), talk.say("how long have the plums?", 4))
        for n in answer.numbers
        if n.name == "remaining_time"
    ]
    assert left[1] == pytest.approx(left[0] - 4, abs=0.1)


def test_heat_and_cuts_beyond_the_model_get_no_time_and_say_so(talk: Talk) -> None:
    hot = talk.say("2 kg courgettes, sliced 5 mm, on the trays at 150 C")
    assert "hold from" in said(hot, "heat-out-of-reach")
    thick = talk.say("2 kg beets, sliced 400 mm, on the trays")
    assert "beyond" in said(thick, "cut-out-of-reach")
    for answer in (hot, thick):
        assert "drying_time" not in {n.name for n in answer.numbers}


@pytest.mark.parametrize(
    ("humidity", "heat", "start"),
    [(85, 35, "A kitchen at"), (45, 45, "No: in a kitchen")],
)
def test_whether_it_is_too_damp_is_answered(
    talk: Talk, humidity: int, heat: int, start: str
) -> None:
    talk.say(f"kitchen is 28 C and {humidity}% humidity")
    talk.say(f"1 kg mint leaves on the trays at {heat} C")
    assert talk.say("is it too damp to dry the mint today?").replies[0].text.startswith(start)


def test_a_seal_asked_of_no_food_is_about_what_was_last_spoken_of(talk: Talk) -> None:
    talk.say("4 kg plums, halved, on ten trays at 60 C")
    talk.say("the plums weigh 2 kg", 6)
    assert talk.say("is vacuum sealing sound now?").replies[0].text.startswith("No, not yet")
    plain = talk.say("what is the water activity of the plums?").replies[0].text
    assert plain.startswith("By the last weighing")


def test_a_little_more_than_fits_is_no_warning(talk: Talk) -> None:
    assert not said(talk.say("4 kg plums, halved, on six trays at 60 C"), "trays-short")
