"""Build Reckoner: checked calculators for one-off outdoor builds, and notebooks that lead through them.

    >>> import kit
    >>> from kit import Q
    >>> lid = kit.timber.wood_density(timber="white oak", at=Q(12, "percent"))
    >>> print(f"{lid.density:.0f~P}")
    762 kg/m³

The trades are modules: `kit.fasteners`, `kit.boards`, `kit.timber`, `kit.glue`,
`kit.panels`, `kit.resin`, `kit.lids`, `kit.hinges`, `kit.afloat`,
`kit.estimating`, `kit.site`.  `kit.build.Build` opens a whole build from a
script.  Trades are imported when first asked for.
"""

from __future__ import annotations

import importlib
from typing import Any

from kit.quantities import Q, Quantity

__all__ = ["Q", "Quantity"]

__version__ = "0.1.0"


def __getattr__(name: str) -> Any:
    if name.startswith("_"):
        raise AttributeError(f"kit has no {name}")
    try:
        return importlib.import_module(f"kit.{name}")
    except ModuleNotFoundError as error:
        if error.name != f"kit.{name}":
            raise
        raise AttributeError(f"kit has no module {name}") from None
