"""A pack is data: it cannot run code, read files, exhaust memory or time, whatever is in it."""

from __future__ import annotations

from pathlib import Path

import pytest
from packwriting import HEAD, MOULD, book_of, write

from stillroom.advice.advise import advise, run
from stillroom.advice.chain import MAX_FIRINGS_OF_RULE, chain
from stillroom.advice.engine import DurableEngine, EngineError, available
from stillroom.advice.fields import load_fields
from stillroom.advice.guard import MAX_WORK_OF_RULE
from stillroom.advice.pack import MAX_RULES, parse_pack
from stillroom.advice.packs import load_files
from stillroom.advice.trace import rules_trace
from stillroom.base.fact import Fact
from stillroom.base.statement import Reading
from stillroom.talk.answer import Answer
from stillroom.talk.wording import answer_lines

RULE = (
    "\n  - id: my.rule\n    when: [{as: lot, kind: lot%s}]\n    advise: {topic: cut}\n    say: %s"
)


def names(text: str) -> set[str]:
    """The names of what is wrong with a pack; no rule with a fault is in it."""
    pack, problems = parse_pack(text, "x.yaml", load_fields())
    assert problems
    assert pack is None or not pack.rules
    assert all(problem.text and problem.file == "x.yaml" for problem in problems)
    return {problem.name for problem in problems}


def one(more: str = "", say: str = "Cut it.") -> str:
    return HEAD.format(name="x") + "rules:" + RULE % (more, say) + "\n"


def bomb() -> str:
    rows = ["a: &a [x, x, x, x, x, x, x, x, x]"]
    rows += [
        f"{b}: &{b} [{', '.join([f'*{a}'] * 9)}]"
        for a, b in zip("abcdefgh", "bcdefghi", strict=True)
    ]
    return "\n".join(rows)


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        (bomb(), "alias"),
        ("a: &a [*a]", "alias"),
        (one(", food: !!python/name:os.system x"), "tag"),
        (one(", food: !include /etc/passwd"), "tag"),
        (one(", food: {not: {not: {not: {not: {not: plum}}}}}"), "not-value"),
        ("pack: " + "[" * 200 + "]" * 200, "too-deep"),
        ("pack: " + "[" * 100_000, "not-yaml"),
        (one(", fresh_g: {above: 1" + "0" * 5_000 + "}"), "too-long"),
        (one(", fresh_g: {above: 1" + "0" * 400 + "}"), "wrong-type"),
        (one(", fresh_g: {above: 1e999}"), "wrong-type"),
        (one(", fresh_g: {above: .inf}"), "wrong-type"),
        (one(", fresh_g: {above: .nan}"), "wrong-type"),
        (one(", fresh_g: {above: 1e-9}"), "number-size"),
        (one(", food: " + "x" * 5_000), "too-long"),
        (one(", food: [" + ", ".join(f"f{n}" for n in range(500)) + "]"), "list-size"),
        (one(say='"{lot.__class__.__mro__}"'), "bad-placeholder"),
        (one(say='"{lot.food:>99999999}"'), "bad-placeholder"),
        (one(say='"{lot.food!r:{lot.food}}"'), "bad-placeholder"),
        (one(say='"{0}"'), "bad-placeholder"),
        (one().replace("when: [", "when: [" + "{kind: lot}, " * 20), "too-many"),
        ("\x00\x01\x02", "not-yaml"),
        ("a: b: c", "not-yaml"),
        ("- just\n- a list", "not-a-pack"),
        ("pack: x\n---\npack: y", "not-yaml"),
    ],
    ids=lambda value: str(value)[:40] if len(str(value)) < 400 else str(value)[:20],
)  # fmt: skip
def test_refused(text: str, expected: str) -> None:
    assert expected in names(text)


@pytest.mark.parametrize("raw", [b"\xff\xfe\x00bad", b"x" * 4_000_001])
def test_files_that_are_no_text_or_too_big(tmp_path: Path, raw: bytes) -> None:
    path = tmp_path / "bad.yaml"
    path.write_bytes(raw)
    packs, problems = load_files([("given", path)], load_fields())
    assert packs == []
    assert [p.name for p in problems] == ["not-utf-8" if raw[0] == 255 else "too-big"]


def test_missing_file(tmp_path: Path) -> None:
    assert [p.name for p in load_files([("given", tmp_path / "no.yaml")], load_fields())[1]] == [
        "unreadable"
    ]


def test_ten_thousand_rules_are_refused_in_one_sentence() -> None:
    rules = "".join(RULE.replace("my.rule", f"my.rule-{n}") % ("", "x") for n in range(10_000))
    pack, problems = parse_pack(HEAD.format(name="x") + "rules:" + rules, "x", load_fields())
    assert pack is not None
    assert pack.rules == ()
    assert [p.name for p in problems] == ["too-many"]
    assert f"{MAX_RULES:,}" in problems[0].text


LOOSE = "\n  - id: my.loose\n    when: [%s]\n    derive: [{kind: finding, is: not-dry}]\n"
SAID = tuple(Fact("said", {"statement": f"s{n}", "food": "plum"}) for n in range(80))


@pytest.mark.parametrize("join", ["", ", food: $a.food"], ids=["loose", "joined"])
def test_rule_that_matches_in_too_many_ways_is_stopped(tmp_path: Path, join: str) -> None:
    patterns = "{as: a, kind: said}, " + ", ".join(
        f"{{as: {x}, kind: said{join}}}" for x in ("b", "c", "d")
    )
    book = book_of(tmp_path, write(tmp_path, "mine", LOOSE % patterns))
    assert book.problems == []
    book.cleared = True
    outcome = run(book, SAID)
    assert outcome.engine == "plain"
    assert sum(f.rule == "my.loose" for f in outcome.firings) <= MAX_FIRINGS_OF_RULE
    assert [p.name for p in outcome.problems] == ["too-many-matches"]
    advice = advise(SAID, book)
    assert list(advice.problems) == outcome.problems
    assert "cut short: Rule my.loose matches" in rules_trace(advice, book)
    told = answer_lines(Answer(Reading("plums"), advice), {})
    assert any("cut short" in line.text and "my.loose" in line.text for line in told)
    assert Answer(Reading("plums"), advice).as_json()["problems"] == [str(advice.problems[0])]


@pytest.mark.skipif(not available(), reason="the durable-rules extension is not installed")
def test_engine_counts_facts_that_rules_add(tmp_path: Path) -> None:
    """The bound holds while the layer runs, not only at its start."""
    rules = (
        "\n  - id: my.copy\n    when: [{as: s, kind: said}]\n"
        "    derive: [{kind: done, batch: $s.statement, prep: washed}]\n"
        "  - id: my.pairs\n    when: [{as: a, kind: done}, {as: b, kind: done}]\n"
        "    derive: [{kind: finding, is: looks-dry}]\n"
    )
    book = book_of(tmp_path, write(tmp_path, "mine", rules))
    engine = DurableEngine(book.layers.strata, book.fields)
    few = SAID[: int(MAX_WORK_OF_RULE**0.5) - 8]
    assert len(engine.run(few).firings) == len(chain(book.layers.strata, few, book.fields).firings)
    with pytest.raises(EngineError, match=r"my\.pairs"):
        engine.run(SAID)
    assert len(engine.run(few[:5]).firings) == 5 + 5 * 4  # and it is of use afterwards


def test_rule_that_feeds_itself_ends(tmp_path: Path) -> None:
    rules = (
        "\n  - id: my.loop\n    when: [{as: a, kind: said}, {as: b, kind: said}]\n"
        "    derive: [{kind: said, statement: $a.statement, food: $b.food, batch: $b.statement}]\n"
    )
    book = book_of(tmp_path, write(tmp_path, "mine", rules))
    outcome = run(book, SAID)
    assert outcome.engine == "plain"
    assert outcome.problems


def test_catastrophic_patterns_cannot_be_written() -> None:
    """Placeholders and ids are matched by expressions that take linear time."""
    assert "bad-placeholder" in names(one(say='"' + "{a." * 600 + '"'))
    assert "bad-id" in names(one().replace("my.rule", "a-" * 900))


def test_mould_pack_of_the_tests_is_sound() -> None:
    pack, problems = parse_pack(HEAD.format(name="x") + "rules:" + MOULD, "x", load_fields())
    assert problems == []
    assert pack is not None
    assert len(pack.rules) == 4
