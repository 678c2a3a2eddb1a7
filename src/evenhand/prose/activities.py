"""What readers do more of, as the group of tests that weighs more for them then."""

from __future__ import annotations

import re
from collections.abc import Mapping

from evenhand.prose.ground import Ground
from evenhand.prose.rules import Rules
from evenhand.prose.signs import Named, read
from evenhand.verdicts.verdict import Verdict

EVEN = 0.51  # of the weight: no group has most of it


def group_of_more(text: str, ground: Ground, rules: Rules) -> str:
    """The group of tests that "the more you play" or "while playing" speaks of; "" where there is none.

    What is done is a group by its name, or what an audience does that has most of its weight there.
    """
    found = rules["scope.more"].search(text) or rules["scope.doing"].search(text)
    if found is None:
        return ""
    done = found["act"]
    named = [known[1] for char in done if (known := read(char)) is not None and known[0] is Named.GROUP]
    if named:
        return ground.groups[named[0]]
    doing = (key for key, name in ground.audiences.items() if _does(name, done, rules))
    groups = {ground.leanings.get(key) or "" for key in doing}
    return groups.pop() if len(groups) == 1 else ""


def audience_of_most(text: str, ground: Ground, rules: Rules) -> str:
    """The audience that "most of your time is play" speaks of, or "half of it"; "" where there is none."""
    if rules["scope.halves"].search(text):
        return next((key for key in ground.audiences if ground.leanings.get(key, "") is None), "")
    found = rules["scope.most_of"].search(text)
    if found is None:
        return ""
    done = next(filter(None, found.groupdict().values()))
    named = [known[1] for char in done if (known := read(char)) is not None and known[0] is Named.GROUP]
    group = ground.groups[named[0]] if named else ""
    fits = (
        key for key, name in ground.audiences.items()
        if (ground.leanings.get(key) == group if group else _does(name, done, rules))
    )  # fmt: skip
    return next(fits, "")


def _does(name: str, done: str, rules: Rules) -> bool:
    """Whether a word of what is done is a word of an audience's name, whatever its ending."""
    ending = rules.plain["names"]["ending"]
    words = [word for word in re.findall(r"[^\W\d_]{4,}", name) if word[:1].islower()]
    return any(
        re.search(rf"\b{re.escape(_bare(word, rules))}{ending}\b", done, re.IGNORECASE) for word in words
    )


def _bare(word: str, rules: Rules) -> str:
    endings = (e for e in rules.plain["names"]["endings"] if word.endswith(e) and len(word) - len(e) > 2)
    return word.removesuffix(next(endings, ""))


def leaning_of(verdict: Verdict, groups: Mapping[str, str]) -> str | None:
    """The group of tests that has most of the weight behind a verdict, None for none; `groups` by test."""
    shares: dict[str, float] = {}
    for (test, _), share in verdict.shares.items():
        shares[groups.get(test, "")] = shares.get(groups.get(test, ""), 0.0) + share
    return next((group for group, share in shares.items() if share > EVEN), None)
