"""Special functions: SciPy's own, by themselves.

The package that SciPy keeps them in also loads a layer for other kinds of arrays, and with it all that NumPy
has, down to its builder of Fortran modules: that takes twice as long as NumPy, before a first page can be
shown. Here the compiled functions are loaded alone. They are the same objects that `scipy.special` gives,
whoever loads that, before or after.
"""

from __future__ import annotations

import importlib
import sys
from importlib.util import find_spec
from types import ModuleType, SimpleNamespace
from typing import TYPE_CHECKING, Any

import numpy as np

__all__ = ["special"]

PACKAGE = "scipy.special"
NAMES = (
    "betainc", "betaincc", "betainccinv", "betaincinv", "fdtr", "fdtrc", "fdtri", "gammainc", "gammainccinv",
    "gammaincinv", "nctdtr", "ndtr", "ndtri", "psi", "stdtr", "stdtrit",
)  # fmt: skip


def by_themselves() -> Any:
    """The functions of NAMES and polygamma; from the whole package where that is loaded or must be."""
    if PACKAGE not in sys.modules:
        try:
            compiled = _compiled()
            own = {name: getattr(compiled, name) for name in NAMES}
            return SimpleNamespace(**own, polygamma=_polygamma(compiled.gamma, compiled._zeta))  # noqa: SLF001
        except (ImportError, AttributeError):  # a SciPy that keeps them elsewhere: as everybody has them
            pass
    return importlib.import_module(PACKAGE)


def _compiled() -> ModuleType:
    """The compiled functions. A stand-in keeps their package's place meanwhile, so that it is not loaded."""
    spec = find_spec(PACKAGE)
    stand_in = ModuleType(PACKAGE)
    stand_in.__path__ = list((spec and spec.submodule_search_locations) or ())
    sys.modules[PACKAGE] = stand_in
    try:
        return importlib.import_module(f"{PACKAGE}._ufuncs")
    finally:
        del sys.modules[PACKAGE]


def _polygamma(gamma: Any, zeta: Any) -> Any:
    """The polygamma function of orders 1 and more, step by step as SciPy has it."""

    def polygamma(n: int, x: Any) -> Any:
        order = np.asarray(n)
        return (-1.0) ** (order + 1) * gamma(order + 1.0) * zeta(order + 1, np.asarray(x))

    return polygamma


if TYPE_CHECKING:
    from scipy import special
else:
    special = by_themselves()
