"""`run.py test` tells what every check found, and fails where one of them did."""

from __future__ import annotations

import importlib.util
import sys
from pathlib import Path
from types import ModuleType

import pytest

ROOT = Path(__file__).parents[2]


@pytest.fixture
def front(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> ModuleType:
    """The front door, in a folder where checks can be laid that only say their names and end as told."""
    spec = importlib.util.spec_from_file_location("front", ROOT / "run.py")
    assert spec
    assert spec.loader
    made = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(made)
    monkeypatch.setattr(made, "HERE", tmp_path)
    monkeypatch.setattr(made, "PYTHON", Path(sys.executable))
    monkeypatch.delenv("PYTHONSAFEPATH", raising=False)
    return made


def lay(folder: Path, **codes: int) -> None:
    for name in ("ruff", "mypy", "pytest"):
        code = codes.get(name, 0)
        (folder / f"{name}.py").write_text(
            f"import sys; print('{name} says', sys.argv[1:]); sys.exit({code})"
        )


@pytest.mark.parametrize(
    ("codes", "ends"),
    [({}, 0), ({"mypy": 1}, 1), ({"pytest": 3}, 3), ({"mypy": 1, "pytest": 3}, 3), ({"ruff": 5}, 5)],
)
def test_it_ends_as_the_checks_do(
    front: ModuleType, tmp_path: Path, codes: dict[str, int], ends: int, capfd: pytest.CaptureFixture[str]
) -> None:
    lay(tmp_path, **codes)
    assert front.run_checks([]) == ends
    told = capfd.readouterr()
    assert all(f"{name} found something (exit {code})" in told.err for name, code in codes.items())
    assert ("mypy says" in told.out) == ("pytest says" in told.out) == ("ruff" not in codes)


def test_with_arguments_only_those_tests_are_run(
    front: ModuleType, tmp_path: Path, capfd: pytest.CaptureFixture[str]
) -> None:
    lay(tmp_path, ruff=5, mypy=1)
    assert front.run_checks(["tests/stats"]) == 0
    assert capfd.readouterr().out == "pytest says ['tests/stats']\n"


def test_there_is_one_more_to_run_tests_than_there_are_cores(
    front: ModuleType, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capfd: pytest.CaptureFixture[str]
) -> None:
    lay(tmp_path)
    monkeypatch.setattr(front.os, "sched_getaffinity", lambda _: {0, 3}, raising=False)
    assert front.run_checks([]) == 0
    assert "pytest says ['-n', '3', " in capfd.readouterr().out
    monkeypatch.delattr(front.os, "sched_getaffinity")
    monkeypatch.setattr(front.os, "cpu_count", lambda: None)
    assert front.workers() == "2"


def test_one_process_compiles_the_tests_of_a_fresh_checkout_before_the_workers_begin(
    front: ModuleType, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    lay(tmp_path)
    (tmp_path / "pytest.py").write_text("import sys; print(sys.argv[1], file=open('asked', 'a'))")
    monkeypatch.setattr(front.sys, "dont_write_bytecode", False)
    front.run_checks([])
    assert (tmp_path / "asked").read_text().split() == ["--collect-only", "-n"]
    (tmp_path / "tests" / "__pycache__").mkdir(parents=True)
    front.run_checks([])
    assert (tmp_path / "asked").read_text().split() == ["--collect-only", "-n", "-n"]
