"""Why a page opens with this pair of several, in a sentence."""

from __future__ import annotations

from evenhand.publish.names import Names
from evenhand.verdicts.front_pair import By, FrontPair


def why_first(found: FrontPair, names: Names) -> str:
    """Who of the pair is in front by what, and who comes nearest; both together where nothing parts them."""
    front, rival = names.setup(found.front), names.setup(found.rival)
    if found.clear:
        stands = "the best value" if found.by is By.VALUE else "in front"
        return f"Shown first: {front} is {stands}, and {rival} comes nearest to it."
    by = " by value" if found.by is By.VALUE else ""
    return f"Shown first: {front} and {rival} are closest at the front{by}."
