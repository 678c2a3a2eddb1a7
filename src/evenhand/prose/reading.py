"""The nouns of reading a sentence: what it is read by, and what it claims."""

from __future__ import annotations

import re
from dataclasses import dataclass

from evenhand.prose.clauses import Clause
from evenhand.prose.context import Context
from evenhand.prose.ground import Ground
from evenhand.prose.mentions import Signed
from evenhand.prose.rules import ClaimRule, Rules
from evenhand.prose.scopes import Scope

SIDED = frozenset({"ahead", "behind"})
ALIKE = frozenset({"level", "same"})


@dataclass(frozen=True, slots=True, kw_only=True)
class Reading:
    """A sentence of a script, what was said before it, and all that it is read by."""

    script: str
    sentence: Signed
    context: Context
    ground: Ground
    rules: Rules

    def text(self, span: tuple[int, int]) -> str:
        """A stretch of the sentence, with signs."""
        return self.sentence.text[span[0] : span[1]]


@dataclass(frozen=True, slots=True, kw_only=True)
class Met:
    """Where a clause meets a rule; `denied` says that its words are denied outright."""

    clause: Clause
    rule: ClaimRule
    found: re.Match[str]
    denied: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Claim:
    """One claim: `better` over `worse` (alike: all are in `better`), in `scope`; `parts` are the cause in it.

    `clause` is where its clause begins; `within`: bounded by the margin; `joint`: parts named together;
    `of_two`: only two are held against each other; `sided`: a cause that is said to put one ahead; `open`:
    nobody said against whom; `denied`: said not to be so; `who`: readers, as the rule found them.
    """

    rule: ClaimRule
    span: tuple[int, int]
    scope: Scope
    clause: int = 0
    better: tuple[str, ...] = ()
    worse: tuple[str, ...] = ()
    parts: tuple[str, ...] = ()
    within: bool = False
    joint: bool = False
    of_two: bool = False
    sided: bool = False
    open: bool = False
    denied: bool = False
    who: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Made:
    """What was read of a sentence: its claims, and whether any rule met it, be it to be denied."""

    claims: tuple[Claim, ...] = ()
    met: bool = False
