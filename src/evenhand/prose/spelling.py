"""Numbers as people write and speak them."""

from __future__ import annotations

import re

from evenhand.prose.rules import Rules

_DIGITS = re.compile(r"[+−-]?\d[\d,]*(?:\.\d+)?")


def value_of(written: str, rules: Rules) -> float | None:
    """The number that is written in digits or words; None where it is none.

    >>> from evenhand.prose.rules import rules
    >>> [value_of(w, rules()) for w in ("1,012", "twenty-five", "nine hundred and two", "a thousand")]
    [1012.0, 25.0, 902.0, 1000.0]
    """
    digits = _DIGITS.fullmatch(written.strip())
    if digits:
        return float(written.strip().replace(",", "").replace("−", "-"))
    return _spoken(written.casefold(), rules)


def _spoken(written: str, rules: Rules) -> float | None:
    small, scales = rules.plain.get("number_words", {}), rules.plain.get("number_scales", {})
    half = rules.plain.get("number_joints", {}).get("half", ["", 0])
    total, current, found = 0.0, 0.0, False
    text = written
    if half[0] and text.endswith(half[0]):
        text, total, found = text.removesuffix(half[0]), float(half[1]), True
    for word in re.findall(r"[^\W\d_]+", text):
        if word in small:
            current, found = current + small[word], True
        elif word in scales:
            current, found = max(current, 1.0) * scales[word], True
            if scales[word] > 100:
                total, current = total + current, 0.0
    return total + current if found else None


def decimals_of(written: str) -> int:
    """How many decimals a number was written with.

    >>> decimals_of("71.5"), decimals_of("thirty")
    (1, 0)
    """
    return len(written.strip().partition(".")[2]) if _DIGITS.fullmatch(written.strip()) else 0
