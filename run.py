#!/usr/bin/env python3
"""Start Evenhand from a fresh checkout: ``python3 run.py demo`` or ``python3 run.py test``.

Standard library only. The first call makes ``.venv`` and installs the locked packages, each
checked against its hash; later calls only check that the lock has not changed.

    python3 run.py demo               the worked example, from raw logs to pictures
    python3 run.py test [ARGUMENTS]   the checks and tests that people and CI run alike
    python3 run.py ANYTHING ELSE      the same as ``evenhand ANYTHING ELSE``
"""

from __future__ import annotations

import hashlib
import os
import subprocess
import sys
import tempfile
import venv
from pathlib import Path

HERE = Path(__file__).resolve().parent
VENV = HERE / ".venv"
PYTHON = VENV / ("Scripts/python.exe" if os.name == "nt" else "bin/python")
LOCKS = {"run": HERE / "requirements.lock", "test": HERE / "requirements-dev.lock"}
LEAST_PYTHON = (3, 11)


def main(arguments: list[str]) -> int:
    """Do what was asked; the exit code of what ran."""
    if sys.version_info < LEAST_PYTHON:
        found = ".".join(map(str, sys.version_info[:3]))
        print(f"Evenhand needs Python 3.11 or newer; this is {found}.", file=sys.stderr)
        return 2
    if arguments[:1] == ["test"]:
        prepare("test")
        return run_checks(arguments[1:])
    prepare("run")
    return subprocess.call([str(PYTHON), "-m", "evenhand", *arguments])


def prepare(purpose: str) -> None:
    """Make the virtual environment hold what the lock for `purpose` names."""
    if not PYTHON.exists():
        say("making .venv")
        venv.create(VENV, with_pip=True, clear=VENV.exists())
    if not lock_installed(purpose):
        say(f"installing {LOCKS[purpose].name} (once, about 20 seconds)")
        install(purpose)


def lock_installed(purpose: str) -> bool:
    """Whether the stamp left by the last install matches the lock, or a lock that includes it."""
    names = ("test",) if purpose == "test" else ("run", "test")
    return any(stamp(name).exists() and stamp(name).read_text() == lock_hash(name) for name in names)


def install(purpose: str) -> None:
    """Install what the lock names and nothing else, hash-checked, wheels only."""
    quiet = ["-q", "--disable-pip-version-check", "--no-input"]
    subprocess.run(
        [
            str(PYTHON),
            "-m",
            "pip",
            "install",
            *quiet,
            "--require-hashes",
            "--no-deps",  # the lock is whole: a package released since must not be considered
            "--only-binary=:all:",
            "-r",
            str(LOCKS[purpose]),
        ],
        check=True,
    )
    point_at_source()
    stamp(purpose).write_text(lock_hash(purpose))


def point_at_source() -> None:
    """Let the environment import ``src/evenhand`` in place, without building a package."""
    asked = [str(PYTHON), "-c", "import sysconfig; print(sysconfig.get_path('purelib'))"]
    site_packages = subprocess.run(asked, check=True, capture_output=True, text=True).stdout.strip()
    (Path(site_packages) / "evenhand-source.pth").write_text(f"{HERE / 'src'}\n", encoding="utf-8")


def stamp(purpose: str) -> Path:
    """The file that remembers which lock was installed."""
    return VENV / f".lock-{purpose}"


def lock_hash(purpose: str) -> str:
    """The lock's hash and this folder: a checkout that was moved installs again."""
    return hashlib.sha256(LOCKS[purpose].read_bytes() + str(HERE).encode()).hexdigest()


def run_checks(arguments: list[str]) -> int:
    """Every check; with arguments, only pytest with those arguments. The exit code is 0 where all is well."""
    if arguments:
        return subprocess.call([str(PYTHON), "-m", "pytest", *arguments], cwd=HERE)
    for check in (["ruff", "check", "."], ["ruff", "format", "--check", "."]):
        say(" ".join(check))
        code = subprocess.call([str(PYTHON), "-m", *check], cwd=HERE)
        if code:
            say(f"{check[0]} found something (exit {code})")
            return code
    return types_beside_tests()


def types_beside_tests() -> int:
    """The types are looked at while the tests go on, and what was found is told after them, come what may."""
    # Whoever has done all that is its own takes over from the others, so that no core is idle in the end.
    tests = ["pytest", "-n", workers(), "--dist", "worksteal"]
    say("mypy, and beside it " + " ".join(tests))
    with tempfile.TemporaryFile("w+", encoding="utf-8") as said:
        types = subprocess.Popen([str(PYTHON), "-m", "mypy"], cwd=HERE, stdout=said, stderr=subprocess.STDOUT)
        try:
            compile_once()
            codes = {"pytest": subprocess.call([str(PYTHON), "-m", *tests], cwd=HERE), "mypy": types.wait()}
        finally:
            types.kill()
        said.seek(0)
        print(said.read(), end="", flush=True)
    for name, code in codes.items():
        if code:
            say(f"{name} found something (exit {code})")
    return next((code for code in codes.values() if code), 0)


def compile_once() -> None:
    """Let one process compile the tests of a fresh checkout: else each worker would, all at the same time."""
    if not sys.dont_write_bytecode and not (HERE / "tests" / "__pycache__").exists():
        looks = ["pytest", "--collect-only", "-qq"]
        subprocess.call([str(PYTHON), "-m", *looks], cwd=HERE, stdout=subprocess.DEVNULL)


def workers() -> str:
    """One more than there are cores: a test that waits for a browser or a clock leaves its core idle."""
    lent = getattr(os, "sched_getaffinity", None)
    return str((len(lent(0)) if lent else os.cpu_count() or 1) + 1)


def say(words: str) -> None:
    """One line to the person, apart from what the command prints."""
    print(f"run.py: {words}", file=sys.stderr, flush=True)


if __name__ == "__main__":
    try:
        sys.exit(main(sys.argv[1:]))
    except KeyboardInterrupt:
        sys.exit(130)
    except subprocess.CalledProcessError as failed:
        say(f"could not finish: {failed}. Is the network up, and this folder writable?")
        sys.exit(1)
