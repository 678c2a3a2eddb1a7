"""What tuning bought, in a study of a tuned setup and its stock: told by short names, held against the runs.

In the example's second study Plover tuned is level with stock on average, and ahead in two tests of three.
"""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest
from tests.conftest import NOW
from tests.prose.conftest import Check

from evenhand.demo.at_stock import STUDY
from evenhand.desk.demonstrating import bring_stock
from evenhand.desk.on_record import load_study
from evenhand.desk.opening import open_desk
from evenhand.desk.publication.scripts import ground_of
from evenhand.prose.checking import check
from evenhand.prose.objection import Rule
from evenhand.prose.rules import rules
from evenhand.prose.script import parse

ANSWER = "Tuning Plover's processor buys nothing that matters, "
OVER_ALL = "gain of plover-mild over stock across all tests"


@pytest.fixture(scope="module")
def at_stock(decided_file: Path, tmp_path_factory: pytest.TempPathFactory) -> Check:
    """Everything that is objected to in a text on the second study."""
    place = tmp_path_factory.mktemp("gain") / "own.evenhand"
    shutil.copy(decided_file, place)
    with open_desk(place) as wb:
        bring_stock(wb, place.parent / "stock", now=NOW, watch=None)
        ground, own = ground_of(wb, load_study(wb, STUDY.key)), rules()
    return lambda text: check(parse(text, abbreviations=own.abbreviations), ground, own)


def plain(text: str) -> str:
    return text.replace("\u00a0", " ").replace("\u2068", "").replace("\u2069", "")


@pytest.mark.parametrize(
    ("sentence", "words"),
    [
        ("Tuning is worth it.", "worth it"),
        ("Tuning Plover's processor was worth it.", "worth it"),
        ("Tuning Plover's processor was worth the trouble.", "worth the trouble"),
        ("Tuning Plover's processor pays off.", "pays off"),
        ("The tuned Plover is clearly faster than stock.", "faster"),
        ("The tuned Plover is clearly faster.", "faster"),
        ("The mild tune is quicker.", "quicker"),
        ("The mild tune beats stock.", "beats"),
        ("Plover tuned is ahead of stock.", "ahead"),
        ("Tuning the processor gives Plover more frames.", "more frames"),
        ("Tuning makes Plover slower.", "slower"),
        ("Stock is faster.", "faster"),
        ("After tuning Plover is a much faster machine.", "faster"),
    ],
)
def test_a_gain_that_runs_do_not_bear_is_told_with_what_tuning_bought(
    at_stock: Check, sentence: str, words: str
) -> None:
    (found,) = at_stock(sentence)
    assert (found.rule, found.excerpt) == (Rule.CLAIM, words)
    assert plain(found.would_stand).startswith(ANSWER)


@pytest.mark.parametrize(
    "sentence",
    [
        "Plover tuned is faster than stock in Salt Causeway.",
        "Plover's mild tune is ahead of stock in Salt Causeway.",
        "Plover tuned is ahead of Plover at stock in every game.",
        "Tuning Plover's processor gives you more frames in every game.",
    ],
)
def test_in_a_test_where_both_are_level_that_is_told_in_its_place(at_stock: Check, sentence: str) -> None:
    (found,) = at_stock(sentence)
    assert found.rule is Rule.CLAIM
    level = "In Salt Causeway, Plover, mild tune and Plover, stock are level within 3 %."
    assert plain(found.would_stand) == level


@pytest.mark.parametrize(
    ("sentence", "figure", "address"),
    [
        ("The mild tune is 3 % faster.", "3 %", OVER_ALL),
        ("Plover tuned is 5 % faster than stock.", "5 %", OVER_ALL),
        ("The processor gains 8 % from tuning.", "8 %", OVER_ALL),
        ("Tuning gives 10 % more performance.", "10 %", OVER_ALL),
        ("Plover tuned is at least 2.5 % faster than stock.", "2.5 %", OVER_ALL),
        ("The tuned clock is 5 % faster than stock.", "5 %", OVER_ALL),
        ("Tuning buys 3 % in Salt Causeway.", "3 %", "gain of plover-mild over stock in causeway"),
    ],
)
def test_a_wrong_share_is_told_with_that_of_its_test_or_of_all(
    at_stock: Check, sentence: str, figure: str, address: str
) -> None:
    (found,) = at_stock(sentence)
    assert (found.rule, found.excerpt) == (Rule.CONTRARY_NUMBER, figure)
    assert found.would_stand == f"{{{address}}}"


def test_what_a_gain_costs_is_what_the_wall_tells(at_stock: Check) -> None:
    found = at_stock("Plover tuned is 1.9 % faster than stock for 50 W more.")
    assert [each.excerpt for each in found] == ["50 W"]
    assert "50 W is not what the record has: 16.6 W (14.3 to 18.9) more" in plain(found[0].reason)


@pytest.mark.parametrize(
    "sentence",
    [
        "Tuning Plover's processor buys nothing that matters.",
        "Tuning is not worth it.",
        "Is tuning worth it?",
        "Whether tuning is worth it is for you to say.",
        "Tuning is worth a try.",
        "Tuning Plover gained nothing that matters.",
        "Tuning makes Plover no faster that matters.",
        "Plover tuned is faster than stock in Night render.",
        "The mild tune is ahead of stock in Nine Tramlines.",
        "Tuned, Plover is faster in two of three tests.",
        "The tuned Plover is faster where the processor is waited for.",
        "The mild tune is 1.9 % faster than stock.",
        "Tuned, Plover is up to 3 % faster than stock.",
        "Tuned, Plover is 3 % faster than stock in Night render.",
        "Plover tuned is 1.9 % faster than stock for 17 W more.",
        "Plover tuned draws 17 W more at the wall than at stock.",
        "Plover tuned is measurably ahead of stock, by less than our margin of 3 %.",
        "Over these three tests, Plover, mild tune and Plover, stock are level within 3 %.",
        "Faster clocks alone gain little.",
        "At stock Plover's processor runs at 4,500 MHz.",
        "Tuning gave 3.3 % more clock and 1.9 % more speed.",
        "The tuned clock is 3.3 % faster than stock.",
        "Plover tuned is at least 1.4 % faster than stock.",
        "The mild tune is slower in no test.",
        "You get better watts at stock.",
        "Before we tuned it, Plover was faster than we thought.",
        "We measured stock again before we told of any gain.",
        "Ahead of every run we set the clock to 4,650 MHz.",
        "Overclocking is fun.",
    ],
)
def test_what_the_runs_of_both_bear_stands(at_stock: Check, sentence: str) -> None:
    assert at_stock(sentence) == ()


@pytest.mark.parametrize(
    ("sentence", "words"),
    [
        ("Plover is stable.", "stable"),
        ("Plover is safe.", "safe"),
        ("Plover never crashed.", "never crashed"),
        ("The mild tune is rock solid.", "rock solid"),
    ],
)
def test_a_machine_of_two_states_is_called_nothing_that_no_hours_bear_out(
    at_stock: Check, sentence: str, words: str
) -> None:
    (told,) = at_stock(sentence)
    assert (told.rule, told.excerpt) == (Rule.CLAIM, words)
    assert told.reason.startswith(f"no hours bear out “{words}”")


@pytest.mark.parametrize(
    ("sentence", "words"),
    [
        ("The tuned Plover is 24/7 ready.", "24/7 ready"),
        ("Plover's processor will last for years.", "last for years"),
        ("Mild tune will run for years.", "run for years"),
        ("Tuned, Plover holds up for life.", "holds up for life"),
    ],
)
def test_no_record_tells_what_tuning_does_over_years(at_stock: Check, sentence: str, words: str) -> None:
    (told,) = at_stock(sentence)
    assert (told.rule, told.excerpt) == (Rule.CLAIM, words)
    assert "over years" in told.reason


def test_prices_are_stable_and_no_part(at_stock: Check) -> None:
    assert at_stock("The price of Plover is stable.") == ()
