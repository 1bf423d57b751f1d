"""Settings shared by every test."""

from __future__ import annotations

import os

from hypothesis import settings

# Deadlines measure the machine, not the code. In CI the same examples are drawn every time.
settings.register_profile("kit", deadline=None, derandomize=os.environ.get("CI", "").lower() in {"1", "true", "yes"})
settings.load_profile("kit")
