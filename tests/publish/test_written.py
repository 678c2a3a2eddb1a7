"""Numbers and days as a country writes them, and nothing else changed."""

from __future__ import annotations

import pytest

from evenhand.publish.written import THIN, writing
from evenhand.records.publications import Days, Form, Numbers

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
    assert writing(Form(numbers=numbers, days=days))(TOLD) == told


@pytest.mark.parametrize(
    "kept", ["Slate 1.5 TB", "https://shop.example/1.5/2,000.html", "Osk & Dunsolt 2,000", "scene 4 May 2031"]
)
def test_names_and_addresses_stay(kept: str) -> None:
    told = writing(Form(numbers=Numbers.COMMA, days=Days.ISO), keep=[kept])(f"It is {kept}, 1.5 s.")
    assert told == f"It is {kept}, 1,5 s."


SENTENCES = [
    TOLD,
    "Alder 1.5 is ahead of Wren by 10.7 % (9.1 to 12.3); Wren is better value than Alder 1.5 at 1,012 dl.",
    "10.7, then 1,012.",
    "Over 12,345,678.9 of them, 1.8.2 and 1,2 and 12,34.",
    "Driver 31.4, bridged; −0.1 % (−0.8 to +0.7). 56.8 % of the weight has no number.",
]
"""Whatever a page in the browser may have to write: tests/web/test_article.py holds it against the same."""
NAMES = ["Alder 1.5", "31.4", "Wren"]


def test_a_list_of_whole_numbers_is_no_number() -> None:
    assert writing(Form(numbers=Numbers.COMMA))("Runs 1, 2, 3 and 1,2,3.") == "Runs 1, 2, 3 and 1,2,3."


@pytest.mark.parametrize(
    ("days", "told"),
    [
        (Days.WORDS, "Prices of 4, 6 and 28 May 2031."),
        (Days.ISO, "Prices of 2031-05-04, 2031-05-06 and 2031-05-28."),
        (Days.MONTH_FIRST, "Prices of May 4, 2031, May 6, 2031 and May 28, 2031."),
    ],
)
def test_days_that_share_their_month_are_each_written_whole_elsewhere(days: Days, told: str) -> None:
    assert writing(Form(days=days, numbers=Numbers.COMMA))("Prices of 4, 6 and 28 May 2031.") == told
