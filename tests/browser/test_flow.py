"""One input on its way through a real browser: changed, refused, recorded, and found on the disk."""

from __future__ import annotations

import shutil
import tomllib
from collections.abc import Iterator

import pytest

from kit.calculator import declared
from kit.lids import strut_balance
from tests.browser.lab import LabPage

FORCE = declared(strut_balance).inputs["force"].kind.meaning


@pytest.fixture
def lids(page: LabPage) -> Iterator[LabPage]:
    """The lids notebook of the demo build, run to its end."""
    shutil.rmtree(page.lab.builds, ignore_errors=True)
    page.open_notebook("05_lids.ipynb")
    page.run_all()
    assert page.code_cell_errors() == []
    yield page
    shutil.rmtree(page.lab.builds, ignore_errors=True)


def test_a_change_is_seen_in_sentence_drawing_and_checks(lids: LabPage) -> None:
    """A strut far too weak no longer holds the lid open."""
    view = lids.page.locator(".br-view")
    before = view.locator("svg").first.inner_html()
    sentence = lids.page.locator(".br-sentence").first.inner_text()

    lids.fill(FORCE, "60 N")

    lids.wait_for_text(".br-view tr.br-fails", "stays open")
    assert lids.page.locator(".br-sentence").first.inner_text() != sentence
    assert before  # a drawing stood there from the first


def test_nonsense_is_explained_beside_the_box_and_stays_out_of_the_record(lids: LabPage) -> None:
    """The message says what was typed; writing is refused; no copy of the demo is made."""
    lids.fill(FORCE, "strong")
    lids.wait_for_text(".br-entry [role=alert]", "'strong' is not a number and a unit")

    lids.click("Write to the record")

    lids.wait_for_text(".br-view [role=alert]", "nothing was written")
    assert not list(lids.lab.builds.glob("*.toml")) if lids.lab.builds.exists() else True


def test_what_is_written_is_found_on_the_disk_with_its_reason(lids: LabPage) -> None:
    """The copy of the demo holds the new force, and its history says why."""
    lids.fill(FORCE, "180 N")
    lids.wait_for_text(".br-view", "You are trying")
    lids.page.get_by_label("why", exact=True).first.fill("a stiffer strut")

    lids.click("Write to the record")

    lids.wait_for_text(".br-view", "revision 2")
    file = lids.lab.builds / "tarn_locker.toml"
    record = tomllib.loads(file.read_text(encoding="utf-8"))
    assert record["lids"]["balance"]["force"]["value"] == "180 N"
    assert "a stiffer strut" in file.with_name("tarn_locker.changes.jsonl").read_text(encoding="utf-8")


def test_the_form_is_filled_with_the_keyboard_alone(lids: LabPage) -> None:
    """Tab goes from one box to the next, and what was typed is taken in on leaving the box."""
    box = lids.page.get_by_label(FORCE, exact=True).first
    box.focus()
    lids.page.keyboard.press("Control+A")
    lids.page.keyboard.type("60 N")
    lids.page.keyboard.press("Tab")

    lids.wait_for_text(".br-view tr.br-fails", "stays open")
    assert lids.page.evaluate("document.activeElement.tagName") in ("INPUT", "SELECT")
