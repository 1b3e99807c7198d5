"""Packs by strangers are tried in a child process before this one gives them to the C engine.

The child compiles every ruleset and tells it facts made to fire each of its rules. A verdict is
kept by a digest of exactly what the engine would get. Until there is one, and after a bad one,
the plain chainer answers.
"""

from __future__ import annotations

import json
import subprocess
import sys
from contextlib import suppress
from typing import Any

from stillroom.advice.compile import Plan
from stillroom.advice.fields import Fields, load_fields
from stillroom.advice.lint import lint
from stillroom.base.cache import age, digest, fetch, keep
from stillroom.base.fact import Value

TIME_LIMIT_S = 20
MEMORY_LIMIT = 1 << 31
_CHANGE = {"$gt": 1.0, "$lt": -1.0, "$gte": 0.0, "$lte": 0.0}
_MODULE = [sys.executable, "-P", "-X", "faulthandler", "-m", "stillroom.advice.canary"]
_asked: set[str] = set()


def key_of(made: Plan) -> str:
    """The name of a plan's verdict."""
    return digest("canary", json.dumps(made.as_json(), sort_keys=True))


def verdict(made: Plan) -> str | None:
    """Empty when the plan passed, the reason when it failed, None when it was not tried yet."""
    known = fetch(key_of(made))
    return known if isinstance(known, str) else None


def prove(made: Plan) -> str:
    """Try a plan now, and keep the verdict: empty when it passed, else the reason."""
    faults = lint(made)
    found = f"not safe for the engine: {'; '.join(faults[:3])}" if faults else _try(made)
    keep(key_of(made), found)
    return found


def ask(made: Plan) -> None:
    """Have a plan tried by a process of its own, without waiting for it."""
    key = key_of(made)
    if key in _asked or age(f"{key}-job") < 2 * TIME_LIMIT_S:
        return
    keep(f"{key}-job", made.as_json())
    null = subprocess.DEVNULL
    _asked.add(key)
    # A process that cannot be started leaves the plain chainer in charge.
    with suppress(OSError):
        started = subprocess.Popen(
            [*_MODULE, key], stdin=null, stdout=null, stderr=null, start_new_session=True
        )
        started.returncode = 0  # it goes its own way: nobody here waits for it


def _try(made: Plan) -> str:
    """The child's verdict on a plan."""
    try:
        done = subprocess.run(
            [*_MODULE, "--child"], input=json.dumps(made.as_json()).encode(), check=False,
            stdout=subprocess.DEVNULL, stderr=subprocess.PIPE, timeout=TIME_LIMIT_S,
        )  # fmt: skip
    except subprocess.TimeoutExpired:
        return f"it kept the engine busy for {TIME_LIMIT_S} s"
    except OSError as error:
        return f"it could not be tried: {error.strerror}"
    if done.returncode == 0:
        return ""
    if done.returncode < 0:
        return f"it brought the engine down (signal {-done.returncode})"
    last = done.stderr.decode(errors="replace").strip().splitlines()
    return f"the engine refused it: {last[-1][:200] if last else 'no reason given'}"


def _fill(fact: dict[str, Value], test: dict[str, Any], before: dict[str, Any], types: Any) -> None:
    """Set what one test asks for."""
    ((first, value),) = test.items()
    name = first
    if first.startswith("$"):
        ((name, value),) = value.items()
    if isinstance(value, dict):
        ((alias, other),) = value.items()
        fact[name] = before[alias].setdefault(other, "same")
    elif first in _CHANGE:
        fact.setdefault(name, value + _CHANGE[first])
    elif first == "$neq":
        fact.setdefault(name, not value if isinstance(value, bool) else
                        f"not {value}" if isinstance(value, str) else value + 1.0)  # fmt: skip
    elif first == "$ex":
        fact.setdefault(name, {"number": 1.0, "truth": True}.get(types.get(name, ""), "same"))
    else:
        fact[name] = value


def facts_of(body: str, fields: Fields) -> list[dict[str, Value]]:
    """Facts that each rule of a ruleset should fire on, and one with every field of each kind."""
    found: list[dict[str, Value]] = []
    full: dict[str, dict[str, Value]] = {}
    for patterns in json.loads(body):
        before: dict[str, dict[str, Value]] = {}
        for pattern in patterns:
            ((alias, inner),) = pattern.items()
            kind = inner["$and"][0]["kind"]
            types = {name: field.type for name, field in fields.kinds.get(kind, {}).items()}
            before[alias] = {}
            for test in inner["$and"]:
                _fill(before[alias], test, before, types)
        found += before.values()
        for fact in before.values():
            full.setdefault(str(fact["kind"]), {}).update(fact)
    known = {json.dumps(fact, sort_keys=True): fact for fact in [*found, *full.values()]}
    return [{**fact, "id": f"f{n}", "sid": "q"} for n, fact in enumerate(known.values())]


def _bound_memory() -> None:
    try:
        import resource
    except ImportError:  # not on this platform
        return
    resource.setrlimit(resource.RLIMIT_AS, (MEMORY_LIMIT, MEMORY_LIMIT))


def main(arguments: list[str]) -> int:
    """As a child: try the plan on standard input. Else: try the job kept under a key."""
    if arguments == ["--child"]:
        from stillroom.advice.engine import EngineError, rehearse

        _bound_memory()
        fields = load_fields()
        try:
            rehearse(Plan.from_json(json.load(sys.stdin)), lambda body: facts_of(body, fields))
        except EngineError as error:
            sys.stderr.write(f"{error}\n")
            return 1
        return 0
    job = fetch(f"{arguments[0]}-job") if arguments else None
    if job is not None:
        prove(Plan.from_json(job))
    return 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
