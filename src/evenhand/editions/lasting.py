"""Addresses of claims from edition to edition: what keeps its own, and where an older one leads."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from evenhand.editions.article import FormerClaim
from evenhand.editions.snapshot import Snapshot, Table
from evenhand.verdicts.claims import Kind

TURNED = {"ahead": "behind", "behind": "ahead"}


def slug(*words: str) -> str:
    """Words as they stand in an address."""
    return "-".join(words).replace("_", "-").replace(" ", "-")


def lasting(address: str, row: Table) -> str:
    """The address that a claim has whichever of its pair is named first; `row` says of which pair it is.

    >>> lasting("cause-graphics-ahead-b-a", {"kind": "because of a part", "pair": ["b", "a"]})
    'cause-graphics-behind-a-b'
    """
    pair = list(row.get("pair", ()))
    tail = slug(*pair)
    if pair == sorted(pair) or not address.endswith(f"-{tail}"):
        return address
    *stem, last = address.removesuffix(f"-{tail}").split("-")
    way = TURNED.get(last, last) if row["kind"] == Kind.CAUSE else last
    return slug(*stem, way, *sorted(pair))


def lasting_claims(snapshot: Snapshot) -> Iterator[tuple[str, Table]]:
    """Every sentence that stands, by the address that it has in every edition."""
    return ((lasting(address, row), row) for address, row in snapshot.claims.items())


def former_claims(snapshot: Snapshot, earlier: Sequence[tuple[str, str, Snapshot]]) -> Iterator[FormerClaim]:
    """Addresses that were published and that this edition has no sentence under, the last edition's first.

    `earlier` are editions, the first first: what each is called, where its page lies, and what it says.
    """
    seen = set(snapshot.claims)
    for edition, page, before in reversed(earlier):
        for address, row in before.claims.items():
            if address not in seen:
                seen.add(address)
                now = lasting(address, row)
                yield FormerClaim(
                    address=address, words=row["words"], edition=edition, at=f"{page}#{address}",
                    now=now if now in snapshot.claims else "",
                )  # fmt: skip
