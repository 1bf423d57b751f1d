"""How long a reader waits: from Enter in a box to the new results on the page, in a real browser.

    python tests/browser/latency.py [--changes 40]

Opens the lids notebook of the demo, changes one entry again and again, and
prints the median and the 95th percentile beside their limits.  It is a script,
never a timed test: other work on the machine shows in its figures.
"""

from __future__ import annotations

import argparse
import sys
import tempfile
from pathlib import Path

import numpy as np

if __package__ in {None, ""}:  # run as a file, not as a module
    sys.path.insert(0, str(Path(__file__).resolve().parents[2]))

from kit.calculator import declared
from kit.lids import strut_balance
from tests.browser.lab import Lab, LabPage, chromium, launch, open_page

# Milliseconds allowed from input to redrawn results, checks and drawing.
LIMITS = {"median": 120.0, "95 % under": 250.0}

# Resolves once the sentence, the checks and the drawing have all changed after Enter was pressed.
WATCH = """() => new Promise(resolve => {
  const look = () => [document.querySelector('.br-sentence')?.textContent,
                      document.querySelector('.br-view svg')?.outerHTML,
                      [...document.querySelectorAll('.br-view table')].map(t => t.textContent).join()].join('|');
  const before = look(); let started = null;
  document.addEventListener('keydown', () => { started = performance.now(); }, {capture: true, once: true});
  const tick = () => started !== null && look() !== before
    ? requestAnimationFrame(() => resolve(performance.now() - started)) : requestAnimationFrame(tick);
  requestAnimationFrame(tick);
})"""


def main(arguments: list[str] | None = None) -> int:
    """Measure and print; 1 when a limit is not kept."""
    parser = argparse.ArgumentParser(description="From Enter to new results, in a browser.")
    parser.add_argument("--changes", type=int, default=40)
    given = parser.parse_args(arguments)
    executable = chromium()
    if executable is None:
        parser.error("no Chromium found; install it, or name one in the variable CHROMIUM")
    with (
        tempfile.TemporaryDirectory() as scratch,
        Lab(Path(scratch)) as lab,
        launch(executable) as browser,
        open_page(lab, browser) as page,
    ):
        waits = _waits(page, given.changes)
    found = {"median": float(np.median(waits)), "95 % under": float(np.percentile(waits, 95))}
    for name, limit in LIMITS.items():
        print(f"input to redrawn, {name}: {found[name]:.0f} ms, limit {limit:.0f} ms, ratio {found[name] / limit:.2f}")
    return int(any(found[name] > limit for name, limit in LIMITS.items()))


def _waits(page: LabPage, changes: int) -> list[float]:
    page.open_notebook("05_lids.ipynb")
    page.run_all()
    box = page.page.get_by_label(declared(strut_balance).inputs["force"].kind.meaning, exact=True).first
    box.scroll_into_view_if_needed()
    waits = []
    for number in range(changes + 3):
        box.fill(f"{151 + number} N")
        watching = page.page.evaluate_handle(f"() => {{ window.waited = ({WATCH})(); }}")
        box.press("Enter")
        waits.append(float(page.page.evaluate("() => window.waited")))
        watching.dispose()
        page.page.wait_for_timeout(80)
    return waits[3:]


if __name__ == "__main__":
    raise SystemExit(main())
