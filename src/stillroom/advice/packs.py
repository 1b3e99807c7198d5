"""Finding packs and loading them: built-in, installed, the person's own, those of the call."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from contextlib import contextmanager
from pathlib import Path

from stillroom.advice.book import BUILT_IN, RuleBook, put_together
from stillroom.advice.fields import Fields, load_fields
from stillroom.advice.gates import Gates
from stillroom.advice.rule import Pack, pack_from_json, pack_to_json
from stillroom.base.cache import digest, fetch, keep
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


Keyed = tuple[str, Pack]


def _read(
    origin: str, path: Path, fields: Fields, remember: bool
) -> tuple[str, Pack | None, list[Problem]]:
    """A pack by its key in the cache; one without fault comes from there when it can."""
    from stillroom.advice.packtext import read_text

    text, problems = read_text(path)
    if text is None:
        return "", None, problems
    key = digest("pack", fields.mark, origin, str(path), text) if fields.mark else ""
    known = fetch(key) if key and remember else None
    if known is not None:
        try:
            return key, pack_from_json(known), []
        except (ValueError, TypeError, KeyError, IndexError):
            pass  # an entry of another shape counts as none
    from stillroom.advice.pack import parse_pack

    pack, problems = parse_pack(text, str(path), fields, origin)
    if key and pack is not None and not problems:
        keep(key, pack_to_json(pack))
    return key, pack, problems


def load_files(
    files: Iterable[tuple[str, Path]], fields: Fields, *, remember: bool = False
) -> tuple[list[Keyed], list[Problem]]:
    """The packs in files with their keys in the cache, and what is wrong with them.

    Args:
        files: pairs (origin, file).
        fields: the kinds of facts and their fields.
        remember: take what the cache holds; such packs have neither examples nor places.
    """
    packs: list[Keyed] = []
    problems: list[Problem] = []
    with _no_collecting():
        for origin, path in files:
            key, pack, faults = _read(origin, path, fields, remember)
            problems += faults
            if pack is not None:
                packs.append((key, pack))
    return packs, problems


@contextmanager
def _no_collecting() -> Iterator[None]:
    """Reading makes many objects and no circles: the collector would go over them in vain."""
    import gc

    was = gc.isenabled()
    gc.disable()
    try:
        yield
    finally:
        if was:
            gc.enable()


def load_book(
    *,
    home: Path | None = None,
    extra: Sequence[Path] = (),
    built_in: Path | None = None,
    installed: bool = True,
    fields: Fields | None = None,
    remember: bool = True,
) -> RuleBook:
    """The rules in force.

    Args:
        home: the person's home; packs in its ``rules/`` are used.
        extra: files or folders of packs named in the call.
        built_in: the folder of the program's own packs; None for the usual one.
        installed: look for packs of installed distributions too.
        fields: the kinds of facts; None for knowledge/fields.yaml.
        remember: use the cache; without it each rule has its examples and places.

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
    if remember:
        book = _remembered(files, fields, problems)
        if book is not None:
            return book
    packs, faults = load_files(files, fields)
    return put_together([pack for _, pack in packs], fields, [*problems, *faults])


def _remembered(
    files: Sequence[tuple[str, Path]], fields: Fields, problems: Sequence[Problem]
) -> RuleBook | None:
    """The book by way of the cache, or None when a fault between packs needs its place.

    A pack with faults of its own is read in full and takes the cache from no other.
    """
    from stillroom.advice.compile import Plan, plan

    packs, faults = load_files(files, fields, remember=True)
    keys = [key for key, _ in packs]
    if not all(keys):
        return None
    key = digest("book", *keys)
    plain = [pack for _, pack in packs]
    told = [*problems, *faults]
    try:
        levels, made, gates = fetch(key)
        book = put_together(plain, fields, told, levels=dict(levels))
        book.plan = Plan.from_json(made)
        book.gates = [Gates.from_json(item) for item in gates]
    except (ValueError, TypeError, KeyError, IndexError):  # no entry, or one of another shape
        book = put_together(plain, fields, told)
        if len(book.problems) == len(told):
            book.plan = plan(book.layers.strata, book.fields)
            levels = {r.id: n for n, rules in enumerate(book.layers.strata) for r in rules}
            keep(key, [levels, book.plan.as_json(), [gate.as_json() for gate in book.gates]])
    return book if len(book.problems) == len(told) else None
