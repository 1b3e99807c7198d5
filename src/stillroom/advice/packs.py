"""Finding packs and loading them: built-in, installed, the person's own, those of the call."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from pathlib import Path

from stillroom.advice.book import BUILT_IN, RuleBook, put_together
from stillroom.advice.fields import Fields, load_fields
from stillroom.advice.pack import parse_pack, read_text
from stillroom.advice.rule import Pack
from stillroom.base.paths import rules_dir
from stillroom.base.problem import Problem

MAX_FILES = 400
GROUP = "stillroom.rules"


def pack_files(path: Path) -> list[Path]:
    """The pack files that a path names: itself, or the *.yaml and *.yml in the folder."""
    if not path.is_dir():
        return [path]
    return sorted(p for p in path.iterdir() if p.suffix in (".yaml", ".yml") and p.is_file())


def _installed() -> Iterator[Path]:
    """Folders of packs that installed distributions name (entry points of group GROUP).

    The value of an entry point is a package; its folder is looked up without running its code.
    """
    from importlib.metadata import entry_points
    from importlib.util import find_spec

    for point in sorted(entry_points(group=GROUP), key=lambda item: item.name):
        top, _, below = point.value.partition(":")[0].partition(".")
        spec = find_spec(top)
        for root in (spec.submodule_search_locations or ()) if spec else ():
            folder = Path(root, *below.split(".")) if below else Path(root)
            if folder.is_dir():
                yield folder


def _places(
    home: Path | None, extra: Iterable[Path], built_in: Path | None, installed: bool
) -> Iterator[tuple[str, Path]]:
    yield BUILT_IN, built_in or rules_dir()
    if installed:
        for folder in _installed():
            yield "installed", folder
    if home is not None and (home / "rules").is_dir():
        yield "home", home / "rules"
    for path in extra:
        yield "given", path


def load_files(
    files: Iterable[tuple[str, Path]], fields: Fields
) -> tuple[list[Pack], list[Problem]]:
    """The packs in files, and what is wrong with them."""
    packs: list[Pack] = []
    problems: list[Problem] = []
    for origin, path in files:
        text, faults = read_text(path)
        problems += faults
        if text is None:
            continue
        pack, faults = parse_pack(text, str(path), fields, origin)
        problems += faults
        if pack is not None:
            packs.append(pack)
    return packs, problems


def load_book(
    *,
    home: Path | None = None,
    extra: Sequence[Path] = (),
    built_in: Path | None = None,
    installed: bool = True,
    fields: Fields | None = None,
) -> RuleBook:
    """The rules in force.

    Args:
        home: the person's home; packs in its ``rules/`` are used.
        extra: files or folders of packs named in the call.
        built_in: the folder of the program's own packs; None for the usual one.
        installed: look for packs of installed distributions too.
        fields: the kinds of facts; None for knowledge/fields.yaml.

    Raises:
        ProblemError: knowledge/fields.yaml is missing or damaged.
    """
    fields = fields or load_fields()
    files: list[tuple[str, Path]] = []
    problems: list[Problem] = []
    for origin, place in _places(home, extra, built_in, installed):
        found = pack_files(place)
        if len(found) > MAX_FILES:
            problems.append(Problem(str(place), 0, 0, "too-many-files",
                                    f"There are more than {MAX_FILES} packs here.",
                                    "Only the first are used."))  # fmt: skip
        files += [(origin, path) for path in found[:MAX_FILES]]
    packs, faults = load_files(files, fields)
    return put_together(packs, fields, [*problems, *faults])
