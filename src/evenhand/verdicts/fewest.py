"""How many tests of one sort it takes to speak of others."""

from __future__ import annotations

FEWEST_TESTS = 6
"""Tests of one sort from which others may be spoken of.

A kind of title that makes up two in five of all is missed by five tests in 7.8 % of studies (0.6^5), by six
in 4.7 %: from six on the spread of what was tested holds what is common. The interval itself then keeps 92 %
or more even where titles are of two kinds, skewed, or held by a limit (`python -m validation.forecasts`).
What is rare is missed by any number of tests that a bench can run.
"""
