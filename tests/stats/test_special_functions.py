"""Special functions by themselves: SciPy's own, to the last bit, whoever loads the rest of it when."""

import subprocess
import sys

import numpy as np
import pytest
from scipy import special as whole

from evenhand.stats import special_functions
from evenhand.stats.special_functions import NAMES, special

LOADED_ALONE = """
import sys
from evenhand.stats.special_functions import NAMES, special
print([m for m in ("scipy.special", "numpy.f2py", "numpy.testing") if m in sys.modules])
one, two = special.polygamma(1, [0.5, 1.5, 500.0]).tolist(), special.polygamma(2, 0.25).tolist()
from scipy import optimize, special as whole, stats
print([n for n in NAMES if getattr(whole, n) is not getattr(special, n)])
print(one == whole.polygamma(1, [0.5, 1.5, 500.0]).tolist(), two == whole.polygamma(2, 0.25).tolist())
print(optimize.brentq(lambda t: stats.t.cdf(t, 4) - 0.975, 1, 9))
"""


def test_they_load_without_their_package_and_are_its_own():
    told = subprocess.run([sys.executable, "-c", LOADED_ALONE], capture_output=True, text=True, check=True)
    first, others, same, reached = told.stdout.splitlines()
    assert first == others == "[]"
    assert same == "True True"
    assert float(reached) == pytest.approx(2.776445105)


@pytest.mark.parametrize("order", [1, 2, 3])
def test_polygamma_is_the_same_to_the_last_bit(order):
    at = np.concatenate([np.geomspace(1e-6, 1e6, 400), np.arange(1, 60) / 2.0])
    own = special_functions._polygamma(whole.gamma, whole.zeta)
    assert (own(order, at) == whole.polygamma(order, at)).all()


def test_where_a_scipy_keeps_them_elsewhere_they_come_from_the_package(monkeypatch):
    def elsewhere():
        raise ImportError("no compiled functions here")

    monkeypatch.setattr(special_functions, "_compiled", elsewhere)
    monkeypatch.delitem(sys.modules, "scipy.special")
    found = special_functions.by_themselves()
    assert found.stdtrit(4.0, 0.975) == special.stdtrit(4.0, 0.975)
    assert all(hasattr(found, name) for name in NAMES)
