"""The level band between its two posts, and no difference dotted in its middle."""

from __future__ import annotations

from evenhand.publish.figures.interval_forms import Scale
from evenhand.publish.style import Style
from evenhand.publish.svg import Box, Drawn, Pen, line, rect


def band(scale: Scale, margin: float, edges: tuple[float, float], style: Style) -> list[Drawn]:
    """The band from `edges` top to bottom, `margin` (in the unit of the scale) to each side of none."""
    top, bottom = edges
    low, high, middle = scale.x(-margin), scale.x(margin), scale.x(0)
    post = Pen(ink="post", width=style.post)
    dots = Pen(ink="post", width=style.hair * 1.3, dash=f"{style.hair * 1.3:.1f} {4.5 * style.unit:.1f}")
    return [
        rect(Box(left=low, top=top, right=high, bottom=bottom), fill="band"),
        line((low, top), (low, bottom), post),
        line((high, top), (high, bottom), post),
        line((middle, top), (middle, bottom), dots),
    ]
