"""docs/commands.md tells of every command and every option, and of none that is not there."""

from __future__ import annotations

import re
import shlex
from pathlib import Path

import click
import pytest

from evenhand.cli import main
from evenhand.records.runs import Reason

PAGE = (Path(__file__).parents[2] / "docs" / "commands.md").read_text(encoding="utf-8")
SECTIONS = dict(re.findall(r"^## `([\w-]+)`\n(.*?)(?=^## |\Z)", PAGE, flags=re.DOTALL | re.MULTILINE))
COMMANDS = sorted(main.evenhand.commands.items())
NAMED = pytest.mark.parametrize(("name", "command"), COMMANDS, ids=[name for name, _ in COMMANDS])


def names(command: click.Command) -> set[str]:
    """Arguments in capitals and options, as a person writes them."""
    return {
        parameter.opts[0] if isinstance(parameter, click.Option) else str(parameter.name).upper()
        for parameter in command.params
    }


def told(section: str) -> set[str]:
    """The first word of each row of a table."""
    return set(re.findall(r"^\| `([\w-]+)[^`]*` \|", section, flags=re.MULTILINE))


def test_every_command_has_a_section_and_every_section_a_command() -> None:
    assert sorted(SECTIONS) == [name for name, _ in COMMANDS]


@NAMED
def test_every_argument_and_option_is_told(name: str, command: click.Command) -> None:
    assert told(SECTIONS[name]) == names(command)


@NAMED
def test_every_section_says_what_for_and_with_which_exit_codes(name: str, command: click.Command) -> None:
    assert len(SECTIONS[name].strip().split("\n|")[0]) > 60
    codes = re.search(r"^Exit codes: (.*?)\n\n", SECTIONS[name], flags=re.MULTILINE | re.DOTALL)
    assert codes
    assert codes[1].startswith("0 ")
    assert "2 " in codes[1]


@NAMED
def test_its_example_can_be_parsed(name: str, command: click.Command) -> None:
    example = re.search(r"```sh\nevenhand (.*?)\n```", SECTIONS[name], flags=re.DOTALL)
    assert example
    words = shlex.split(example[1])
    assert words[0] == name
    command.make_context(name, words[1:])


def test_options_of_the_front_door_and_exit_codes_are_told() -> None:
    front = PAGE.split("\n## ")[0]
    assert {"--workbench", "--version", "--help"} <= told(front.replace("`, `", " "))
    codes = PAGE.split("## Exit codes")[1].split("\n## ")[0]
    found = [int(code) for code in re.findall(r"^\| (\d+) \|", codes, flags=re.MULTILINE)]
    assert found == [main.DONE, main.NEEDS_YOU, main.NOT_DONE, main.STOPPED, main.ENDED]


@pytest.mark.parametrize(
    "words", ["a run in its own place", "a run of another test or another setup", "does not count itself"]
)
def test_what_replace_refuses_is_told(words: str) -> None:
    assert words in " ".join(SECTIONS["replace"].split())


def test_reasons_are_told_on_the_page_and_in_the_help() -> None:
    listed = ", ".join(reason.value for reason in Reason)
    assert f"One of: {listed}." in SECTIONS["set-aside"]
    option = next(p for p in main.evenhand.commands["set-aside"].params if p.name == "reason")
    assert isinstance(option, click.Option)
    assert f"One of: {listed}." in " ".join(str(option.help).split())


@pytest.mark.parametrize("reason", Reason)
def test_every_reason_says_when_it_holds(reason: Reason) -> None:
    epilog = str(main.evenhand.commands["set-aside"].epilog)
    assert re.search(rf"^  {reason.value} +{re.escape(reason.meaning)}$", epilog, flags=re.MULTILINE)
    row = f"| {reason.value} | {reason.meaning[0].upper()}{reason.meaning[1:]}. |"
    formats = (Path(__file__).parents[2] / "docs" / "formats-study.md").read_text(encoding="utf-8")
    assert row in SECTIONS["set-aside"]
    assert row in formats
