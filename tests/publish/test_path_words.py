"""A path as a story that can be followed month by month."""

from __future__ import annotations

from evenhand.money.courses import Course, Hold
from evenhand.money.paths import Change, Path
from evenhand.publish.path_words import course_numbers, hold_words, story
from evenhand.records.prices import Currency

DRELL = Currency(symbol="dl", decimals=0)
NAMES = {
    "osk-7": "Osk 7",
    "osk-9": "Osk 9",
    "nimtal-4": "Nimtal 4",
    "nimtal-6": "Nimtal 6",
    "garth": "Garth 750",
    "hale": "Hale 550",
}
OWNED = ("osk-7", "nimtal-4", "hale")


def a_course(*changes: Change, mean: float = 1.49, least: float = 1.29) -> Course:
    path = Path(changes=changes, net_minor=0, mean=mean, least=least)
    return Course(start="dunlin", path=path, bought_minor=1300, fetched_minor=486)


def told(*changes: Change) -> str:
    return story(OWNED, a_course(*changes), names=NAMES, months=36)


def test_nothing_is_changed() -> None:
    assert told() == "Hold it as it is for all 36 months."


def test_one_part_is_changed() -> None:
    assert told(Change(month=14, parts=("osk-9", "nimtal-4", "hale"))) == (
        "Hold it for 14 months, then put in Osk 9."
    )


def test_months_are_told_from_the_change_before() -> None:
    first = Change(month=14, parts=("osk-9", "nimtal-4", "garth"))
    assert told(first, Change(month=15, parts=("osk-7", "nimtal-4", "garth"))) == (
        "Hold it for 14 months, then put in Osk 9 and Garth 750; hold that for one month, then put in Osk 7."
    )


def test_a_machine_that_is_sold_whole() -> None:
    whole = Change(month=20, parts=("osk-9", "nimtal-6", "garth"))
    assert told(whole) == "Hold it for 20 months, then sell all of it for Osk 9, Nimtal 6 and Garth 750."


def test_what_it_comes_to() -> None:
    assert course_numbers(a_course(), DRELL) == (
        "814\xa0dl in the end, at a mean index of 1.49, 1.29 in its worst month"
    )
    assert (
        course_numbers(a_course(mean=1.3, least=1.3), DRELL)
        == "814\xa0dl in the end, at a mean index of 1.30"
    )


def test_an_order_is_told_as_far_as_it_holds() -> None:
    said = [
        hold_words("Dunlin", "Plover", Hold(in_common=common, each=each, turns_at=0.135), swing=20)
        for common, each in ((True, True), (True, False), (False, False))
    ]
    assert said == [
        "Dunlin stays ahead of Plover whatever the parts of either fetch, 20\xa0% less or more.",
        (
            "Dunlin stays ahead of Plover where all parts fetch 20\xa0% less or more together, but not where "
            "only its own fetch less and the other’s more: the two cost alike with 14\xa0% each."
        ),
        "Dunlin does not stay ahead of Plover once all parts fetch 20\xa0% less or more.",
    ]
