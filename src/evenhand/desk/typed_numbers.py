"""Numbers as a person types them."""

from __future__ import annotations


def decimal(text: str) -> float | None:
    """A number as a person types it, with a point or a comma before its decimals; None where it is none.

    >>> decimal("2,5"), decimal("1.100,5"), decimal("−3"), decimal("2 5,0"), decimal("three")
    (2.5, 1100.5, -3.0, 25.0, None)
    """
    plain = "".join(text.split()).replace("\u2212", "-")
    if "," in plain:
        groups, _, decimals = plain.rpartition(",")
        # Where both signs stand, the last one is before the decimals.
        plain = plain.replace(",", "") if "." in decimals else f"{groups.replace('.', '')}.{decimals}"
    if not plain.isascii() or not set(plain) <= set("+-.0123456789"):
        return None
    try:
        return float(plain)
    except ValueError:
        return None
