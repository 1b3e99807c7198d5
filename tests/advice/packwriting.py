"""Small packs for tests, written as text."""

from __future__ import annotations

from pathlib import Path

from stillroom.advice.book import RuleBook
from stillroom.advice.packs import load_book

HEAD = "pack: {name}\nversion: 1.0.0\nstanding: Made up for a test.\n"
MOULD = """
  - id: hazard.mould
    when: [{as: s, kind: seen, sign: mould}]
    derive: [{kind: finding, batch: $s.batch, is: discard}]
    caution: {severity: stop, hazard: mould}
    say: Throw it away.
  - id: hazard.wet-jar
    when: [{as: f, kind: finding, is: not-dry}]
    unless: [{kind: finding, batch: $f.batch, is: redry}]
    caution: {severity: stop, hazard: wet-jar}
    say: Open the jar and dry it again.
  - id: dry.test
    when: [{as: s, kind: seen, sign: soft}]
    derive: [{kind: finding, batch: $s.batch, is: not-dry}]
  - id: surface.mesh
    when: [{as: lot, kind: lot, cut: sliced}]
    advise: {topic: surface, value: mesh}
    say: Lay {lot.food} on a mesh.
"""


def write(folder: Path, name: str, rules: str = "", head: str = "") -> Path:
    """A pack file with these rules."""
    folder.mkdir(parents=True, exist_ok=True)
    path = folder / f"{name}.yaml"
    body = f"rules:{rules}" if rules else ""
    path.write_text(HEAD.format(name=name) + head + body, encoding="utf-8")
    return path


def book_of(folder: Path, *extra: Path, remember: bool = False) -> RuleBook:
    """The book of a made-up built-in pack and of packs on top of it."""
    write(folder / "own", "base", MOULD)
    return load_book(
        built_in=folder / "own", extra=extra, installed=False, remember=remember
    )  # fmt: skip
