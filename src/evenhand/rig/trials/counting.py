"""Errors that a command counts and goes on after, found in what it prints by the user's own patterns."""

from __future__ import annotations

import re
from dataclasses import dataclass

from evenhand.errors import BadRecord
from evenhand.rig.patterns import last_match

MOST = 10**9  # what a workbench takes


@dataclass(frozen=True, slots=True, kw_only=True)
class Counted:
    """How many errors were counted, and how many of them something put right; `trouble` says why not."""

    errors: int = 0
    corrected: int = 0
    trouble: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Count:
    """Two regular expressions: of the number of all errors, and of those that were corrected; "" for none.

    The first group holds the number, of the last match; without a group every match is one error. What is
    corrected alone counts as well, so that errors are never fewer than these.
    """

    errors: str = ""
    corrected: str = ""

    def __bool__(self) -> bool:
        """Whether anything is counted."""
        return bool(self.errors or self.corrected)

    def check(self) -> None:
        """Raises BadRecord where a pattern cannot be read."""
        for option, pattern in (("--count", self.errors), ("--count-corrected", self.corrected)):
            try:
                re.compile(pattern)
            except re.error as error:
                raise BadRecord(
                    f"the pattern '{pattern}' cannot be read ({error})", where=option, todo="correct it"
                ) from error

    def of(self, output: str) -> Counted:
        """What one go of the command counted."""
        try:
            errors, corrected = _number(self.errors, output), _number(self.corrected, output)
        except (OSError, ValueError) as trouble:
            return Counted(trouble=str(trouble))
        return Counted(errors=max(errors, corrected), corrected=corrected)


def _number(pattern: str, output: str) -> int:
    """The count that a pattern finds; 0 where it fits nowhere. Raises OSError or ValueError in words."""
    found = last_match(pattern, output, called="the pattern for errors") if pattern else None
    if found is None:
        return 0
    if not found.group:
        return found.times
    text = (found.text or "").strip()
    if not (text.isascii() and text.isdigit() and int(text[:12]) <= MOST):
        raise ValueError(f"the pattern for errors found '{text[:40]}', which is no count")
    return int(text)
