"""What every test run needs before its first kernel starts."""

from __future__ import annotations

import atexit
import os
import shutil
import tempfile
from pathlib import Path

ROOT = Path(__file__).resolve().parent


def _prepare_kernels() -> None:
    """Let kernels find the package, and keep them away from the reader's own start-up files and history."""
    inherited = os.environ.get("PYTHONPATH", "")
    os.environ["PYTHONPATH"] = os.pathsep.join(filter(None, [str(ROOT), inherited]))
    profile = tempfile.mkdtemp(prefix="kit-ipython-")
    atexit.register(shutil.rmtree, profile, ignore_errors=True)
    os.environ["IPYTHONDIR"] = profile
    # Tests open the demo, never a build that a reader has open.
    os.environ["RECKONER_BUILDS"] = str(Path(profile) / "my_builds")


_prepare_kernels()
