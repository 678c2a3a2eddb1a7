"""The shot list: which card is shown from which time of the script on, in words and as JSON."""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Any

from evenhand.desk.comparison.charting import Drawn
from evenhand.errors import nearest

NO_CUE = "The script has no cue yet: a line by itself, [card: headline], shows a card from there on."


@dataclass(frozen=True, slots=True, kw_only=True)
class Shot:
    """One cue: its time code, what it asks for, and the cards that answer to it, in order.

    `todo` says what to write instead where no card does.
    """

    at: str
    asked: str
    cards: tuple[Drawn, ...]
    todo: str = ""


def shot_list(cues: Iterable[tuple[str, str]], drawn: Sequence[Drawn]) -> tuple[Shot, ...]:
    """A shot for each cue, a name with its time code, in the order of the script."""
    return tuple(_shot(name, at, drawn) for name, at in cues)


def _shot(name: str, at: str, drawn: Sequence[Drawn]) -> Shot:
    names = answering(name, [one.name for one in drawn])
    found = tuple(one for one in drawn if one.name in names)
    todo = "" if found else nearest(spelt(name), {set_of(one.name) for one in drawn})
    return Shot(at=at, asked=name.strip(), cards=found, todo=todo)


def spelt(name: str) -> str:
    """A cue's name as files spell it.

    >>> spelt(" Break even  plover")
    'break-even-plover'
    """
    return re.sub(r"[\s_]+", "-", name.strip().casefold())


def answering(name: str, cards: Sequence[str]) -> tuple[str, ...]:
    """The name of the card that is asked for; else of all numbered cards of the first set that begins so.

    >>> answering("headline", ["headline-plover-1", "headline-plover-2", "headline-wren"])
    ('headline-plover-1', 'headline-plover-2')
    """
    asked = spelt(name)
    if not asked:
        return ()
    exact = tuple(card for card in cards if card.casefold() == asked)
    if exact:
        return exact
    begun = [card for card in cards if card.casefold().startswith(f"{asked}-")]
    return tuple(card for card in begun if set_of(card) == set_of(begun[0]))


def set_of(name: str) -> str:
    """The set that a card belongs to: its name without the number of one of several.

    >>> set_of("headline-plover-dunlin-2"), set_of("method")
    ('headline-plover-dunlin', 'method')
    """
    return re.sub(r"-\d+$", "", name)


def never_shown(shots: Sequence[Shot], drawn: Sequence[Drawn]) -> tuple[str, ...]:
    """The cards that no cue shows."""
    shown = {one.name for shot in shots for one in shot.cards}
    return tuple(one.name for one in drawn if one.name not in shown)


def shot_list_text(shots: Sequence[Shot], drawn: Sequence[Drawn]) -> str:
    """The list to read along: time, file, what it shows; then the cards that are never shown."""
    lines = [line for shot in shots for line in _lines(shot)] or [NO_CUE]
    left = never_shown(shots, drawn)
    return "\n".join([*lines, *([f"Never shown: {', '.join(left)}."] if left and shots else [])]) + "\n"


def _lines(shot: Shot) -> list[str]:
    if not shot.cards:
        return [f"{shot.at}  no card is called '{shot.asked}': {shot.todo}"]
    times = [shot.at, *(["then"] * (len(shot.cards) - 1))]
    return [f"{at}  {one.name}  {one.picture.title}" for at, one in zip(times, shot.cards, strict=True)]


def shot_list_answer(shots: Sequence[Shot], drawn: Sequence[Drawn]) -> dict[str, Any]:
    """The same for programs."""
    return {
        "shots": [
            {
                "at": shot.at,
                "asked": shot.asked,
                "cards": [{"name": one.name, "title": one.picture.title} for one in shot.cards],
                "todo": shot.todo,
            }
            for shot in shots
        ],
        "never_shown": list(never_shown(shots, drawn)),
    }
