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
