"""No pack can take a built-in ``stop`` away, soften it, or crowd it out."""

from __future__ import annotations

from pathlib import Path

import pytest
from packwriting import book_of, write

from stillroom.advice.advise import advise
from stillroom.advice.engine import available
from stillroom.base.fact import Advice, Fact

MOULDY = (Fact("seen", {"batch": "plum-1", "food": "plum", "sign": "mould"}, ("fuzzy",)),)
WET = (Fact("seen", {"batch": "plum-1", "food": "plum", "sign": "soft"}),)


def stops(advice: Advice) -> list[str]:
    return [c.rule for c in advice.cautions if c.severity == "stop"]


ATTACKS = {
    "switch off": ("switch_off: [hazard.mould]\n", ""),
    "replace": (
        "replace: [hazard.mould]\n",
        "\n  - id: hazard.mould\n    when: [{as: s, kind: seen, sign: mould}]\n"
        "    caution: {severity: note, hazard: mould}\n    say: Fine.\n",
    ),
    "same id": (
        "",
        "\n  - id: hazard.mould\n    when: [{as: s, kind: seen, sign: mould}]\n"
        "    caution: {severity: note, hazard: mould}\n    say: Fine.\n",
    ),
    "override": (
        "",
        "\n  - id: my.fine\n    when: [{as: s, kind: seen, sign: mould}]\n"
        "    caution: {severity: note, hazard: mould}\n    say: Fine.\n    priority: 0\n"
        "    overrides: [hazard.mould]\n",
    ),
    "same hazard, softer": (
        "",
        "\n  - id: my.fine\n    when: [{as: s, kind: seen, sign: mould}]\n    priority: 0\n"
        "    caution: {severity: note, hazard: mould}\n    say: Fine.\n",
    ),
}


@pytest.mark.parametrize("attack", ATTACKS)
@pytest.mark.parametrize("engine", ["plain", *(["durable"] if available() else [])])
def test_stop_stays(tmp_path: Path, attack: str, engine: str) -> None:
    head, rules = ATTACKS[attack]
    book = book_of(tmp_path, write(tmp_path, "mine", rules, head))
    book.cleared = True  # as if the canary had passed
    made = advise(MOULDY, book, engine=engine)
    assert made.engine == engine
    assert stops(made) == ["hazard.mould"]
    assert made.cautions[0].text == "Throw it away."


def test_stop_that_rests_on_derived_facts_survives_its_pieces_being_switched_off(
    tmp_path: Path,
) -> None:
    book = book_of(tmp_path, write(tmp_path, "mine", "", "switch_off: [dry.test]\n"))
    assert book.problems == []
    assert stops(advise(WET, book)) == ["hazard.wet-jar"]


def test_pack_cannot_feed_the_exception_of_a_stop(tmp_path: Path) -> None:
    rules = (
        "\n  - id: my.redry\n    when: [{as: s, kind: seen, sign: soft}]\n"
        "    derive: [{kind: finding, batch: $s.batch, is: redry}]\n"
    )
    book = book_of(tmp_path, write(tmp_path, "mine", rules))
    assert stops(advise(WET, book)) == ["hazard.wet-jar"]


def test_pack_cannot_draw_a_stop_into_a_circle(tmp_path: Path) -> None:
    rules = (
        "\n  - id: my.circle\n    when: [{as: s, kind: seen, sign: soft}]\n"
        "    unless: [{kind: finding, is: not-dry}]\n"
        "    derive: [{kind: seen, batch: $s.batch, sign: soft, food: beet}]\n"
    )
    book = book_of(tmp_path, write(tmp_path, "mine", rules))
    assert [p.name for p in book.problems] == ["cycle"]
    assert "dry.test" in {rule.id for rules in book.layers.strata for rule in rules}
    assert stops(advise(WET, book)) == ["hazard.wet-jar"]


def test_pack_cannot_crowd_a_stop_out(tmp_path: Path) -> None:
    rules = (
        "\n  - id: my.flood\n    when: [{as: a, kind: said}, {as: b, kind: said},"
        " {as: c, kind: said}]\n"
        "    derive: [{kind: lot, batch: $a.statement, food: $b.statement, place: $c.statement}]\n"
    )
    book = book_of(tmp_path, write(tmp_path, "mine", rules))
    said = [Fact("said", {"statement": f"s{n}"}) for n in range(60)]
    made = advise([*said, *MOULDY, *WET], book)
    assert stops(made) == ["hazard.mould", "hazard.wet-jar"]
    assert made.engine == "plain"


def test_pack_may_add_a_stop_and_make_a_caution_stricter(tmp_path: Path) -> None:
    rules = (
        "\n  - id: my.soft\n    when: [{as: s, kind: seen, sign: soft}]\n"
        "    caution: {severity: stop, hazard: soft-fruit}\n    say: Do not eat {s.food}.\n"
    )
    book = book_of(tmp_path, write(tmp_path, "mine", rules))
    assert stops(advise(WET, book)) == ["hazard.wet-jar", "my.soft"]
