"""The colours of the look, light and dark, and the five slots a build may wear.

Pictures name colours by token. A page leaves tokens to its style sheet; a card gets them concrete.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from enum import StrEnum


class Theme(StrEnum):
    """Which of the two designed grounds a picture stands on."""

    LIGHT = "light"
    DARK = "dark"


# Each token in light and in dark.
TOKENS: Mapping[str, tuple[str, str]] = {
    "paper": ("#f3f5f3", "#0f1715"),  # the ground
    "sheet": ("#fcfdfc", "#16201e"),  # inside of hollow forms
    "ink": ("#14201e", "#e7edea"),
    "ink2": ("#43504d", "#b6c2be"),  # quiet text
    "line": ("#cfd7d3", "#2d3a37"),
    "band": ("#dde7e2", "#20302c"),  # level: too small to matter
    "post": ("#4a5754", "#a3b0ac"),  # its two edges
    "grey": ("#737f7b", "#93a09c"),  # unsettled
    "fault": ("#8a1c17", "#ffb4a8"),
    "fault-bg": ("#fbeae7", "#351b1b"),
    "fault-edge": ("#b3261e", "#e5786b"),
    "b1": ("#944262", "#b671a5"),
    "b2": ("#094a9c", "#8ea4fd"),
    "b3": ("#ab782c", "#f9ad5b"),
    "b4": ("#1e3d24", "#4b826d"),
    "b5": ("#1c7b98", "#c7ede5"),
}


@dataclass(frozen=True, slots=True, kw_only=True)
class Slot:
    """What marks one build on every chart: never colour alone.

    `mark` is an SVG path around 0, 0 about 12 units across; `dash` a stroke-dasharray in the same
    units; `ink` names its colour.
    """

    number: int
    name: str
    ink: str
    mark: str
    dash: str


DISC = "M-6.2 0a6.2 6.2 0 1 0 12.4 0a6.2 6.2 0 1 0-12.4 0Z"

SLOTS = (
    Slot(number=1, name="heather", ink="b1", mark="M0-7.4 7.6 5.8H-7.6Z", dash="2 4"),
    Slot(number=2, name="tide", ink="b2", mark=DISC, dash="none"),
    Slot(number=3, name="reed", ink="b3", mark="M-5.7-5.7H5.7V5.7H-5.7Z", dash="11 5"),
    Slot(number=4, name="moss", ink="b4", mark="M0-8 8 0 0 8-8 0Z", dash="11 4 2 4"),
    Slot(
        number=5,
        name="shoal",
        ink="b5",
        mark="M-2.6-7.4H2.6V-2.6H7.4V2.6H2.6V7.4H-2.6V2.6H-7.4V-2.6H-2.6Z",
        dash="8 3 2 3 2 3",
    ),
)


def slot(number: int) -> Slot:
    """The slot of this number, 1 to 5.

    >>> slot(2).name
    'tide'
    """
    return SLOTS[number - 1]


def colour(token: str, theme: Theme) -> str:
    """The concrete colour of a token.

    >>> colour("b2", Theme.DARK)
    '#8ea4fd'
    """
    return TOKENS[token][0 if theme is Theme.LIGHT else 1]
