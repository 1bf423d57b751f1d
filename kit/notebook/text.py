"""Words, signs and tables that forms, views and paper share; every text from a record is escaped here."""

from __future__ import annotations

import html
import math
from collections.abc import Iterable, Sequence

import numpy as np

from kit.calculator import InputError
from kit.checks import Check, Verdict
from kit.quantities import spell, unit
from kit.showing import Rounding
from kit.workshop import Prefs, show

__all__ = [
    "MARKS",
    "STYLE",
    "counts",
    "escape",
    "html_table",
    "limit_of",
    "plain_table",
    "sentence_of",
    "share_of",
    "value_of",
]

# A shape and a word for each verdict; nothing is said by colour alone.
MARKS: dict[Verdict, str] = {
    "meets": "✓",
    "marginal": "~",
    "fails": "✗",
    "open": "○",
    "not covered": "□",
    "does not apply": "–",
}

STYLE = """<style>
.br-page{font-size:13px;line-height:1.45;color:var(--jp-ui-font-color1,#222)}
.br-page table{border-collapse:collapse;margin:.3em 0;max-width:100%}
.br-page th{font-weight:600;text-align:left;padding:.15em .9em .15em 0;border-bottom:1px solid var(--jp-border-color1,#999)}
.br-page td{padding:.18em .9em .18em 0;vertical-align:top;border-bottom:1px solid var(--jp-border-color2,#ccc);text-align:left}
.br-page td.n{text-align:right;font-variant-numeric:tabular-nums;white-space:nowrap}
.br-wide{overflow-x:auto}
.br-view .widget-html,.br-view .widget-html-content{min-width:0;max-width:100%}
.br-sentence{font-size:16px;margin:.2em 0 .5em}
.br-quiet{color:var(--jp-ui-font-color2,#555);font-size:12px}
.br-bad{border-left:4px solid currentColor;padding-left:.6em;font-weight:600}
.br-note{border-left:2px dashed var(--jp-border-color1,#888);padding-left:.6em}
.br-fails td:first-child,.br-open td:first-child{font-weight:700}
.br-stale{text-decoration:line-through;opacity:.75}
.br-row{flex-flow:row wrap!important;align-items:baseline}
.br-page svg{max-width:100%;height:auto}
.br-drawing{overflow-x:auto}.br-drawing svg{min-width:520px}
.br-entry .widget-label{white-space:normal;overflow:visible;text-overflow:clip;height:auto;line-height:1.25;padding-top:3px}
.br-entry .widget-text,.br-entry .widget-dropdown{height:auto}
</style>"""


def escape(words: object) -> str:
    """Text made safe to stand in a page."""
    return html.escape(str(words))


def sentence_of(error: BaseException) -> str:
    """One sentence for a person, whatever went wrong."""
    if isinstance(error, InputError):
        return "; ".join(f"{name}: {why}" for name, why in error.faults.items())
    if isinstance(error, KeyError):
        return str(error.args[0]) if error.args else "something is missing"
    return str(error) or type(error).__name__


def html_table(
    head: Sequence[str], rows: Iterable[Sequence[str]], *, numbers: Iterable[int] = (), classes: Sequence[str] = ()
) -> str:
    """A table of texts; the columns in `numbers` are set flush right."""
    right = set(numbers)
    lines = [
        "<div class='br-wide' tabindex='0' role='group' aria-label='table'><table><thead><tr>",
        *(f"<th scope='col'>{escape(h)}</th>" for h in head),
        "</tr></thead><tbody>",
    ]
    for place, row in enumerate(rows):
        kind = f" class='{classes[place]}'" if place < len(classes) and classes[place] else ""
        cells = (f"<td{' class=n' if i in right else ''}>{escape(cell)}</td>" for i, cell in enumerate(row))
        lines.append(f"<tr{kind}>{''.join(cells)}</tr>")
    return "".join(lines) + "</tbody></table></div>"


def plain_table(head: Sequence[str], rows: Iterable[Sequence[str]]) -> str:
    """The same table for a reader without a page: columns set apart by spaces."""
    lines = [list(head), *([str(cell) for cell in row] for row in rows)]
    widths = [max(len(line[i]) for line in lines) for i in range(len(head))]
    return "\n".join("  ".join(cell.ljust(w) for cell, w in zip(line, widths, strict=True)).rstrip() for line in lines)


def counts(numbers: dict[Verdict, int]) -> str:
    """The count of every verdict; nothing absent can look like a pass."""
    always = ("meets", "marginal", "fails", "open")
    named = [v for v in numbers if v in always or numbers[v]]
    return ", ".join(f"{MARKS[v]} {numbers[v]} {v}" for v in named)


def _unit(check: Check) -> str:
    """Freeboards and other lengths under a metre are read off a rule in millimetres; all else keeps its unit."""
    sizes = [q for q in (check.value, check.limit, check.upper) if q is not None]
    if check.value is None or not check.value.check("[length]") or check.value.units != unit("m"):
        return ""
    return "mm" if all(np.max(np.nan_to_num(np.abs(q.m_as("m")))) < 1 for q in sizes) else ""


def value_of(check: Check, prefs: Prefs) -> str:
    """What was worked out, as shown, rounded the safe way."""
    if check.value is None:
        return ""
    up: Rounding = {"at most": "up", "at least": "down"}.get(check.direction, "near")  # type: ignore[assignment]
    return show(check.value, _unit(check), resolution=_fine(check), rounding=up, prefs=prefs)


def limit_of(check: Check, prefs: Prefs) -> str:
    """The limit and its direction, as shown, in the unit of the result, rounded the safe way."""
    if check.limit is None or check.value is None:
        return ""
    way: Rounding = {"at most": "down", "at least": "up"}.get(check.direction, "near")  # type: ignore[assignment]
    low, *high = (
        show(q.to(check.value.units), _unit(check), resolution=_fine(check), rounding=way, prefs=prefs)
        for q in (check.limit, check.upper) if q is not None
    )
    return f"{low} to {high[0]}" if high else f"{check.direction} {low}"


def _fine(check: Check) -> float | None:
    """A tenth for lengths of a few millimetres, a hundredth for fits: a coarser one would hide how near the limit is."""
    if check.value is None or check.limit is None or spell(check.value) != "mm":
        return None
    sizes = np.abs(np.concatenate([np.ravel(check.value.m_as("mm")), np.ravel(check.limit.m_as("mm"))]))
    largest = np.nanmax(sizes, initial=0)
    return 0.01 if largest < 1 else 0.1 if largest < 20 else None


def share_of(check: Check) -> str:
    """Share of the limit used, rounded up, where it has a meaning."""
    share = check.share
    if check.state is not None or np.ndim(share) or share != share:
        return ""
    return "all and more" if math.isinf(share) else f"{math.ceil(share * 100 - 1e-9) / 100:.2f}"
