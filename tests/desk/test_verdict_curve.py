"""The curve of a lead: who stands on it."""

from __future__ import annotations

from pathlib import Path

import pytest
from tests.desk.small_folder import NOW, small_folder, weighed

from evenhand.desk.importing import import_folder
from evenhand.desk.judged_for import judged_for
from evenhand.desk.on_record import load_study
from evenhand.desk.verdict_curve import curve_of
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
    assert ("other" in {each.name for each in curve.stands}) is stands
    verdict = other.verdict("wren", "plover")
    assert verdict is not None
    if stands:
        assert 100 * (verdict.ratio - 1) == pytest.approx(curve.lead.at(weights[0] / 100)[0], abs=1e-6)
