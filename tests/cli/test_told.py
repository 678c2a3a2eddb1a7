"""What rigs tell of their machines, on the command line."""

from __future__ import annotations

from pathlib import Path

import pytest
from tests.cli.conftest import Command
from tests.desk.small_folder import NOW

from evenhand.desk.opening import open_desk
from evenhand.desk.parts.catalogue import add_part
from evenhand.desk.parts.told_by_rigs import take_in

DISC = {"kind": "storage", "name": "Slate 1 TB", "source": "/sys/block", "facts": {"capacity_gb": 1000}}
NO_CARD = {"what": "graphics", "why": "no display adapter is there"}


@pytest.fixture
def told(stocked: Command, place: Path) -> Command:
    """The small study, a drive on the shelf, and a rig that told of one."""
    with open_desk(place) as wb:
        add_part(wb, {"kind": "storage", "name": "Slate 1 TB"}, now=NOW)
        take_in(wb, "left", "left bench", None, parts=[DISC], untold=[NO_CARD], now=NOW)
    return stocked


def test_it_lists_what_is_told_and_what_it_may_be(told: Command) -> None:
    said = told("told").out
    assert "The rig left bench" in said
    assert "perhaps slate-1-tb" in said
    assert "capacity: 1000\u00a0GB, not noted yet." in said
    assert "Not told: graphics (no display adapter is there)." in said


def test_a_told_part_is_said_and_its_facts_noted(told: Command) -> None:
    said = told("told", "--is", "1-0=slate-1-tb").out
    assert "Noted of slate-1-tb: capacity_gb = 1000, read by the rig left bench on " in said
    assert "read by the rig left bench" in told("part", "slate-1-tb").out
    told("told", "--is", "1-0=")
    assert told("told", "--json").json["rigs"][0]["parts"][0]["part"] is None


def test_what_stands_otherwise_is_told_and_stays(told: Command) -> None:
    told("part", "slate-1-tb", "--source", "the box", "--fact", "capacity_gb=960")
    assert (
        "capacity: 1000\u00a0GB, but 960\u00a0GB is on record." in told("told", "--is", "1-0=slate-1-tb").out
    )
    assert "960" in told("part", "slate-1-tb").out


@pytest.mark.parametrize(
    "said", ["slate", "1=slate-1-tb", "1-x=slate-1-tb", "1-9=slate-1-tb", "1-0=nobody", "1-0=k6"]
)
def test_what_cannot_be_is_refused(told: Command, said: str) -> None:
    assert told("told", "--is", said).code == 2
    assert told("told", "--json").json["rigs"][0]["parts"][0]["said"] is False


def test_without_any_rig_it_says_what_to_do(stocked: Command) -> None:
    assert "No rig has told of its parts yet" in stocked("told").out
