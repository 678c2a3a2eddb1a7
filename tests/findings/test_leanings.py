"""An interval of a slope says what limits a rate only where all of it agrees."""

import pytest

from evenhand.findings.leanings import ZONES, Leaning, leaning_of


@pytest.mark.parametrize(
    ("part", "low", "high", "says"),
    [
        ("pixels", -1.1, -0.9, Leaning.GRAPHICS),
        ("pixels", -0.8, -0.6, Leaning.GRAPHICS),
        ("pixels", -0.8, -0.3, Leaning.NOT_SHOWN),
        ("pixels", -0.1, 0.05, Leaning.PROCESSOR),
        ("pixels", -0.5, -0.2, Leaning.MIXED),
        ("graphics", 0.7, 1.0, Leaning.GRAPHICS),
        ("processor", 0.8, 0.95, Leaning.PROCESSOR),
        ("graphics", -0.1, 0.1, Leaning.NOT_SHOWN),
        ("processor", 0.3, 0.5, Leaning.MIXED),
        ("memory", 0.9, 1.0, Leaning.NOT_SHOWN),
        ("pixels", None, None, Leaning.NOT_SHOWN),
    ],
)
def test_every_zone(part, low, high, says):
    assert leaning_of(part, low, high) is says


def test_every_threshold_has_a_reason():
    assert all(zone.why and zone.weak < zone.strong for zone, _, _ in ZONES.values())
