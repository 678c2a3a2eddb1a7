from __future__ import annotations

from itertools import combinations

import pytest

from evenhand.publish.palette import SLOTS, TOKENS, Theme, colour, slot


def luminance(hex_colour: str) -> float:
    """Relative luminance (WCAG 2.2)."""
    parts = [int(hex_colour[i : i + 2], 16) / 255 for i in (1, 3, 5)]
    red, green, blue = [c / 12.92 if c <= 0.04045 else ((c + 0.055) / 1.055) ** 2.4 for c in parts]
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


def contrast(one: str, other: str) -> float:
    high, low = sorted((luminance(one), luminance(other)), reverse=True)
    return (high + 0.05) / (low + 0.05)


@pytest.mark.parametrize("theme", list(Theme))
@pytest.mark.parametrize("ground", ["paper", "sheet", "band"])
def test_text_is_readable_and_forms_are_seen_on_every_ground(theme, ground):
    back = colour(ground, theme)
    assert all(contrast(colour(ink, theme), back) >= 4.5 for ink in ("ink", "ink2", "fault"))
    forms = ("post", "grey", "fault-edge", *(s.ink for s in SLOTS))
    assert all(contrast(colour(ink, theme), back) >= 3.0 for ink in forms)


def test_five_slots_differ_in_mark_dash_and_colour_not_in_colour_alone():
    assert [s.number for s in SLOTS] == [1, 2, 3, 4, 5]
    for one, other in combinations(SLOTS, 2):
        assert one.mark != other.mark
        assert one.dash != other.dash
        assert TOKENS[one.ink] != TOKENS[other.ink]
    assert slot(3).name == "reed"
