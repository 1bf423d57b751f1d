"""Charts of curves: where things fall, what is left out, what is labelled."""

from __future__ import annotations

import re

import numpy as np
import pytest

from kit.notebook.curves import Axis, Band, Curve, Limit, chart
from kit.quantities import Q
from kit.showing import Prefs
from tests.notebook.pages import texts_of

AXES = (Axis("angle", "deg", 10), Axis("hand", "N"))
X = Q(np.linspace(0, 40, 5), "deg")


def drawn(*curves: Curve, **more: object) -> str:
    """A chart over 0 to 40 degrees."""
    return chart(X, curves, axes=AXES, title="A chart", **more)  # type: ignore[arg-type]


def line_of(drawing: str, weight: float) -> list[tuple[float, float]]:
    """The points of the first line of a weight, in pixels."""
    shape = r'd="M([^"]+)" fill="none" stroke="currentColor" stroke-width="([\d.]+)"'
    d = next(d for d, w in re.findall(shape, drawing) if float(w) == weight)
    return [tuple(map(float, pair.split())) for pair in d.split(" L")]  # type: ignore[misc]


def test_a_straight_line_is_drawn_straight() -> None:
    """Equal steps of the value are equal steps on the page, upwards."""
    points = line_of(drawn(Curve(Q(np.array([0, 10, 20, 30, 40.0]), "N"), "line", weight=3)), 3)
    rises = np.diff([b for _, b in points])

    assert len(points) == 5
    assert np.allclose(rises, rises[0], atol=0.11)
    assert rises[0] < 0


def test_axes_are_labelled_with_their_unit_and_round_numbers() -> None:
    """An inch reader sees pounds force; degrees stay."""
    curve = Curve(Q(np.array([0, 10, 20, 30, 40.0]), "N"), "line")
    assert {"angle (°)", "hand (N)", "0", "10", "40", "A chart", "line"} <= set(texts_of(drawn(curve)))

    assert {"angle (°)", "hand (lbf)"} <= set(texts_of(drawn(curve, prefs=Prefs(system="inch"))))


def test_what_does_not_exist_is_left_out() -> None:
    """A curve with a gap is drawn in two pieces, and a band only where both of its edges are."""
    holed = Q(np.array([1, 2, np.nan, 4, 5.0]), "N")
    drawing = drawn(Curve(holed, "holed", weight=3), bands=[Band(holed, 2 * holed)])

    assert drawing.count('stroke-width="3"') == 2
    assert "nan" not in drawing


def test_names_of_curves_keep_clear_of_one_another() -> None:
    """Three curves that end in one place have names at least fifteen pixels apart, inside the chart."""
    same = Q(np.array([0, 1, 2, 3, 4.0]), "N")
    drawing = drawn(*(Curve(same, name) for name in ("one", "two", "three")))
    heights = sorted(float(y) for y, name in re.findall(r'y="([\d.]+)"[^>]*>(one|two|three)<', drawing))

    assert len(heights) == 3
    assert min(np.diff(heights)) >= 15 - 0.11
    assert heights[-1] <= 24 + 230 + 4


@pytest.mark.parametrize("limit", [3.0, 60.0])
def test_a_limit_lies_inside_the_chart_however_high(limit: float) -> None:
    """The dashed line is between the top and the foot."""
    drawing = drawn(Curve(Q(np.array([0, 1, 2, 3, 4.0]), "N"), "line"), limits=[Limit(Q(limit, "N"), "limit")])
    height = float(re.findall(r'd="M[\d.]+ ([\d.]+) h\d+"[^>]*stroke-dasharray="7 4"', drawing)[0])

    assert 24 <= height <= 24 + 230


def test_a_marked_point_is_dropped_to_the_foot() -> None:
    """Its text stands along the drop."""
    drawing = drawn(Curve(Q(np.array([0, 1, 2, 3, 4.0]), "N"), "line"), points=[(Q(20, "deg"), Q(2, "N"), "here")])

    assert "here" in texts_of(drawing)
    assert 'V254"' in drawing
