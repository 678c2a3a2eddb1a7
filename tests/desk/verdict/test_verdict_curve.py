"""The curve of a lead: who stands on it."""

from __future__ import annotations

from pathlib import Path

import pytest
from tests.desk.small_folder import NOW, small_folder, weighed

from evenhand.desk.logs.importing import import_folder
from evenhand.desk.on_record import load_study
from evenhand.desk.verdict.judged_for import judged_for
from evenhand.desk.verdict.verdict_curve import curve_of
from evenhand.publish.numbers import with_unit
from evenhand.publish.verdict_words import front_span
from evenhand.store.workbench import Workbench


@pytest.mark.parametrize(
    ("weights", "stands"),
    [
        ((40, 30, 30), True),
        ((80, 10, 10), True),
        ((80, 15, 5), False),
        ((100, 0, 0), True),
        ((0, 50, 50), True),
        ((0, 90, 10), False),
    ],
)
def test_an_audience_stands_on_the_curve_where_it_weighs_the_rest_alike(
    wb: Workbench, tmp_path: Path, weights: tuple[int, int, int], stands: bool
) -> None:
    """Elsewhere the curve would show another number for it than its own verdict."""
    folder = weighed(small_folder())
    keys = ("causeway", "tramlines", "render")
    folder.document["study"]["audiences"] = [
        {"key": key, "name": key, "tests": dict(zip(keys, shares, strict=True))}
        for key, shares in (("here", (50, 25, 25)), ("other", weights))
    ]
    import_folder(wb, folder.write(tmp_path / "study"), now=NOW)
    here, other = judged_for(wb, load_study(wb, "quay")).audiences
    curve = curve_of(here, (here, other), ("wren", "plover"))
    assert curve is not None
    told = {each.name: each for each in curve.stands}
    assert ("other" in told) is stands
    verdict = other.verdict("wren", "plover")
    assert verdict is not None
    if stands:
        assert 100 * (verdict.ratio - 1) == pytest.approx(curve.lead.at(weights[0] / 100)[0], abs=1e-6)
        assert told["other"].said == with_unit(front_span(verdict).digits(), "%")
        assert told["other"].outcome is verdict.outcome
        assert curve.lead.outcomes[weights[0]] is verdict.outcome


def test_the_curve_reads_a_price_that_is_weighed_as_the_verdict_does(wb: Workbench, tmp_path: Path) -> None:
    folder = weighed(small_folder())
    tests = {"causeway": 50, "tramlines": 25, "render": 25}
    folder.document["study"]["audiences"] = [
        {"key": "saver", "name": "Saver", "tests": tests, "properties": {"speed": 60, "price": 40}}
    ]
    import_folder(wb, folder.write(tmp_path / "study"), now=NOW)
    (here,) = judged_for(wb, load_study(wb, "quay")).audiences
    curve, verdict = curve_of(here, (here,), ("wren", "plover")), here.verdict("wren", "plover")
    assert curve is not None
    assert verdict is not None
    assert verdict.low is not None
    percent, low, _ = curve.lead.at(0.5)
    assert (percent, low) == pytest.approx((100 * (verdict.ratio - 1), 100 * (verdict.low - 1)), abs=1e-6)
    assert curve.lead.outcomes[50] is verdict.outcome
