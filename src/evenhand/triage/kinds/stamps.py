"""Stamps: runs that say of themselves that they are something else than their siblings, or than the test."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from evenhand.records.faults import Fault, Severity
from evenhand.triage.candidate import Company
from evenhand.triage.features import Features
from evenhand.triage.limits.mechanical import StampLimits
from evenhand.triage.stamp_words import folded, plain_stamps, same_words
from evenhand.triage.view import CellView
from evenhand.triage.wording import listing

MIXED = "mixed-stamps"
OTHER = "other-settings"
_WORSE = (Severity.BLOCKS, Severity.IN_DOUBT, Severity.NOTE)


@dataclass(frozen=True, slots=True, kw_only=True)
class Difference:
    """One stamp of one run that differs: what it says, what it should say, and what that means."""

    name: str
    says: str
    expected: str
    who: str
    severity: Severity


def other_settings(view: CellView) -> Iterator[tuple[str, Fault]]:
    """A run whose stamps contradict the version or settings that the test declares is another test."""
    for run in view.runs:
        odd = unlike_the_test(run, view)
        if odd:
            yield run.id, _fault(OTHER, "Settings not as the test declares", odd)


def unlike_the_test(run: Features, view: CellView) -> list[Difference]:
    """The stamps of a run that contradict what its test declares."""
    stamps = plain_stamps(run.run.stamps)
    return [
        Difference(
            name=name,
            says=stamps[name],
            expected=value,
            who="the test declares",
            severity=Severity.BLOCKS,
        )
        for name, value in _declared(view.company).items()
        if name in stamps and not same_words(stamps[name], value)
    ]


def mixed_stamps(view: CellView) -> Iterator[tuple[str, Fault]]:
    """A run whose stamp differs from most of its siblings; where no value leads, the whole cell is held."""
    for run in view.runs:
        odd = unlike_the_cell(run, view)
        if odd:
            yield run.id, _fault(MIXED, "Stamps differ between runs", odd)


def unlike_the_cell(run: Features, view: CellView) -> list[Difference]:
    """The stamps of a run that differ from the leading ones of its cell."""
    stamps = {other.id: plain_stamps(other.run.stamps) for other in view.runs}
    settled = _declared(view.company)
    names = sorted({name for own in stamps.values() for name in own} - settled.keys())
    return [d for d in (_mixed(name, run, stamps, view) for name in names) if d is not None]


def _declared(company: Company) -> dict[str, str]:
    """What the test fixes: its settings, and its version."""
    test = company.test
    version = {"version": test.version} if test.version else {}
    return plain_stamps({**version, **test.settings})


def _mixed(
    name: str, run: Features, stamps: Mapping[str, Mapping[str, str]], view: CellView
) -> Difference | None:
    """How this run's stamp differs from the leading one, or None."""
    own = stamps[run.id].get(name)
    said = Counter(folded(other[name]) for other in stamps.values() if name in other)
    if own is None or len(said) < 2:
        return None
    ranked = said.most_common()
    leads = ranked[0][1] > ranked[1][1]
    if leads and folded(own) == ranked[0][0]:
        return None
    severity = _severity(name, view.limits.stamps)
    if not leads:
        if severity is Severity.NOTE:
            return None
        others = sorted({o[name] for o in stamps.values() if name in o and not same_words(o[name], own)})
        return Difference(
            name=name, says=own, expected=listing(others), who="others say", severity=Severity.IN_DOUBT
        )
    leading = next(o[name] for o in stamps.values() if name in o and folded(o[name]) == ranked[0][0])
    return Difference(
        name=name,
        says=own,
        expected=leading,
        who=f"{ranked[0][1]} of {said.total()} runs say",
        severity=severity,
    )


def _severity(name: str, limits: StampLimits) -> Severity:
    if name in limits.blocking:
        return Severity.BLOCKS
    return Severity.IN_DOUBT if name in limits.doubtful else Severity.NOTE


def _fault(kind: str, title: str, odd: list[Difference]) -> Fault:
    severity = next(s for s in _WORSE if any(d.severity is s for d in odd))
    said = "; ".join(f"its {d.name} is “{d.says}”, {d.who} “{d.expected}”" for d in odd)
    return Fault(
        kind=kind,
        title=title,
        severity=severity,
        evidence=said[0].upper() + said[1:] + ".",
        todo=(
            f"Set the {listing([d.name for d in odd])} right and record the run again"
            + (
                ", or correct the stamp if it is only the note that is wrong."
                if severity is not Severity.NOTE
                else "."
            )
        ),
        numbers={"stamps_that_differ": float(len(odd))},
    )
