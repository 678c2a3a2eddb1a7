"""The front door: help, exit codes, errors in words and as JSON, being interrupted."""

from __future__ import annotations

import json
import os
import re
import shlex
import signal
import sqlite3
import subprocess
import sys
import time
from contextlib import closing, suppress
from pathlib import Path

import click
import pytest
from tests.cli.conftest import Command
from tests.desk.small_folder import Folder, small_folder

from evenhand.cli import main
from evenhand.cli.main import DONE, ENDED, NEEDS_YOU, NOT_DONE, STOPPED, help_width
from evenhand.desk import listing
from evenhand.errors import StoreProblem

COMMANDS = sorted(main.evenhand.commands.items())


def spawn(*arguments: object, **given: object) -> subprocess.CompletedProcess[str]:
    """The real program in a process of its own."""
    command = [sys.executable, "-m", "evenhand", *map(str, arguments)]
    return subprocess.run(command, capture_output=True, text=True, timeout=60, check=False, **given)


# --- help


@pytest.mark.parametrize(("name", "command"), COMMANDS, ids=[name for name, _ in COMMANDS])
def test_every_command_says_what_it_does_and_shows_an_example(name: str, command: click.Command) -> None:
    said = command.help or ""
    example = re.search(rf"Example: evenhand {re.escape(name)}\b.*$", said, flags=re.MULTILINE)
    assert example, f"{name} has no example"
    assert len(said.split("\n\n")[0]) > 20


@pytest.mark.parametrize(("name", "command"), COMMANDS, ids=[name for name, _ in COMMANDS])
def test_every_example_is_a_command_line_that_can_be_parsed(name: str, command: click.Command) -> None:

    line = re.search(r"Example: evenhand (.*)$", command.help or "", flags=re.DOTALL)
    assert line
    words = shlex.split(" ".join(line[1].split()))
    assert words[0] == name
    command.make_context(name, words[1:], resilient_parsing=False)


@pytest.mark.parametrize(("name", "command"), COMMANDS, ids=[name for name, _ in COMMANDS])
def test_every_command_answers_as_json_and_every_option_has_help(name: str, command: click.Command) -> None:
    options = [p for p in command.params if isinstance(p, click.Option)]
    assert "as_json" in {option.name for option in options}
    assert all(option.help for option in options)


@pytest.mark.parametrize("flag", ["-h", "--help"])
def test_the_front_page_lists_every_command_and_where_to_start(evenhand: Command, flag: str) -> None:
    said = evenhand(flag)
    assert said.code == DONE
    assert all(name in said.out for name, _ in COMMANDS)
    assert "Start here" in said.out
    assert "Exit codes: 0 done, 1 done but something needs you, 2 not done, 130 stopped." in said.out


def test_help_loads_none_of_the_rooms_behind_the_door() -> None:
    code = "import sys; from evenhand.cli.main import run; run(['--help']); print(sorted(sys.modules))"
    said = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    loaded = said.stdout.rsplit("[", 1)[1]
    assert "'click'" in loaded
    for heavy in ("numpy", "scipy", "pyarrow", "pydantic", "rich", "sqlite3", "lzma", "evenhand.desk"):
        assert f"'{heavy}'" not in loaded, heavy


@pytest.mark.parametrize(("columns", "width"), [("60", 58), ("400", 78), ("9", 50), ("", 78), ("wide", 78)])
def test_help_is_as_wide_as_the_terminal_within_reason(
    monkeypatch: pytest.MonkeyPatch, columns: str, width: int
) -> None:
    monkeypatch.setenv("COLUMNS", columns)
    monkeypatch.setattr(sys, "__stdout__", None)
    assert help_width() == width


# --- exit codes


def test_done_is_0(stocked: Command) -> None:
    assert stocked("runs", "quay").code == DONE == 0


def test_done_with_something_that_needs_you_is_1(evenhand: Command, folder: Folder, tmp_path: Path) -> None:
    folder.files["logs/wren-causeway-1.csv"] = b"\0"
    said = evenhand("import", folder.write(tmp_path / "study"))
    assert said.code == NEEDS_YOU == 1
    assert "refused" in said.out


def test_not_done_is_2(evenhand: Command, tmp_path: Path) -> None:
    assert evenhand("import", tmp_path / "nowhere").code == NOT_DONE == 2


def test_stopped_is_130(evenhand: Command, monkeypatch: pytest.MonkeyPatch, place: Path) -> None:
    def stop(_: object) -> None:
        raise KeyboardInterrupt

    evenhand("import", small_folder().write(place.parent / "study"))
    monkeypatch.setattr(listing, "list_studies", stop)
    said = evenhand("studies")
    assert said.code == STOPPED == 130
    assert "stopped; what was acknowledged is kept" in said.err


def holds_a_run(place: Path) -> bool:
    """Whether a run is on record there by now; a look from outside, which neither waits nor makes a file."""
    with suppress(sqlite3.Error), closing(sqlite3.connect(f"{place.as_uri()}?mode=ro", uri=True)) as conn:
        return bool(conn.execute("SELECT EXISTS (SELECT 1 FROM runs)").fetchone()[0])
    return False


@pytest.mark.parametrize(("how", "code"), [(signal.SIGINT, STOPPED), (signal.SIGTERM, ENDED)])
def test_an_import_that_is_stopped_keeps_what_it_told_and_can_go_on(
    evenhand: Command, place: Path, tmp_path: Path, how: signal.Signals, code: int
) -> None:
    folder = small_folder()
    for number in range(40):
        name = f"more/{number}.csv"
        folder.files[name] = folder.files["logs/wren-causeway-1.csv"] + f"{1000 + number},10.0\n".encode()
        folder.runs.append({"test": "causeway", "setup": "wren", "label": f"more {number}", "log": name})
    command = [sys.executable, "-m", "evenhand", "--workbench", place, "import", folder.write(tmp_path / "s")]
    with subprocess.Popen(command, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True) as importer:
        until = time.monotonic() + 30
        while not holds_a_run(place) and time.monotonic() < until:
            time.sleep(0.01)
        importer.send_signal(how)
        _, err = importer.communicate(timeout=60)
    assert importer.returncode in (code, NEEDS_YOU, DONE)
    if importer.returncode == code:
        assert err.strip() == "stopped; what was acknowledged is kept"
    assert evenhand("check").code == DONE
    assert evenhand("import", tmp_path / "s", "--json").json["refused"] == []


# --- errors


def test_an_error_says_where_what_and_what_to_do(stocked: Command, place: Path) -> None:
    said = stocked("compare", "quai")
    assert (said.code, said.out) == (NOT_DONE, "")
    assert said.err.splitlines() == [
        f"evenhand: {place}",
        "  no study is called 'quai'",
        "  What to do: did you mean 'quay'?",
    ]


@pytest.mark.parametrize(
    "arguments", [("compare", "quai"), ("runs", "quai"), ("export", "quai", "out"), ("chart", "quai", "out")]
)
def test_an_unknown_study_is_told_with_the_nearest_one(stocked: Command, arguments: tuple[str, ...]) -> None:
    said = stocked(*arguments, "--json")
    assert said.code == NOT_DONE
    assert said.json["error"]["kind"] == "NotFound"
    assert said.json["error"]["found"] == "no study is called 'quai'"
    assert said.json["error"]["todo"] == "did you mean 'quay'?"


@pytest.mark.parametrize(
    ("arguments", "found"),
    [
        (("cmpare", "quay"), "No such command 'cmpare'"),
        (("compare",), "Missing argument 'STUDY'"),
        (("compare", "quay", "--jsn"), "No such option"),
        (("set-aside", "wren render 1"), "Missing option '--reason'"),
    ],
)
def test_a_command_that_cannot_be_understood_is_told_in_words_and_as_json(
    evenhand: Command, arguments: tuple[str, ...], found: str
) -> None:
    said = evenhand(*arguments)
    assert (said.code, said.out) == (NOT_DONE, "")
    assert found in said.err
    answer = evenhand(*arguments, "--json").json["error"]
    assert found in answer["found"]
    assert "--help" in answer["todo"]


def test_a_standard_output_that_was_closed_is_no_error(stocked: Command, place: Path) -> None:
    command = f'"{sys.executable}" -m evenhand --workbench "{place}" compare quay --json >&-'
    said = subprocess.run(["bash", "-c", command], capture_output=True, text=True, timeout=60, check=False)
    assert (said.returncode, said.stderr) == (DONE, "")


def test_of_an_option_given_after_the_verb_it_is_told_that_it_stands_before(
    stocked: Command, place: Path
) -> None:
    said = stocked("compare", "quay", "--workbench", place)
    assert (said.code, said.out) == (NOT_DONE, "")
    assert "--workbench stands before the verb" in said.err
    answer = stocked("compare", "quay", "--workbench", place, "--json").json["error"]
    assert "--workbench stands before the verb" in answer["found"]


def test_a_folder_given_as_the_workbench_is_told(evenhand: Command, tmp_path: Path) -> None:
    said = evenhand("--workbench", tmp_path, "studies")
    assert said.code == NOT_DONE
    assert "is a directory" in said.err


@pytest.mark.parametrize("verb", ["studies", "check"])
def test_where_there_is_no_workbench_yet_it_is_told(evenhand: Command, place: Path, verb: str) -> None:
    said = evenhand(verb)
    assert said.code == NOT_DONE
    assert "there is no workbench here yet" in said.err
    assert not place.exists()


def test_a_fault_of_our_own_is_not_hidden(stocked: Command, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(listing, "list_studies", lambda _: 1 / 0)
    with pytest.raises(ZeroDivisionError):
        stocked("studies")


def test_what_evenhand_explains_deep_inside_is_told_at_the_door(
    stocked: Command, monkeypatch: pytest.MonkeyPatch
) -> None:
    def full(_: object) -> None:
        raise StoreProblem("the disk is full", where="here", todo="make room")

    monkeypatch.setattr(listing, "list_studies", full)
    assert stocked("studies").err == "evenhand: here\n  the disk is full\n  What to do: make room\n"


# --- pipes and streams


def test_a_reader_that_leaves_early_is_no_error(stocked: Command, place: Path) -> None:
    command = f'"{sys.executable}" -m evenhand --workbench "{place}" runs quay --json; echo "code $?" >&2'
    said = subprocess.run(
        ["bash", "-c", f"set -o pipefail; ({command}) | head -c 20 >/dev/null"],
        capture_output=True,
        text=True,
        timeout=60,
        check=False,
    )
    assert said.stderr == "code 0\n"


@pytest.mark.parametrize("arguments", ["runs quay", "compare quay", "check", "--help", "runs quay --json"])
def test_a_reader_that_has_left_is_no_error(stocked: Command, place: Path, arguments: str) -> None:
    with subprocess.Popen(
        [sys.executable, "-m", "evenhand", "--workbench", place, *arguments.split()],
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
    ) as running:
        assert running.stdout is not None
        running.stdout.close()  # before anything can have been written
        assert running.stderr is not None
        told = running.stderr.read()
    assert (running.returncode, told) == (DONE, b"")


@pytest.mark.skipif(not Path("/dev/full").exists(), reason="this system has no device that is always full")
@pytest.mark.parametrize("arguments", ["runs quay", "compare quay", "compare quay --json", "--help"])
def test_an_answer_that_cannot_be_written_is_told_in_words(
    stocked: Command, place: Path, arguments: str
) -> None:
    command = [sys.executable, "-m", "evenhand", "--workbench", place, *arguments.split()]
    with Path("/dev/full").open("w") as full:
        said = subprocess.run(
            command, stdout=full, stderr=subprocess.PIPE, text=True, timeout=60, check=False
        )
    assert said.returncode == NOT_DONE
    assert said.stderr.startswith(
        "evenhand: standard output\n  the answer could not be written (No space left"
    )
    assert "Traceback" not in said.stderr
    assert "Exception ignored" not in said.stderr


@pytest.mark.parametrize("arguments", [("compare", "quay"), ("compare", "quay", "--json"), ("runs", "quay")])
def test_a_stream_that_cannot_write_every_sign_gets_an_answer_all_the_same(
    stocked: Command, place: Path, arguments: tuple[str, ...]
) -> None:
    narrow = {**os.environ, "PYTHONIOENCODING": "ascii", "EVENHAND_WORKBENCH": str(place)}
    said = spawn(*arguments, env=narrow)
    assert (said.returncode, said.stderr) == (DONE, "")
    if "--json" in arguments:
        assert json.loads(said.stdout) == stocked(*arguments).json


# --- which workbench


def test_the_usual_workbench_is_in_the_users_data_folder(
    evenhand: Command, folder: Folder, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.delenv("EVENHAND_WORKBENCH")
    assert evenhand("import", folder.write(tmp_path / "study")).code == DONE
    assert (tmp_path / "home" / "evenhand" / "workbench.evenhand").exists()


def test_the_environment_may_name_another_and_the_option_goes_before_it(
    stocked: Command, place: Path, tmp_path: Path
) -> None:
    assert place.exists()
    stocked("--workbench", tmp_path / "other.evenhand", "import", small_folder("mole").write(tmp_path / "m"))
    assert [s["study"] for s in stocked("studies", "--json").json["studies"]] == ["quay"]
    other = stocked("--workbench", tmp_path / "other.evenhand", "studies", "--json").json
    assert [s["study"] for s in other["studies"]] == ["mole"]


def test_the_version_is_told(evenhand: Command) -> None:
    assert re.fullmatch(r"evenhand, version \d+\.\d+\.\d+\n", evenhand("--version").out)


def test_small_tables_are_multiplied_by_one_thread_unless_the_user_has_set_another_number(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.setenv("OPENBLAS_NUM_THREADS", "3")
    monkeypatch.setenv("OMP_NUM_THREADS", "")
    monkeypatch.delenv("OMP_NUM_THREADS")
    monkeypatch.setattr(main, "heed", lambda: None)
    monkeypatch.setattr(main, "run", lambda _: DONE)
    with pytest.raises(SystemExit):
        main.main([])
    assert (os.environ["OPENBLAS_NUM_THREADS"], os.environ["OMP_NUM_THREADS"]) == ("3", "1")
