"""Which reasons for setting a run aside go with which fault."""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType

from evenhand.records.runs import Reason

_CONDITIONS, _DAMAGED, _BETWEEN = Reason.OTHER_CONDITIONS, Reason.DAMAGED_LOG, Reason.INTERRUPTED
FITTING: Mapping[str, tuple[Reason, ...]] = MappingProxyType({
    "rate-cap": (Reason.RATE_CAP,), "screen-steps": (Reason.RATE_CAP,), "twin": (Reason.DUPLICATE,),
    "other-settings": (Reason.WRONG_SETTINGS,), "mixed-stamps": (Reason.OTHER_SOFTWARE,),
    "wrong-scene": (Reason.WRONG_SCENE,), "late-start": (Reason.WRONG_SCENE,), "room": (_CONDITIONS,),
    "throttling": (_CONDITIONS,), "power-limit": (_CONDITIONS,), "slow-sag": (_CONDITIONS,),
    "warm-up": (_CONDITIONS,), "fan-failure": (Reason.RIG_FAULT,), "truncated": (_DAMAGED,),
    "not-frames": (_DAMAGED,), "damaged-log": (_DAMAGED,), "bad-frame-times": (_DAMAGED,),
    "wrong-units": (_DAMAGED,), "slipped-clock": (_DAMAGED, _BETWEEN), "too-short": (_BETWEEN, _DAMAGED),
    "length": (_BETWEEN, Reason.WRONG_SCENE), "slow-stretch": (_BETWEEN,), "background-load": (_BETWEEN,),
    "extra-hitches": (_BETWEEN,), "memory-full": (_BETWEEN, Reason.WRONG_SETTINGS),
    "odd-level": (Reason.WRONG_SETTINGS, _CONDITIONS), "frame-scatter": (Reason.WRONG_SETTINGS, _BETWEEN),
    "lock-missed": (Reason.WRONG_SETTINGS, _BETWEEN), "unreadable-log": (_DAMAGED,),
})  # fmt: skip
"""The reasons that go with what was found; they are offered first, never taken by themselves."""
