"""A finished picture, and its three ways out: into a page, into a file of its own, and as PNG.

The SVG of a `Picture` carries no fonts: a page has them already, and for PNG its text becomes outlines.
`standalone` puts the fonts in, so that a file looks alike wherever it is opened.
"""

from __future__ import annotations

import re
from base64 import b64encode
from dataclasses import dataclass
from functools import cache

from evenhand.publish.faces import FONTS, SIGNS, Cut, Face, needs_extended, needs_signs
from evenhand.publish.outlines import outlined
from evenhand.publish.painting import painted
from evenhand.publish.palette import TOKENS, Theme, colour

_VARIABLE = re.compile(r"var\(--([\w-]+)\)")
_STYLE = re.compile(r' style="([^"]*)"')
_SIGNS_CUT = Cut(file=SIGNS, family="Evenhand Signs", weight=400)


@dataclass(frozen=True, slots=True, kw_only=True)
class Picture:
    """One drawn figure: its SVG without fonts, size in pixels, what it shows and what is seen in it.

    `told` are sentences on signs and names that could not be drawn as they are written.
    """

    svg: str
    width: int
    height: int
    title: str
    description: str
    told: tuple[str, ...] = ()


def standalone(picture: Picture) -> str:
    """The picture's SVG with the fonts inside, fit for a file of its own.

    A picture made for a page also gets its colours, and follows the reader's light or dark setting.
    """
    style = _font_faces(picture.svg) + (_variables() if _VARIABLE.search(picture.svg) else "")
    head, close, body = _grounded(picture).partition("</desc>")
    return f"{head}{close}<style>{style}</style>{body}"


def embedded(picture: Picture) -> str:
    """The picture's SVG to be set into a page: no style attribute, which a strict page would not honour.

    >>> text = '<text style="fill:red;font-size:9px">'
    >>> embedded(Picture(svg=text, width=1, height=1, title="", description=""))
    '<text fill="red" font-size="9px">'
    """
    return _STYLE.sub(lambda found: _attributes(found.group(1)), picture.svg)


def _attributes(style: str) -> str:
    return "".join(' {}="{}"'.format(*part.split(":", 1)) for part in style.split(";"))


def to_png(picture: Picture, theme: Theme = Theme.LIGHT) -> bytes:
    """The picture as PNG of exactly its own size; `theme` colours one that was made for a page."""
    return painted(to_be_painted(picture, theme))


def to_be_painted(picture: Picture, theme: Theme = Theme.LIGHT) -> str:
    """The picture's SVG with colours for variables and outlines for text: nothing is left to look up."""
    return outlined(_VARIABLE.sub(lambda found: colour(found.group(1), theme), _grounded(picture)))


def _grounded(picture: Picture) -> str:
    """The picture's SVG; one made for a page gets the ground that the page would have been."""
    if not _VARIABLE.search(picture.svg):
        return picture.svg
    head, close, body = picture.svg.partition("</desc>")
    return f'{head}{close}<rect width="{picture.width}" height="{picture.height}" fill="var(--paper)"/>{body}'


def _font_faces(svg: str) -> str:
    used = (face.value for face in Face)
    cuts = [cut for cut in used if f"{cut.family}," in svg and f"weight:{cut.weight}" in svg]
    more = [cut.extended for cut in cuts if needs_extended(svg, cut)]
    return "".join(_font_face(cut) for cut in [*more, *cuts, *([_SIGNS_CUT] if needs_signs(svg) else [])])


@cache
def _font_face(cut: Cut) -> str:
    packed = b64encode((FONTS / f"{cut.file}.woff2").read_bytes()).decode("ascii")
    return (
        f"@font-face{{font-family:'{cut.family}';font-weight:{cut.weight};"
        f"src:url(data:font/woff2;base64,{packed}) format('woff2')}}"
    )


def _variables() -> str:
    light, dark = (
        "svg{" + "".join(f"--{token}:{colour(token, theme)};" for token in TOKENS) + "}" for theme in Theme
    )
    return f"{light}@media (prefers-color-scheme:dark){{{dark}}}"
