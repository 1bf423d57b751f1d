"""Makes the package importable from a notebook that is opened without having been installed.

The kernel starts in the notebook's folder, so this file is always importable.
An installed package of the same tree is left as it is.
"""

from __future__ import annotations

import sys
from pathlib import Path

__all__ = ["root"]


def _root() -> Path | None:
    for folder in Path(__file__).resolve().parents:
        if (folder / "kit" / "__init__.py").is_file():
            return folder
    return None


root = _root()
if root is not None and str(root) not in sys.path:
    sys.path.insert(0, str(root))
