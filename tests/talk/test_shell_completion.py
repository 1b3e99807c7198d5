"""The completion scripts are sound for their shells, and bash completes with them."""

from __future__ import annotations

import shutil
import subprocess
import sys
from pathlib import Path

import pytest


@pytest.fixture(scope="module")
def scripts(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("completion")
    for shell in ("bash", "zsh", "tcsh"):
        ran = subprocess.run(
            [sys.executable, "-m", "stillroom", "completion", shell],
            capture_output=True, text=True, check=True,
        )  # fmt: skip
        (folder / shell).write_text(ran.stdout, encoding="utf-8")
    return folder


@pytest.mark.parametrize("shell", ["bash", "zsh"])
def test_the_shell_takes_the_script(shell: str, scripts: Path) -> None:
    if shutil.which(shell) is None:
        pytest.skip(f"there is no {shell} here")
    ran = subprocess.run([shell, "-n", str(scripts / shell)], capture_output=True, check=False)
    assert (ran.returncode, ran.stderr) == (0, b"")


@pytest.mark.parametrize("shell", ["bash", "zsh", "tcsh"])
def test_every_command_and_option_is_in_the_script(shell: str, scripts: Path) -> None:
    text = (scripts / shell).read_text(encoding="utf-8")
    for word in ("tell", "journal", "rules", "plot", "labels", "reread", "trace", "dry-run"):
        assert word in text


@pytest.mark.skipif(shutil.which("bash") is None, reason="there is no bash here")
@pytest.mark.parametrize(
    ("typed", "found"),
    [
        (["stillroom", "te"], {"tell"}),
        (["stillroom", "journal", "lab"], {"labels"}),
        (["stillroom", "rules", "s"], {"show", "schema"}),
        (["stillroom", "tell", "--dr"], {"--dry-run"}),
        (["stillroom", "tell", "--measure", "m"], {"metric"}),
        (["stillroom", "rules", "check", "pac"], {"pack.yaml"}),
        (["stillroom", "tell", "--file", "pac"], {"pack.yaml"}),
    ],
)
def test_bash_completes(typed: list[str], found: set[str], scripts: Path, tmp_path: Path) -> None:
    (tmp_path / "pack.yaml").touch()
    words = " ".join(f'"{word}"' for word in typed)
    program = (
        f'source "{scripts / "bash"}"; COMP_WORDS=({words}); COMP_CWORD={len(typed) - 1}; '
        "$(complete -p stillroom | sed 's/.*-F \\([^ ]*\\).*/\\1/') stillroom; "
        'printf "%s\\n" "${COMPREPLY[@]}"'
    )
    ran = subprocess.run(
        ["bash", "-c", program], cwd=tmp_path, capture_output=True, text=True, check=False
    )
    assert set(ran.stdout.split()) == found, ran.stderr
