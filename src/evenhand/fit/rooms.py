"""What there could be one more of, read from data: a part with a little more room, asked by some rules."""

from __future__ import annotations

import tomllib
from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from functools import cache
from importlib import resources
from typing import Any

from evenhand.fit.reading import Item


@dataclass(frozen=True, slots=True, kw_only=True)
class Room:
    """A little more room in a kind of part: by how much its facts grow, as far as they are known.

    `said` tells it in words, `called` what there is more of, in short.

    `place` is what a list of places gets besides, `least` are facts that are this much at least then, and
    `rules` are asked with it; any other rule is asked of the part as it is.
    """

    key: str
    of: str
    said: str
    called: str
    rules: tuple[str, ...]
    add: Mapping[str, float] = field(default_factory=dict)
    place: Mapping[str, Mapping[str, Any]] = field(default_factory=dict)
    least: Mapping[str, float] = field(default_factory=dict)

    def given(self, item: Item) -> Item:
        """The part with that room; one of another kind as it is."""
        if item.kind != self.of:
            return item
        known = item.facts
        more: dict[str, Any] = {
            name: known[name] + by for name, by in self.add.items() if known.get(name) is not None
        }
        more |= {name: [*known[name], one] for name, one in self.place.items() if known.get(name) is not None}
        if more:
            more |= {name: max(known.get(name) or 0, least) for name, least in self.least.items()}
        return replace(item, facts={**known, **more})


@cache
def rooms() -> tuple[Room, ...]:
    """Every room, in the order in which they are told."""
    text = (resources.files("evenhand.fit") / "rooms.toml").read_text(encoding="utf-8")
    return tuple(Room(**{**told, "rules": tuple(told["rules"])}) for told in tomllib.loads(text)["rooms"])
