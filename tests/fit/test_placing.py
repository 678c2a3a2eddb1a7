"""Cards and drives on a board whose slots, places and ports share."""

from __future__ import annotations

from typing import Any

import pytest
from tests.fit.parts import part, said, told

from evenhand.fit.answers import Answer
from evenhand.fit.placing import drive_ways

FITS, MISFIT, UNKNOWN = Answer.FITS, Answer.MISFIT, Answer.UNKNOWN
CARD = part("graphics", slot_length=16, lanes=16)
FAST = part("storage", "fast", form="2280", interface="NVMe")
PLAIN = part("storage", "plain", form="2.5", interface="SATA")


def board(**facts: Any) -> Any:
    """A board with two slots and two places, changed as told."""
    usual = {
        "slots": [
            {"name": "upper", "length": 16, "lanes": 16, "lanes_if_shared": 8, "shares": []},
            {"name": "lower", "length": 4, "lanes": 4, "lanes_if_shared": 0, "shares": ["M 2"]},
        ],
        "drive_places": [
            {"name": "M 1", "lengths": ["2280"], "takes": ["NVMe"], "shares": []},
            {"name": "M 2", "lengths": ["2280"], "takes": ["NVMe", "SATA"], "shares": ["SATA 2"]},
        ],
        "sata_ports": 2,
    }
    return part("board", **{**usual, **facts})


def test_a_card_goes_into_a_slot_that_is_long_enough() -> None:
    assert said("graphics-slot", CARD, board()) is FITS
    assert said("graphics-slot", CARD, CARD, board()) is MISFIT
    assert said("graphics-slot", CARD, part("graphics", slot_length=4, lanes=4), board()) is FITS


def test_a_slot_that_a_drive_switches_off_is_none() -> None:
    small = part("graphics", slot_length=4, lanes=4)
    assert said("graphics-slot", CARD, small, FAST, board()) is FITS  # the drive takes the other place
    assert said("graphics-slot", CARD, small, FAST, FAST, board()) is MISFIT


def test_fewer_lanes_are_said() -> None:
    shared = board(
        slots=[{"name": "upper", "length": 16, "lanes": 16, "lanes_if_shared": 8, "shares": ["M 1", "M 2"]}]
    )
    (found,) = told("graphics-slot", CARD, FAST, shared)
    assert (found.answer, found.remark) == (FITS, "It gets 8 lanes of the 16 that it uses.")


def test_sharing_that_nobody_knows_is_not_taken_for_none() -> None:
    silent = board(slots=[{"name": "upper", "length": 16, "lanes": 16}])
    assert said("graphics-slot", CARD, silent) is FITS  # nothing else is in use
    assert said("graphics-slot", CARD, FAST, silent) is UNKNOWN


@pytest.mark.parametrize(
    ("drives", "answer"),
    [
        ((PLAIN, PLAIN), FITS),
        ((PLAIN, PLAIN, PLAIN), MISFIT),
        ((PLAIN, FAST), FITS),
        ((PLAIN, PLAIN, FAST), FITS),
        ((PLAIN, PLAIN, FAST, FAST), MISFIT),  # the second place switches a port off
        ((PLAIN, FAST, FAST), FITS),
        ((FAST, FAST, FAST), MISFIT),
        ((part("storage", form="2280", interface="SATA"), FAST), FITS),
        (
            (part("storage", form="2280", interface="SATA"), part("storage", form="2280", interface="SATA")),
            MISFIT,
        ),
        ((part("storage", form="22110", interface="NVMe"),), MISFIT),
        ((part("storage", form="2.5", interface="NVMe"),), UNKNOWN),
        ((part("storage", form="2280"),), UNKNOWN),
    ],
)
def test_drives_on_a_board(drives: tuple[Any, ...], answer: Answer) -> None:
    assert said("drive-places", *drives, board()) is answer


def test_a_board_of_which_no_places_are_known() -> None:
    assert said("drive-places", FAST, part("board")) is UNKNOWN
    assert said("graphics-slot", CARD, part("board")) is UNKNOWN


@pytest.mark.parametrize(
    ("facts", "answer"),
    [
        ({"bays_25": 1, "bays_35": 1}, FITS),
        ({"bays_25": 0, "bays_35": 1}, MISFIT),
        ({"bays_25": 0, "bays_35": 2}, FITS),
        ({"bays_35": 0}, MISFIT),
        ({"bays_35": 1}, UNKNOWN),
    ],
)
def test_bays(facts: dict[str, Any], answer: Answer) -> None:
    large = part("storage", "large", form="3.5", interface="SATA")
    assert said("drive-bays", PLAIN, large, part("case", **facts)) is answer


def test_plugs_for_drives() -> None:
    assert said("drive-power", PLAIN, PLAIN, part("supply", sata_plugs=2)) is FITS
    assert said("drive-power", PLAIN, PLAIN, FAST, part("supply", sata_plugs=1)) is MISFIT
    assert said("drive-power", FAST, part("supply")) is FITS
    assert said("drive-power", PLAIN, part("supply")) is UNKNOWN


RADIATOR = part("cooler", way="liquid", radiator="360")


@pytest.mark.parametrize(
    ("places", "answer"),
    [
        ([{"name": "front", "sizes": ["360"]}], MISFIT),
        ([{"name": "front", "sizes": ["360"]}, {"name": "top", "sizes": ["360"]}], FITS),
        ([{"name": "front", "sizes": ["360"]}, {"name": "top", "sizes": ["240"]}], MISFIT),
    ],
)
def test_a_radiator_in_front_takes_room_from_the_card(places: list[Any], answer: Answer) -> None:
    case = part("case", graphics_length_mm=330, graphics_length_behind_radiator_mm=300, radiators=places)
    assert said("graphics-length", part("graphics", length_mm=320), RADIATOR, case) is answer


def test_drives_that_are_alike_are_put_into_the_same_places_once() -> None:
    places = [{"name": f"M {n}", "lengths": ["2280"], "takes": ["NVMe"], "shares": []} for n in range(8)]
    drives = [part("storage", f"fast {n}", form="2280", interface="NVMe") for n in range(6)]
    ways = list(drive_ways(places, drives, hoping=False))
    assert len(ways) == 28, "the ways to leave two of eight places free"
    assert len({tuple(place["name"] for place in way) for way in ways}) == 28


def test_drives_that_are_not_alike_are_put_wherever_each_may_go() -> None:
    takes = {"M 1": ["NVMe"], "M 2": ["NVMe", "SATA"], "M 3": ["SATA"]}
    places = [{"name": name, "lengths": ["2280"], "takes": own} for name, own in takes.items()]
    slow = part("storage", "slow", form="2280", interface="SATA")
    ways = {
        frozenset(place["name"] for place in way) for way in drive_ways(places, [FAST, slow], hoping=False)
    }
    assert ways == {frozenset({"M 1", "M 2"}), frozenset({"M 1", "M 3"}), frozenset({"M 2", "M 3"})}
