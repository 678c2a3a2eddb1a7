"""The page Verdict before it is shown."""

from __future__ import annotations

from dataclasses import replace

import pytest
from tests.publish import saltmarsh as s
from validation.workshops import MOSTLY_PLAY, PRICES, case_of, saltmarsh_cells

from evenhand.desk.pages.verdict import Looked, shown_pair
from evenhand.desk.pages.verdict_figure import weight_figure
from evenhand.desk.pages.verdict_worth import band_heading
from evenhand.desk.verdict.judged import ForAudience
from evenhand.desk.verdict.verdict_curve import Curve
from evenhand.money.break_even import BreakEven
from evenhand.publish.figures.interval_rows import Pair
from evenhand.publish.figures.lead_plot import Lead
from evenhand.records.prices import Currency
from evenhand.verdicts.verdict import verdicts

ABOUT = Pair(a="plover", b="dunlin", names=s.NAMES, margin=0.03, level=0.95)
LEAD = Lead(shares=(0.0, 0.5, 1.0), percent=(-3.0, 0.0, 3.0), low=(-4.0, -1.0, 2.0), high=(-2.0, 1.0, 4.0))


@pytest.mark.parametrize(
    ("allowed", "ends"), [(False, "interval"), (True, "the allowance for a shared error not in it")]
)
def test_the_lead_says_what_its_interval_leaves_out(allowed: bool, ends: str) -> None:
    figure = weight_figure(Curve(weight="games", lead=LEAD, stands=(), allowed=allowed), ABOUT)
    assert figure.about.endswith(ends)


def test_it_opens_with_the_pair_in_front_wherever_that_stands_and_leaves_a_choice_alone() -> None:
    """The setups as a file may have them, the slowest first."""
    cells = sorted(saltmarsh_cells(), key=lambda cell: cell.setup, reverse=True)
    case = case_of(MOSTLY_PLAY, cells)
    here = ForAudience(audience=MOSTLY_PLAY, case=case, verdicts=verdicts(case))
    first = (here.verdicts[0].a, here.verdicts[0].b)
    assert "wren" in first
    pair, why = shown_pair(here, Looked(), first, s.NAMES)
    assert set(pair) == {"plover", "dunlin"}
    assert why == "Shown first: Plover and Dunlin are closest at the front."
    assert here.front_first[0] == here.verdict(*pair)
    assert shown_pair(here, Looked(pair="~".join(first)), first, s.NAMES) == (first, "")
    two = replace(here, verdicts=here.verdicts[:1])
    assert shown_pair(two, Looked(), first, s.NAMES) == (first, "")


@pytest.mark.parametrize(
    ("now", "high", "said"),
    [
        (1000, 1039.0, "Plover keeps its value below 1,014 dl"),
        (1026, 1039.0, "Level by value from 1,014 dl to 1,039 dl"),
        (1026, 1055.0, "Neither is better value from 1,014 dl to 1,055 dl"),
        (1100, 1055.0, "Neither would be better value with Plover from 1,014 dl to 1,055 dl"),
    ],
)
def test_a_band_of_prices_is_called_level_only_where_all_of_it_is(now: int, high: float, said: str) -> None:
    even = BreakEven(at=1030.0, low=1014.0, high=high)
    found = verdicts(case_of(MOSTLY_PLAY, saltmarsh_cells(), prices=PRICES))
    plover = next(v for v in found if (v.a, v.b) == ("plover", "dunlin"))
    verdict = replace(plover, break_even=even, prices=(now, 1012))
    heading = band_heading(verdict, ABOUT, Currency(symbol="dl", decimals=0), margin=0.03)
    assert heading.replace("\u00a0", " ") == said
