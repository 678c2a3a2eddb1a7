"""Names that went from one test, setup or build to another: a reader who knew the one meets the other."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

from evenhand.desk.study.field_changes import FieldChange

Key = tuple[str, str]  # what it is, and its key


def handed_names(
    changes: Sequence[FieldChange], today: Mapping[Key, str]
) -> Iterator[tuple[FieldChange, str]]:
    """Each change of a name that another one had before or has today, and what is said of that.

    `changes` are in order; `today` holds what each test, setup and build is called now.
    """
    # A setup that moves to another build may be called by it: the move is told, and tells this too.
    moved = {each.id for each in changes if each.field == "build"}
    named = [each for each in changes if each.field == "name" and each.id not in moved]
    for at, change in enumerate(named):
        for other in today:
            if other[0] != change.record or other[1] == change.key:
                continue
            if change.after in names_before(other, named, today, at):
                yield change, f"{change.after} was the name of the {other[0]} '{other[1]}' before"
                break
            if change.before == today[other]:
                yield change, f"{change.before} is the name of the {other[0]} '{other[1]}' now"
                break


def names_before(of: Key, named: Sequence[FieldChange], today: Mapping[Key, str], at: int) -> tuple[str, ...]:
    """Every name that one of them had when the change at this place was made."""
    own = [(place, each) for place, each in enumerate(named) if (each.record, each.key) == of]
    first = own[0][1].before if own else today[of]
    return (first, *(each.after for place, each in own if place < at))
