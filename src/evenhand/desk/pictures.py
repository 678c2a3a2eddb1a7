"""What pages show as they take it: SVG in the page's own colours, slots' marks, names that turn nothing."""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType

from evenhand.publish.direction import in_elements
from evenhand.publish.palette import SLOTS
from evenhand.publish.picture import Picture, embedded

SLOT_MARKS: Mapping[int, str] = MappingProxyType({slot.number: slot.mark for slot in SLOTS})
"""The SVG path of each slot's mark, by its number."""


def drawn(picture: Picture) -> str:
    """The picture's SVG, to be set into a page that brings fonts and colours."""
    return embedded(picture)


def names_apart(html: str) -> str:
    """A page with names that are written from right to left in elements of their own."""
    return in_elements(html)
