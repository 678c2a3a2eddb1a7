"""Verbs by class, in every form: what the rules call by one word stands for all that a reviewer may write."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any


@dataclass(frozen=True, slots=True, kw_only=True)
class Forms:
    """One verb: after "to", with "-s", in the past, after "has", with "-ing"; and what follows each."""

    base: str
    third: str
    past: str
    done: str
    going: str
    particle: str = ""


def verb_words(document: dict[str, Any]) -> dict[str, str]:
    """Fragments for each class of verbs: by its name any active form, with `_done` what the passive has.

    >>> endings = [["e$", "es", "ed", "ing"], ["$", "s", "ed", "ing"]]
    >>> beat = {"beat": ["race", "see/sees/saw/seen/seeing off"]}
    >>> words = verb_words({"verbs": {"endings": endings, "helps": "to", "has": "has"} | beat})
    >>> beat = re.compile(words["beat"])
    >>> [bool(beat.search(told)) for told in ("raced", "to see off", "has seen off", "see off")]
    [True, True, True, False]
    """
    verbs = document.get("verbs", {})
    classes = {name: list(_forms(each, verbs)) for name, each in verbs.items() if name not in NO_CLASS}
    active = {name: _active(forms, verbs) for name, forms in classes.items()}
    return active | {f"{name}_done": _either(_done(forms)) for name, forms in classes.items()}


NO_CLASS = ("endings", "helps", "behind", "has", "irregular")
_VERB = re.compile(r"~([a-z]+)")


def with_verbs(pattern: str, document: dict[str, Any]) -> str:
    """A pattern in which "~" before a verb stands for any active form of it.

    >>> verbs = {"endings": [["$", "s", "ed", "ing"]], "helps": "to", "has": "has"}
    >>> verbs["irregular"] = ["hold/holds/held/held/holding"]
    >>> off = re.compile(with_verbs("~hold off", {"verbs": verbs}))
    >>> [bool(off.search(told)) for told in ("held off", "to hold off", "hold off")]
    [True, True, False]
    """
    verbs = document.get("verbs", {})
    return _VERB.sub(lambda found: _active(list(_forms([_written(found[1], verbs)], verbs)), verbs), pattern)


def _written(base: str, verbs: dict[str, Any]) -> str:
    """A verb with its forms where it does not go by the rule, else its base."""
    return next((each for each in verbs.get("irregular", ()) if each.partition("/")[0] == base), base)


def _forms(verbs: list[str], own: dict[str, Any]) -> Iterator[Forms]:
    for written in verbs:
        verb, _, particle = written.partition(" ")
        forms = verb.split("/") if "/" in verb else _regular(verb, own["endings"])
        yield Forms(
            base=forms[0], third=forms[1], past=forms[2], done=forms[3], going=forms[4], particle=particle
        )


def _regular(verb: str, endings: list[list[str]]) -> list[str]:
    """All forms of a verb that goes by the rule, by the first ending that it has."""
    ending, *others = next(each for each in endings if re.search(each[0], verb))
    third, past, going = (re.sub(ending, other, verb, count=1) for other in others)
    return [verb, third, past, past, going]


def _active(forms: list[Forms], own: dict[str, Any]) -> str:
    """What somebody does: by itself with "-s", in the past and with "-ing"; else behind a verb that helps."""
    alone = _either([_with(each, form) for each in forms for form in (each.third, each.past, each.going)])
    base = _either([_with(each, each.base) for each in forms])
    done = _either([_with(each, each.done) for each in forms])
    helped = rf"\b(?:{own['helps']}) (?:\w+ly )?{base}|(?:{own.get('behind', '(?!)')}){base}"
    return rf"(?:\b{alone}|{helped}|\b(?:{own['has']}) (?:\w+ )?{done})\b"


def _done(forms: list[Forms]) -> list[str]:
    return [_with(each, each.done) for each in forms]


def _with(verb: Forms, form: str) -> str:
    """A form with what follows it."""
    return f"{form} {verb.particle}" if verb.particle else form


def _either(words: list[str]) -> str:
    longest = sorted(dict.fromkeys(words), key=len, reverse=True)
    return "(?:" + "|".join(longest) + ")"
