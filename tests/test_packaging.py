"""The rules and the knowledge are found from a checkout and from an installed wheel."""

from __future__ import annotations

import os
import subprocess
import sys
import zipfile
from pathlib import Path

import pytest

from stillroom.base.paths import data_root, home_dir, knowledge_dir, rules_dir

ROOT = Path(__file__).resolve().parent.parent


def test_checkout_finds_its_own_data() -> None:
    assert data_root() == ROOT
    assert (knowledge_dir() / "foods.csv").is_file()
    assert list(rules_dir().glob("*.yaml"))


@pytest.fixture(scope="module")
def unpacked(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A wheel of this checkout, unpacked as an installer would."""
    folder = tmp_path_factory.mktemp("wheel")
    subprocess.run(
        [sys.executable, "-m", "hatchling", "build", "-t", "wheel", "-d", str(folder)],
        cwd=ROOT, check=True, capture_output=True,
    )  # fmt: skip
    (wheel,) = folder.glob("*.whl")
    with zipfile.ZipFile(wheel) as archive:
        archive.extractall(folder / "site")
    return folder / "site"


def test_wheel_ships_rules_and_knowledge(unpacked: Path) -> None:
    data = unpacked / "stillroom" / "_data"
    shipped = {path.relative_to(data) for path in data.rglob("*.csv")}
    assert shipped == {path.relative_to(ROOT) for path in (ROOT / "knowledge").rglob("*.csv")}
    assert {path.name for path in (data / "rules").glob("*.yaml")} == {
        path.name for path in (ROOT / "rules").glob("*.yaml")
    }
    assert (unpacked / "stillroom" / "py.typed").is_file()


def test_wheel_answers_a_note_by_itself(unpacked: Path, tmp_path: Path) -> None:
    code = (
        "import sys; from stillroom.base.paths import data_root\n"
        "from stillroom.talk.cli import run\n"
        "print(data_root()); sys.exit(run(['tell', '--dry-run', '2 kg plums, halved, pitted']))"
    )
    environment = {
        **os.environ, "PYTHONPATH": str(unpacked), "STILLROOM_HOME": str(tmp_path / "home"),
        "XDG_CACHE_HOME": str(tmp_path / "cache"),
    }  # fmt: skip
    done = subprocess.run(
        [sys.executable, "-c", code], cwd=tmp_path, env=environment, text=True,
        capture_output=True, check=False,
    )  # fmt: skip
    assert done.returncode == 0, done.stderr
    assert str(unpacked) in done.stdout.splitlines()[0]
    assert "plum" in done.stdout


def test_home_is_chosen_then_named_then_the_platforms(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("STILLROOM_HOME", "/somewhere")
    assert home_dir("/else") == Path("/else")
    assert home_dir() == Path("/somewhere")
    monkeypatch.delenv("STILLROOM_HOME")
    assert home_dir().name == "stillroom"
