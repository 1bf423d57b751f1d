"""The page of stage 12 and the build sheet: what is listed, how it reads, and that it prints from the first day on."""

from __future__ import annotations

import csv
import io
import re
from pathlib import Path

import pytest

from kit.build.build import Build
from kit.handed import Purchase
from kit.notebook import build_lists, open_stage
from kit.notebook.build_sheet import build_sheet
from kit.notebook.paper import sheet_page
from kit.notebook.stages import sheet
from tests.notebook.pages import blank_build, demo_build, texts_of


@pytest.fixture
def build() -> Build:
    """The demo, for a test to change."""
    return demo_build()


def words_of(page: str) -> str:
    """The text of a page, without its tags."""
    return re.sub(r"<[^>]+>", " ", page).replace("\N{NO-BREAK SPACE}", " ")


def test_the_sentence_adds_up_the_build(build: Build) -> None:
    """The totals of the demo, and the count of all its checks."""
    said = sheet.sentence(build)

    for words in ("704 kg in all", "GBP with contingency", "meets", "open"):
        assert words in said
    assert "Not counted yet" not in said


def test_what_is_not_counted_is_said(tmp_path: Path) -> None:
    """In a blank build the total of nothing is no total."""
    said = sheet.sentence(blank_build(tmp_path))

    assert said.startswith("Not counted yet, because something is still open there: Frame and deck")


def test_the_bars_name_stages_with_mass_or_cost(build: Build) -> None:
    """Stage 12 brings neither and has no bar."""
    texts = texts_of(sheet.bars(build))

    assert "10 Float and ballast" in texts
    assert "12 Build sheet" not in texts


def test_the_sheet_goes_from_short_to_long(build: Build) -> None:
    """What stands in the way and the plate before the lists, assumptions and sources last."""
    titles = re.findall(r"<h2>(.*?)</h2>", build_sheet(build))
    order = ["What this is", "What stands in the way", "Totals", "Limits plate", "Hazards", "Checks that are met",
             "Buy list", "Work", "Open questions", "Assumptions, estimate", "Sources of limits"]
    places = [next(n for n, title in enumerate(titles) if title.startswith(wanted)) for wanted in order]

    assert places == sorted(places)
    assert any(title.startswith("01 Frame and deck: cut list") for title in titles)
    assert any(title.startswith("04 Resin: mix") for title in titles)


def test_every_list_for_shop_and_bench_says_for_which_revision_it_is_valid(build: Build) -> None:
    """Buy list, cut list, mix sheet: an old print cannot know that it is old."""
    sections = re.findall(r"<h2>([^<]*)</h2>(.*?)</section>", build_sheet(build), flags=re.DOTALL)
    lists = [(title, body) for title, body in sections if title == "Buy list" or re.match(r"\d\d .*: ", title)]

    assert len(lists) > 5
    for title, body in lists:
        assert f"valid for revision {build.content.revision}" in body, title


def test_every_check_names_its_stage_and_none_is_lost(build: Build) -> None:
    """Concerns, met ones and those that do not apply together are all the checks there are."""
    text = words_of(build_sheet(build))
    met = sum(check.verdict == "meets" for _, _, check in build.checks())
    away = sum(check.verdict == "does not apply" for _, _, check in build.checks())

    assert f"Checks that are met: {met}" in text
    assert f"Checks that do not apply: {away}" in text
    for path, asks, _ in build.checks():
        assert build_lists.readable(build, asks.label) in text.replace("&#x27;", "'")
        assert build_lists.stage_title(build, path.partition(".")[0]) in text


def test_no_path_of_the_record_is_on_the_paper(build: Build) -> None:
    """Entries are told by stage and meaning; nobody has to know what raft.crowd.tilt is."""
    text = words_of(build_sheet(build))
    stages = "|".join(build.graph.stages)

    assert re.findall(rf"\b(?:{stages})\.[a-z_]+(?:\.[a-z_]+|\[)", text) == []


def test_a_path_in_a_label_is_put_into_words(build: Build) -> None:
    """The label of a pencilled value names the result that will replace it."""
    said = build_lists.readable(build, "near raft.crowd.tilt")

    assert said == "near “greatest tilt of all cases” of 10 Float and ballast"
    assert build_lists.readable(build, "see e.g. page 3.1") == "see e.g. page 3.1"


def test_every_number_with_a_weak_basis_is_listed(build: Build) -> None:
    """A plain entry has a line of its own, cells of one row share one, with what each may be off."""
    rows = build_lists.assumed(build, "estimate")
    ladder = next(words_of(row[2]) for row in rows if row[1].endswith(": ladder") and "mass" in row[2])

    assert ("00 Brief", "people aboard at once", "4") in [row[:3] for row in rows]
    assert ladder.startswith("mass 16.0 kg ± 5 %, x 1.6 m")
    assert len({row[:2] for row in rows}) == len(rows)


def test_the_buy_list_adds_up_in_a_spreadsheet(build: Build) -> None:
    """Costs are bare numbers in a column that names the currency; their sum is the cost of everything."""
    rows = list(csv.DictReader(io.StringIO(build_lists.buy_csv(build))))

    assert len(rows) == len(build.handed(Purchase))
    total = sum(float(row["cost (GBP)"]) for row in rows)
    # Every line is rounded to a penny.
    assert total == pytest.approx(build.value("sheet.all.materials").magnitude, abs=0.005 * len(rows))


@pytest.mark.parametrize("name", ["=1+2", "+1+2", "-1+cmd", "@sum"])
def test_a_text_that_a_spreadsheet_would_run_is_set_in_quotes(build: Build, name: str) -> None:
    """A name from a record that begins like a formula is a name, not a formula."""
    build.add_row("brief.allowances", name, {"stands_for": "gear", "cost": "3 GBP"})

    articles = [row["article"] for row in csv.DictReader(io.StringIO(build_lists.buy_csv(build)))]
    assert f"'{name}" in articles
    assert name not in articles


def test_amounts_to_buy_are_in_the_unit_they_are_sold_in(build: Build) -> None:
    """Seal is needed in millimetres and sold by the roll of metres."""
    seal = next(row for row in build_lists.buy_rows(build) if row[1] == "seal")

    assert seal[4:7] == ("5 m", "4.76 m", "0.24 m")


def test_what_takes_long_to_come_is_ordered_first(build: Build) -> None:
    """The welder needs a fortnight, struts and three more articles a week; nothing sooner stands above them."""
    waits = [int(row[2].removesuffix(" d")) for row in build_lists.order_rows(build)]
    assert waits[0] == 14 and waits[1:].count(7) >= 1
    assert waits == sorted(waits, reverse=True) and min(waits) >= 7


def test_a_page_carries_build_revision_and_sheet_on_every_sheet(build: Build) -> None:
    """At the foot, by the printer's own margin boxes; a name cannot break out of the style."""
    page = sheet_page(build, "Build sheet", build_sheet(build))

    assert 'counter(page) " of "' in page
    assert f'content:"Tarn Locker, valid for revision {build.content.revision}; compare before cutting"' in page
    assert "In [" not in page and "page.build_sheet" not in page


def test_a_name_with_signs_stays_a_name(tmp_path: Path) -> None:
    """Quotes, brackets and tags in the build's name neither end the style nor become tags."""
    file = tmp_path / "odd.toml"
    file.write_text("schema = 1\n\n[build]\nname = '''a\"}</style><b>x'''\nrevision = 1\n", encoding="utf-8")
    page = sheet_page(Build.open(file), "Build sheet", "")

    assert "</style><b>" not in page
    assert "<b>x" not in page


def test_the_sheet_prints_on_the_first_day(tmp_path: Path) -> None:
    """Nothing entered: what is missing is listed as open, no drawing and no plate, and no fault."""
    page = open_stage("sheet", blank_build(tmp_path))
    view = page.build_sheet()
    text = words_of(build_sheet(page.build))

    assert "No drawing yet" in text
    assert "No limits plate is printed" in text
    assert "people aboard at once" in text
    assert "not entered" in text
    assert "What stands in the way" in view.out.value


def test_what_the_kit_offers_is_listed_as_nobodys_answer(build: Build) -> None:
    """A default in force is an assumption too."""
    offered = " ".join(row[2] for row in build_lists.offered_rows(build))

    assert "height of a person's centre of gravity above the deck" in offered
    build.enter("raft.crowd.standing", "1.1 m")
    assert all("centre of gravity above the deck 1" not in row[2].replace("\N{NO-BREAK SPACE}", " ")
               for row in build_lists.offered_rows(build) if row[1] == "Crowd")


def test_a_fold_is_filled_when_it_is_opened_and_follows_the_build_then() -> None:
    """The lists are long: closed, they are not worked out; open, they are those of the build as it is tried."""
    page = open_stage("sheet", demo_build())
    view = page.build_sheet()
    lists, _ = view.folded.values()
    assert lists.value == ""

    view.fold.selected_index = 0
    assert "444.00" in words_of(lists.value)

    page.act(lambda: page.build.enter("raft.pipe_price", "450 GBP"))
    assert "450.00" in words_of(lists.value)
