"""Reads a picture back: its texts with the room they take, by the same width table that set them."""

from __future__ import annotations

import re
from dataclasses import dataclass
from xml.etree import ElementTree

from evenhand.publish.faces import Face
from evenhand.publish.picture import Picture
from evenhand.publish.svg import Box, Words

SVG = "{http://www.w3.org/2000/svg}"
FACES = {("Asap", "400"): Face.TEXT, ("Asap", "600"): Face.STRONG, ("Faustina", "600"): Face.SAY}


@dataclass(frozen=True, slots=True, kw_only=True)
class Text:
    """One text of a picture."""

    words: Words
    fill: str

    @property
    def box(self) -> Box:
        return self.words.box

    @property
    def ink(self) -> Box:
        """Where letters really stand: from the height of capitals to the line they stand on."""
        w = self.words
        return Box(left=w.box.left, right=w.box.right, top=w.y - 0.7 * w.size, bottom=w.y)


def root_of(picture: Picture) -> ElementTree.Element:
    return ElementTree.fromstring(picture.svg)


def texts(picture: Picture) -> list[Text]:
    return [_text(element) for element in root_of(picture).iter(f"{SVG}text")]


def said(picture: Picture) -> str:
    """All its texts, one behind the other."""
    return " ".join(text.words.text for text in texts(picture)).replace("\u00a0", " ")


def _text(element: ElementTree.Element) -> Text:
    style = dict(pair.split(":", 1) for pair in element.attrib["style"].split(";"))
    family = style["font-family"].split(",")[0]
    words = Words(
        x=float(element.attrib["x"]),
        y=float(element.attrib["y"]),
        text=element.text or "",
        size=float(style["font-size"].removesuffix("px")),
        face=FACES[family, style["font-weight"]],
        anchor=element.attrib.get("text-anchor", "start"),
    )
    return Text(words=words, fill=style["fill"])


def colours(picture: Picture) -> set[str]:
    """Every colour named in the picture."""
    return set(re.findall(r"#[0-9a-f]{6}\b", picture.svg))
