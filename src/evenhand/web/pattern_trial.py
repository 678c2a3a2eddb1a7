"""A pattern of the score, tried on output that its writer pasted: what a rig would take, or why nothing."""

from __future__ import annotations

import re

from evenhand.publish.numbers import number
from evenhand.rig.patterns import Match, last_match
from evenhand.rig.scripted import number_of

MOST_S = 2.0  # someone waits for the answer; a rig itself waits longer


def tried(pattern: str, output: str) -> str:
    """What a rig takes from `output` by `pattern`, in a sentence or two."""
    if not pattern:
        return "Without a pattern nothing is taken from the output: the score is the seconds that it took."
    try:
        re.compile(pattern)
        match = last_match(pattern, "\n".join(output.splitlines()), most_s=MOST_S)
    except re.error as error:
        return f"The pattern cannot be read ({error}): correct it."
    except OSError:
        return (
            f"The pattern was not done with this output after {MOST_S:g} s, and a rig would give up on it: "
            "write it without repeats inside repeats, such as (a+)+."
        )
    if match is None:
        return "Nothing in this output fits the pattern: a run that ended so would have no score."
    return f"{taken(match)}{which(match)}"


def taken(match: Match) -> str:
    """The number that is taken, or why what was taken is none."""
    score, trouble = number_of(match.text)
    if score is None:
        return f"{trouble[:1].upper()}{trouble[1:]}: such a run would have no score."
    group = f"by {match.group}" if match.group else "from the whole match, as the pattern has no group"
    return f"Takes {score:.12g}, {group}."


def which(match: Match) -> str:
    """Which of several matches it is."""
    return f" It fits {number(match.times)} times; the last one counts." if match.times > 1 else ""
