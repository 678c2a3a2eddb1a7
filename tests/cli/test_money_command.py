"""`money` says who is better value and what machines cost to own, for an audience and what is tried on."""

from __future__ import annotations

import pytest
from tests.cli.conftest import Command

PLAY = ("audience", "quay", "play", "--name", "Mostly play", "--group", "games=1")


@pytest.fixture
def priced(stocked: Command) -> Command:
    """The small study with a price of both builds, and an audience that pays for electricity."""
    stocked("price", "wren", "742", "--currency", "dl", "--decimals", "0", "--on", "2031-05-04")
    stocked("price", "plover", "998", "--currency", "dl", "--decimals", "0", "--on", "2031-05-04")
    stocked(*PLAY, "--hours", "900..1500", "--tariff", "0.28..0.36", "--fixed", "250")
    return stocked


def test_value_and_owning_are_told_in_sentences(priced: Command) -> None:
    said = priced("money", "quay").out
    assert said.startswith("For Mostly play:")
    assert "gives most for the money alone" in said
    assert "Over 3\u00a0years:" in said
    assert "Electricity is not in it: watts at the wall" in said


def test_what_is_tried_on_is_answered_and_kept_nowhere(priced: Command) -> None:
    longer = priced("money", "quay", "--years", "6", "--json").json["owning"]
    plain = priced("money", "quay", "--json").json["owning"]
    assert (longer["years"], plain["years"]) == (6.0, 3.0)
    wholes = [each["setups"][0]["whole"]["mid"] for each in (plain, longer)]
    assert wholes[0] < wholes[1], "what is kept longer fetches less"
    tried = priced("money", "quay", "--hours", "10..20", "--tariff", "1", "--json").json["owning"]
    assert (tried["hours"], tried["tariff"]) == ([10.0, 20.0], [1.0, 1.0])


def test_amounts_are_whole_and_the_parts_make_the_whole(priced: Command) -> None:
    for each in priced("money", "quay", "--json").json["owning"]["setups"]:
        assert each["whole"]["mid"] == each["price"] + each["repairs"] - each["fetches"]["mid"]
        assert all(isinstance(end, int) for end in each["whole"].values())


@pytest.mark.parametrize(
    ("arguments", "said"),
    [
        (("--audience", "playy"), "no audience is called 'playy'"),
        (("--hours", "20..10"), "write the lower one first"),
        (("--hours", "9000..9500"), "a year has no more than 8,784 hours"),
        (("--hours", "-5..10"), "write the lower one first"),
        (("--tariff", "dear"), "'dear' is no amount"),
        (("--years", "50"), "50"),
    ],
)
def test_what_cannot_be_tried_on_is_refused(priced: Command, arguments: tuple[str, ...], said: str) -> None:
    answer = priced("money", "quay", *arguments)
    assert answer.code == 2
    assert said in answer.err


def test_without_prices_it_says_what_to_write_down(stocked: Command) -> None:
    answer = stocked("money", "quay")
    assert answer.code == 2
    assert "fewer than two machines have a price" in answer.err
    assert "evenhand price BUILD AMOUNT" in answer.err


def test_what_is_assumed_is_shown_changed_and_what_is_not_given_stays(priced: Command) -> None:
    assert "Nobody has said these yet" in priced("assume", "quay").out
    said = priced("assume", "quay", "--years", "4", "--resale", "55..75", "--repairs", "20").out
    assert "A machine is kept: 4\u00a0years" in said
    assert "55 to 75\u00a0% of its price" in said
    told = priced("assume", "quay", "--loses", "25", "--repairs", "0", "--json").json
    assert (told["years"], told["resale"], told["lost"], told["said"]) == (
        4.0,
        [55.0, 75.0],
        [25.0, 25.0],
        True,
    )
    assert "repairs" not in told
    assert priced("money", "quay", "--json").json["owning"]["years"] == 4.0


@pytest.mark.parametrize(
    ("arguments", "said"),
    [
        (("--years", "30"), "at most 20 years"),
        (("--resale", "80..60"), "lower one first"),
        (("--resale", "60..140"), "a share from 0 to 100"),
        (("--loses", "all"), "is not LOW..HIGH"),
        (("--budget", "lots"), "'lots' is no amount"),
        (("--months", "0"), "1 to 240 months"),
    ],
)
def test_what_cannot_be_assumed_is_refused(priced: Command, arguments: tuple[str, ...], said: str) -> None:
    answer = priced("assume", "quay", *arguments)
    assert answer.code == 2
    assert said in answer.err
