"""Pieces of figures that are set across in per cent of their width and upward in pixels.

So drawn, a figure is as wide as its page allows while its type keeps its size. Classes give colours.
"""

from __future__ import annotations

from html import escape


def upright(x: float, top: float, bottom: float, kind: str = "axis") -> str:
    """A line upwards at `x` per cent.

    >>> upright(50, 0, 9.5, "post")
    '<line class="post" x1="50.00%" x2="50.00%" y1="0.0" y2="9.5"/>'
    """
    return f'<line class="{kind}" x1="{x:.2f}%" x2="{x:.2f}%" y1="{top:.1f}" y2="{bottom:.1f}"/>'


def level(y: float, kind: str = "axis", *, start: float = 0.0, end: float = 100.0) -> str:
    """A line across from `start` to `end` per cent, `y` pixels down."""
    return f'<line class="{kind}" x1="{start:.2f}%" x2="{end:.2f}%" y1="{y:.1f}" y2="{y:.1f}"/>'


def word(said: str, x: float, y: float, *, kind: str = "mut", anchor: str = "start", dx: float = 0.0) -> str:
    """One line of text with its baseline `y` pixels down, `dx` pixels beside `x` per cent."""
    beside = f' dx="{dx:g}"' if dx else ""
    return (
        f'<text class="{kind}" x="{x:.2f}%"{beside} y="{y:.1f}" text-anchor="{anchor}">{escape(said)}</text>'
    )


def at(x: float, y: float, drawn: str) -> str:
    """What is drawn in pixels about a place."""
    return f'<svg x="{x:.2f}%" y="{y:.1f}" width="1" height="1" overflow="visible">{drawn}</svg>'


def box(x: float, y: float, width: float, height: float, kind: str = "band") -> str:
    """A rectangle, `x` and `width` in per cent, `y` and `height` in pixels."""
    return f'<rect class="{kind}" x="{x:.2f}%" width="{width:.2f}%" y="{y:.1f}" height="{height:.1f}"/>'


def figure(body: str, high: int, *, title: str, seen: str, kind: str = "", data: str = "") -> str:
    """The whole as SVG, told in words to whoever cannot see it; `data` are attributes for a page's script."""
    label = escape(f"{title}. {seen}")
    classes = f"fig {kind}".rstrip()
    return (
        f'<svg class="{classes}" height="{high}"{data} role="img" aria-label="{label}">'
        f"<title>{escape(title)}</title><desc>{escape(seen)}</desc>{body}</svg>"
    )
