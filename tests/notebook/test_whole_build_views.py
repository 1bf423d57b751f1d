"""Views of the whole build: doubt, alternatives, history, as built, states; and the sheet as PDF."""

from __future__ import annotations

from pathlib import Path

import pytest

from kit.build.as_built import measure
from kit.notebook.build_sheet import BuildSheet, build_sheet
from kit.notebook.page import Page, open_stage
from kit.notebook.pdf import blocks, pdf_bytes
from kit.notebook.stages import page_of


@pytest.fixture
def page(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Page:
    """The build sheet of Tarn Locker, with a folder of builds of its own."""
    monkeypatch.setenv("RECKONER_BUILDS", str(tmp_path))
    return open_stage("sheet", "tarn_locker")


def test_doubt_shows_chances_intervals_and_what_to_measure(page: Page) -> None:
    """Seed and count are printed; after a change it is struck through until worked out again."""
    view = page.doubt("sheet.all.mass", "raft.afloat.draft", count=500)
    said = view.plain()
    assert "500 builds drawn at random (seed 1)" in said
    assert "measure this next" in said and "mass of all parts at fitting" in said
    assert "<svg" in view.hangs.value and "alone" in view.hangs.value
    page.act(lambda: page.build.enter("brief.people", "5"))
    assert "br-stale" in view.out.value and "work it out again" in view.plain()
    view.button.click()
    assert page.trouble == "" and view.button.disabled


def test_doubt_of_one_stage_keeps_to_its_checks(page: Page) -> None:
    """On the page of the lids only checks of the lids are listed."""
    lids = Page(page.build, page.build.graph.stages["lids"])
    rows = [row for title, _, rows in lids.doubt(count=500).tables() if title.startswith("Checks") for row in rows]

    assert rows and {row[1] for row in rows} == {"05 Lids"}


def test_alternatives_are_kept_tried_and_dropped_from_the_page(page: Page) -> None:
    """The four of the demo stand side by side; a fifth is kept by name and note, tried, and dropped again."""
    view = page.alternatives("raft.afloat.draft")
    assert all(name in view.plain() for name in ("cedar deck", "450 mm floats", "no foam", "ladder on the other end"))
    assert "share of each limit used" in view.static_html()
    page.act(lambda: page.build.enter("brief.people", "6"))
    view.name.value, view.note.value = "six people", "the evening club"
    view.keep.click()
    assert page.trouble == "" and not page.build.is_tried and "six people" in view.pick.options
    view.pick.value = "six people"
    view.tries.click()
    assert page.build.value("brief.people") == 6
    view.drop.click()
    assert "six people" not in page.build.alternatives


def test_an_alternative_of_nothing_is_refused_in_a_sentence(page: Page) -> None:
    """No traceback; the sentence stands on the page."""
    view = page.alternatives()
    view.keep.click()

    assert "nothing is being tried" in view.out.value


def test_history_lists_changes_and_tries_the_way_back(page: Page) -> None:
    """A recorded change is listed with its reason; the button tries what undoes it."""
    page.build.enter("brief.people", "5")
    page.build.commit("one more")
    view = page.history()
    assert any(row[5] == "one more" for row in view.table())
    view.back.click()
    assert page.build.value("brief.people") == 4 and page.build.is_tried


def test_as_built_takes_a_measured_value_and_says_what_it_settled(page: Page) -> None:
    """The strut's force pressed on a scale narrows what keeps the lid shut."""
    view = page.as_built()
    assert "rest on less than a measurement" in view.plain()
    view.pick.value = "lids.balance.force"
    view.value.value, view.half.value = "152 N", "1 N"
    view.enter.click()
    assert page.trouble == "" and page.build.basis("lids.balance.force") == "measured"
    assert "within its give or take" in view.plain()
    view.see.click()
    assert "least moment that keeps it shut" in view.news.value


def test_states_are_written_from_the_page(page: Page) -> None:
    """Deck boards marked as cut are said to be cut."""
    view = page.states()
    assert view.plain() == "All is still on paper."
    view.pick.value = ("frame: deck boards",)
    view.state.value = "cut"
    view.write.click()
    assert page.trouble == "" and view.plain() == "cut: frame: deck boards."
    record = page.record()
    page.act(lambda: page.build.enter("frame.deck.thickness", "30 mm"))
    assert "no longer on paper only: frame: deck boards (cut)" in record.out.value


def test_the_sheet_holds_every_section_and_is_printed_as_pdf(
    page: Page, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Order of work, doubt, alternatives, as built, history and how it was made; on A4 and on Letter."""
    measure(page.build, "frame.fittings[ladder].mass", "16.4 kg")
    body = build_sheet(page.build, doubt=300)
    titles = ("Order of work", "Measure this next", "Alternatives beside", "As built", "History", "How this sheet")
    assert [title for title in titles if title not in body] == []
    kinds = [block.kind for block in blocks(body)]
    assert kinds.count("drawing") >= 2 and kinds.count("table") > 20
    sizes = {paper: pdf_bytes(page.build, "Sheet", body, paper) for paper in ("A4", "Letter")}  # type: ignore[arg-type]
    assert all(pdf.startswith(b"%PDF") for pdf in sizes.values())
    assert b"595.28 841.89" in sizes["A4"] and b"612.00 792.00" in sizes["Letter"]
    monkeypatch.setattr("kit.notebook.build_sheet.SAMPLES", 300)
    BuildSheet(page).pdf_button.click()
    assert (tmp_path / "tarn_locker_build_sheet.pdf").read_bytes().startswith(b"%PDF")


def test_words_of_a_page_come_through_in_order() -> None:
    """Headings, words, lists, tables with their heads and flush columns, drawings, and what is hidden left out."""
    page = (
        "<style>p{color:red}</style><h1>T &amp; U</h1><p>one <b>two</b></p><ol><li>a</li><li>b</li></ol>"
        "<table><thead><tr><th>x</th><th>y</th></tr></thead>"
        "<tbody><tr><td>1</td><td class=n>2</td></tr></tbody></table>"
        '<svg viewBox="0 0 10 10"><text>inside</text></svg><section class=fresh><h2>next</h2></section>'
    )
    made = blocks(page)

    assert [(b.kind, b.text) for b in made if b.kind not in ("table", "drawing")] == [
        ("h1", "T & U"), ("words", "one two"), ("item", "1. a"), ("item", "2. b"), ("sheet", ""), ("h2", "next"),
    ]
    table = next(b for b in made if b.kind == "table")
    assert (table.head, table.rows, table.flush) == (["x", "y"], [["1", "2"]], {1})
    assert "inside" in next(b.text for b in made if b.kind == "drawing")


def test_what_a_page_names_as_its_main_results_is_there(page: Page) -> None:
    """Every path is a single result of the demo."""
    there = {path for path, out, _ in page.build.graph.results(page.build.now.outcomes) if not out.over}
    named = {path for key in page.build.graph.stages for path in getattr(page_of(key), "MAIN", ())}

    assert len(named) > 20
    assert named - there == set()
