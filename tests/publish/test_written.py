"""Numbers and days as a country writes them, and nothing else changed."""

from __future__ import annotations

import pytest

from evenhand.publish.written import THIN, Days, Numbers, written

TOLD = "Plover +10.7 % (9.1 to 12.3) at 1,012.50 dl, asked on 4 May 2031, 0:08, version 1.8.2."


@pytest.mark.parametrize(
    ("numbers", "days", "told"),
    [
        (Numbers.POINT, Days.WORDS, TOLD),
        (
            Numbers.COMMA,
            Days.ISO,
            "Plover +10,7 % (9,1 to 12,3) at 1.012,50 dl, asked on 2031-05-04, 0:08, version 1.8.2.",
        ),
        (
            Numbers.SPACED,
            Days.MONTH_FIRST,
            f"Plover +10,7 % (9,1 to 12,3) at 1{THIN}012,50 dl, asked on May 4, 2031, 0:08, version 1.8.2.",
        ),
    ],
)
def test_numbers_and_days_are_written_otherwise(numbers: Numbers, days: Days, told: str) -> None:
    assert written(TOLD, numbers, days) == told


@pytest.mark.parametrize(
    "kept", ["Slate 1.5 TB", "https://shop.example/1.5/2,000.html", "Osk & Dunsolt 2,000", "scene 4 May 2031"]
)
def test_names_and_addresses_stay(kept: str) -> None:
    told = written(f"It is {kept}, 1.5 s.", Numbers.COMMA, Days.ISO, keep=[kept])
    assert told == f"It is {kept}, 1,5 s."


def test_a_list_of_whole_numbers_is_no_number() -> None:
    assert written("Runs 1, 2, 3 and 1,2,3.", Numbers.COMMA, Days.WORDS) == "Runs 1, 2, 3 and 1,2,3."
