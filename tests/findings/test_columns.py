"""Tests of a pair as columns of logs: by boot, in the order in which they are named, gaps left open."""

import math

import numpy as np

from evenhand.findings.columns import lay_boots
from evenhand.findings.sessions import Replicates, Sessions

A = {"a1": 0.1, "a2": 0.25, "a3": 0.15}
B = {"b1": 0.0, "b2": 0.05, "b3": -0.05}


def test_of(a, b):
    return Sessions(
        kind=Replicates.BOOTS, logs_a=tuple(a.values()), logs_b=tuple(b.values()),
        boots_a=tuple(a), boots_b=tuple(b),
    )  # fmt: skip


test_of.__test__ = False


def without(side, boot):
    return {name: log for name, log in side.items() if name != boot}


def test_every_log_stands_at_its_boot_whatever_order_a_test_names_them_in():
    turned = dict(reversed(A.items()))
    laid, same = lay_boots([test_of(A, B), test_of(turned, B)]), lay_boots([test_of(A, B), test_of(A, B)])
    assert laid.d.tolist() == same.d.tolist()
    assert laid.boots[0].squares.tolist() == same.boots[0].squares.tolist()


def test_a_boot_that_one_test_lacks_is_a_gap_there_alone():
    for tests in ([without(A, "a2"), A], [A, without(A, "a2")]):
        laid = lay_boots([test_of(side, B) for side in tests])
        wanted = [np.mean(list(side.values())) - np.mean(list(B.values())) for side in tests]
        assert np.allclose(laid.d, wanted, rtol=0, atol=1e-15)
        assert sorted(laid.boots[0].runs.tolist()) == [2, 3]


def test_boots_that_only_one_test_names_are_too_few_to_share():
    other = {f"x{name}": log for name, log in A.items()}
    assert lay_boots([test_of(A, B), test_of(other, B)]) is None
    assert not math.isnan(lay_boots([test_of(A, B)]).d[0])
