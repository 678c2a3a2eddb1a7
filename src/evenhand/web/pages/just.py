"""What was just done at the bench, as the address of its page says."""

from __future__ import annotations

from evenhand.desk.pages.just_done import Just


def just_done(
    done: str = "", undone: str = "", late: str = "", skipped: str = "", taken_up: str = ""
) -> Just:
    """What was just done, by the address.

    `done` is the run that was decided about, `undone` the one about which that was taken back, `skipped`
    and `taken_up` are slots, `late` is the field of a slot whose reading went to the run that had landed.
    """
    return Just(done=done, undone=undone, late=late, skipped=slot_in(skipped), taken_up=slot_in(taken_up))


def slot_in(text: str) -> int:
    """The number of a slot in an address; 0 where it is none.

    >>> slot_in("12"), slot_in("x"), slot_in("9" * 40)
    (12, 0, 0)
    """
    return int(text) if text.isascii() and text.isdecimal() and len(text) < 10 else 0
