"""What words of tuning mean, for whoever has not met them."""

from __future__ import annotations

from collections.abc import Mapping

from evenhand.publish.direction import isolated
from evenhand.publish.numbers import capital
from evenhand.publish.tuning.claims import bound_words
from evenhand.tuning.claims import Claim

LOADS: Mapping[str, str] = {
    "integers": "whole-number work with known answers, on every core",
    "products": "multiplying matrices with known answers, on every core",
    "transforms": "Fourier transforms with known answers, on every core",
    "patterns": "memory filled, moved and compared with what was put in",
}
"""The loads of the rig program, each in a few words."""

WORDS: Mapping[str, str] = {
    "edge": "where one failure in ten minutes of the load is to be expected.",
    "guard band": "what lies between the edge and what is advised, and is kept free.",
    "reserve": "the part of the guard band for what these trials leave open: more of them make it smaller.",
    "at 95 %": "of 100 claims that are made like this, 95 are right.",
    "fewer than one in 8 h": "failures come more seldom than that, so surely; how much more seldom nobody "
    "has seen.",
}
"""Words of the page that mean something of their own here."""


def load_meaning(load: str) -> str:
    """What a load does, as a sentence; "" for one that the rig program does not have.

    >>> load_meaning("integers"), load_meaning("a stroll")
    ('Integers: whole-number work with known answers, on every core.', '')
    """
    return f"{capital(isolated(load))}: {LOADS[load]}." if load in LOADS else ""


def load_told(load: str) -> str:
    """The same on a page, where a load that somebody named is told as that; "" without a load."""
    return load_meaning(load) or (f"“{isolated(load)}” is a load of your own." if load else "")


def reckoned_words(claim: Claim) -> str:
    """Why more is promised of an advised voltage than may be claimed of it, as a sentence."""
    return (
        "What is advised is reckoned from failures below it; only hours without a failure show a claim, and "
        f"these show {bound_words(claim)}."
    )
