"""What a person at a terminal sees: a bar while work lasts, and a question where columns are not known."""

from __future__ import annotations

import os
import pty
import subprocess
import sys
from pathlib import Path

import pytest
from tests.desk.small_folder import Folder, small_folder

pytestmark = pytest.mark.skipif(sys.platform == "win32", reason="pseudo-terminals are a matter of Unix")


def at_a_terminal(answer: str, *arguments: object) -> tuple[int, str, str]:
    """Runs `evenhand` with a terminal for standard input and error; exit code, output, and what it showed."""
    ours, theirs = pty.openpty()
    command = [sys.executable, "-m", "evenhand", *map(str, arguments)]
    environment = {**os.environ, "TERM": "xterm", "COLUMNS": "120"}
    with subprocess.Popen(
        command, stdin=theirs, stderr=theirs, stdout=subprocess.PIPE, text=True, env=environment
    ) as running:
        os.close(theirs)
        os.write(ours, answer.encode())
        shown = b""
        while True:
            try:
                part = os.read(ours, 4096)
            except OSError:  # what Linux says when the other side has gone
                break
            if not part:
                break
            shown += part
        assert running.stdout is not None
        out = running.stdout.read()
    os.close(ours)
    return running.returncode, out, shown.decode("utf-8", "replace")


@pytest.fixture
def bare() -> Folder:
    """The small study without a word on which column is what."""
    folder = small_folder()
    del folder.document["layouts"]
    return folder


@pytest.mark.parametrize(("answer", "code"), [("y\n", 0), ("n\n", 1)])
def test_a_person_is_asked_once_and_the_answer_holds(
    bare: Folder, tmp_path: Path, answer: str, code: int
) -> None:
    study = bare.write(tmp_path / "study")
    place = tmp_path / "bench.evenhand"
    returned, out, shown = at_a_terminal(answer, "--workbench", place, "import", study)
    assert returned == code
    assert shown.count("Are these columns what they seem to be?") == 1
    assert "frame time" in out
    assert "18 new runs" in out


def test_a_bar_shows_while_work_lasts_and_leaves_the_answer_alone(tmp_path: Path) -> None:
    study = small_folder().write(tmp_path / "study")
    code, out, shown = at_a_terminal("", "--workbench", tmp_path / "bench.evenhand", "import", study)
    assert code == 0
    assert "importing" in shown
    assert out.startswith("quay: 18 new runs")


def test_with_json_nothing_is_shown_beside_the_answer(tmp_path: Path) -> None:
    study = small_folder().write(tmp_path / "study")
    place = tmp_path / "bench.evenhand"
    code, out, shown = at_a_terminal("", "--workbench", place, "import", study, "--json")
    assert (code, shown) == (0, "")
    assert out.startswith("{")
