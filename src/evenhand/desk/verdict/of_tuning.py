"""What is answered to a question about a tuned part: its claim, and never a word that no hours bear out."""

from __future__ import annotations

from collections.abc import Iterator

from evenhand.prose.ground import Ground
from evenhand.prose.wanted import Wanted
from evenhand.publish.numbers import listed
from evenhand.publish.tuning.claims import may_words, more_words
from evenhand.publish.tuning.readers import called_words, not_called_words
from evenhand.publish.tuning.words import point_words
from evenhand.tuning.held import Held


def tuned_told(asked: Wanted, ground: Ground) -> Iterator[tuple[str, str]]:
    """Of each tuned part that is meant what it may be called, and why no more; without why nothing is known.

    Setups that are named and have no trials are told as that.
    """
    named = asked.setups or ground.setups
    own = [held for held in ground.held if held.setup in named and asked.kind in ("", held.part)]
    for held in own:
        if held.told:
            yield _called(held, ground)
    tried = {(held.setup, held.part): f"{ground.names.setup(held.setup)}, {held.part}" for held in own}
    for place in tried.keys() - {(held.setup, held.part) for held in own if held.told}:
        yield f"{tried[place]}: no hours of its trials speak for it.", ""
    untried = [setup for setup in asked.setups if setup not in {held.setup for held in own}]
    if untried:
        yield f"No trial of {listed(tuple(map(ground.names.setup, untried)))} is on record.", ""


def _called(held: Held, ground: Ground) -> tuple[str, str]:
    may, beyond = may_words(held.claim, held.load)
    at = point_words(held.clock_mhz, held.voltage_mv, offset=held.offset)
    whose = f"{ground.names.setup(held.setup)}, {held.part}"
    return f"{whose}: {called_words(at, may)}", f"{not_called_words(beyond)} {more_words(held.claim)}"
