from __future__ import annotations

from dataclasses import FrozenInstanceError

import pytest

from evenhand.triage.thresholds import DEFAULT, reasons


def test_every_threshold_has_a_unit_and_a_reason() -> None:
    rows = list(reasons())
    assert len(rows) > 50
    assert all(row.unit and len(row.reason) > 10 for row in rows)
    assert len({row.name for row in rows}) == len(rows)


def test_thresholds_cannot_be_changed_in_place() -> None:
    with pytest.raises(FrozenInstanceError):
        DEFAULT.twin.overlap = 0.1  # type: ignore[misc]


@pytest.mark.parametrize(
    ("group", "names"),
    [
        ("memory", {"stays"}),
        ("cap", {"line_by_frames", "line_near"}),
        ("screen", {"told_share"}),
        ("twin", {"trimmed_s"}),
    ],
)
def test_what_a_detector_asks_on_the_way_is_named_too(group: str, names: set[str]) -> None:
    assert {f"{group}.{name}" for name in names} <= {told.name for told in reasons()}
