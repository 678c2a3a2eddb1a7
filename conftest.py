"""Property tests look for new cases on a desk and repeat the same ones in CI."""

import os

from hypothesis import settings

settings.register_profile("desk", deadline=None)
settings.register_profile("ci", deadline=None, derandomize=True)
settings.load_profile("ci" if os.environ.get("CI") else "desk")
