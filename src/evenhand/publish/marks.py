"""The own mark of whoever publishes: a small picture at the foot of every card."""

from __future__ import annotations

from base64 import b64encode
from dataclasses import dataclass


@dataclass(frozen=True, slots=True, kw_only=True)
class Mark:
    """A picture that is nothing but its pixels: `media` is its type, `width` and `height` are in pixels."""

    media: str
    width: int
    height: int
    data: bytes

    @property
    def uri(self) -> str:
        """The picture as an address that holds it."""
        return f"data:{self.media};base64,{b64encode(self.data).decode('ascii')}"
