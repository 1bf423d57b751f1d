"""The kinds: what each takes, what each refuses and in which words, and that all answer the same questions."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import numpy as np
import pint
import pytest
from hypothesis import given
from hypothesis import strategies as st

from kit.handed import Part, Purchase
from kit.kinds import BASES, KINDS, Choice, Count, In, Out, Rows, Text, Unreadable, YesNo, usual_row
from kit.quantities import Q, Quantity, UnitError, is_quantity
from kit.sampling import sampling
from kit.workshop import Prefs
from tests.toy import Plank

WIDTH = In("mm", "board width", 145, ge=5, le=2000, everyday=(50, 300))
GLUE = In("g/m^2", "glue spread", 180, ge=50, le=500, valid=(100, 300))
SHARE = In("1", "share of the load", 0.5, ge=0, le=1)
MOIST = In("percent", "moisture", 16, ge=0, le=40)
WARM = In("degC", "workshop temperature", 18, ge=-20, le=50, everyday=(5, 35))
STEP = In("degC", "temperature rise", 8, ge=0, le=60, difference=True)
TILT = In("deg", "tilt", 3, ge=0, le=45)
ANY = In("*", "amount needed", 1, ge=0, le=1e6)
JOISTS = Count("joists", 7, ge=2, le=60)
WATER = Choice("kind of water", "fresh", options=("fresh", "brackish", "sea"))
NAME = Text("part", "deck boards", longest=20)
CHILDREN = YesNo("children about")
PLANKS = Rows("planks", least=1, most=3, row=Plank)

# The library's own registry stands for any other registry a reader may bring.
OTHER: Any = pint.UnitRegistry()


def why(kind: Any, value: Any) -> str:
    """The sentence a kind refuses a value with."""
    _, reason = kind.check(value)
    assert reason is not None
    return str(reason)


def taken(kind: Any, value: Any) -> Any:
    """What a kind makes of a value it accepts."""
    made, reason = kind.check(value)
    assert reason is None, reason
    return made


# -- quantities: what is taken ----------------------------------------------------------------------


@pytest.mark.parametrize("value", [Q(145, "mm"), "145 mm", "14.5 cm", Q(0.145, "m"), OTHER.Quantity(145, "mm")])
def test_a_quantity_is_taken_from_text_any_unit_and_any_registry(value: Any) -> None:
    """145 mm is 145 mm however it is given."""
    assert taken(WIDTH, value).m_as("mm") == pytest.approx(145, rel=1e-15)


def test_a_quantity_stays_in_the_unit_it_was_given_in() -> None:
    """Nothing is converted on the way in, so that the record keeps what was written."""
    given = Q(5.7, "in")

    assert taken(WIDTH, given) is given


@pytest.mark.parametrize("limit", [5, 2000])
@pytest.mark.parametrize("name", ["mm", "cm", "m", "in", "ft", "um"])
def test_a_value_exactly_at_a_limit_passes_in_any_unit(limit: float, name: str) -> None:
    """Conversion moves a limit by its last bit; that refuses nobody."""
    assert WIDTH.check(Q(limit, "mm").to(name))[1] is None


@pytest.mark.parametrize("name", ["mm", "in", "ft"])
def test_a_value_a_billionth_beyond_a_limit_is_refused_in_any_unit(name: str) -> None:
    """The forgiveness at a limit is for the last bits alone."""
    assert WIDTH.check(Q(2000 * (1 + 1e-9), "mm").to(name))[1] is not None


def test_a_whole_number_from_elsewhere_becomes_a_float() -> None:
    """An integer magnitude would truncate later on."""
    assert isinstance(taken(WIDTH, Quantity(145, "mm")).magnitude, float)
    assert isinstance(taken(WIDTH, Quantity(np.array(145), "mm")).magnitude, float)


@pytest.mark.parametrize("value", [0.5, "0.5", Q(0.5), Q(50, "percent"), "50 %", np.float64(0.5)])
def test_a_pure_number_needs_no_unit(value: Any) -> None:
    """A share may be given bare or in per cent."""
    assert taken(SHARE, value).m_as("") == pytest.approx(0.5)


def test_an_input_declared_without_a_unit_is_a_pure_number() -> None:
    """An empty unit means the same as "1": a length is refused."""
    bare = replace(SHARE, unit="")

    assert taken(bare, 0.5).m_as("") == 0.5
    assert "is not a pure number" in why(bare, Q(0.5, "m"))
    assert isinstance(bare.read("0.5 m"), Unreadable)


def test_a_temperature_and_a_difference_are_two_kinds() -> None:
    """Each is refused where the other is due, as a quantity as well as in text."""
    assert taken(WARM, "64.4 degF").m_as("degC") == pytest.approx(18)
    assert taken(WARM, Q(291.15, "K")).m_as("degC") == pytest.approx(18)
    assert taken(STEP, Q(14.4, "delta_degF")).m_as("delta_degC") == pytest.approx(8)
    assert taken(STEP, "8 degC").m_as("delta_degC") == pytest.approx(8)
    assert "is a temperature, not a difference" in why(STEP, Q(8, "degC"))
    assert "is a difference of two temperatures" in why(WARM, Q(8, "delta_degC"))


def test_an_input_of_any_unit_takes_kilograms_and_metres() -> None:
    """Only the number is held against the limits."""
    assert taken(ANY, Q(3, "kg")).m_as("kg") == 3
    assert taken(ANY, "3 m").m_as("m") == 3
    assert why(ANY, Q(-1, "m")) == "-1 m is outside 0 to 1000000 of any unit, such as 2.5 m"


# -- quantities: what is refused ---------------------------------------------------------------------


@pytest.mark.parametrize(
    ("kind", "value", "sentence"),
    [
        (WIDTH, Q(-2, "mm"), "-2 mm is outside 5 to 2000 mm, such as 145 mm"),
        (WIDTH, Q(100, "in"), "100 in (2540 mm) is outside 5 to 2000 mm, such as 145 mm"),
        (WIDTH, "3 mm", "3 mm is outside 5 to 2000 mm, such as 145 mm"),
        (WIDTH, 145, "145 has no unit; write Q(145, 'mm')"),
        (WIDTH, "145", "145 has no unit; write it like '145 mm'"),
        (WIDTH, Q(5, "kg"), "5 kg is not an amount in mm; write it like '12.5 mm'"),
        (WIDTH, Q(float("nan"), "mm"), "it is not a number; write 145 mm"),
        (WIDTH, Q(float("inf"), "mm"), "inf mm is outside 5 to 2000 mm, such as 145 mm"),
        (WIDTH, None, "None is not a quantity; write Q(8, 'mm')"),
        (WIDTH, True, "True is not a quantity; write Q(8, 'mm')"),
        (WIDTH, [1, 2], "[1, 2] is not a quantity; write Q(8, 'mm')"),
        (WIDTH, np.array([1.0, 2.0]), "an array has no unit; write Q([8, 9], 'mm')"),
        (WIDTH, Unreadable("wide", "'wide' says nothing"), "'wide' says nothing"),
        (GLUE, Q(20, "g/m^2"), "20 g/m^2 is outside 50 to 500 g/m^2, such as 180 g/m^2"),
        (MOIST, Q(60, "percent"), "60 % is outside 0 to 40 %, such as 16 %"),
        (MOIST, Q(0.6), "0.6 (60 %) is outside 0 to 40 %, such as 16 %"),
        (WARM, Q(70, "degC"), "70 degC is outside -20 to 50 degC, such as 18 degC"),
        (STEP, Q(70, "delta_degC"), "70 degC is outside 0 to 60 degC, such as 8 degC"),
        (TILT, Q(0.05), "0.05 is not an amount in deg; write it like '12.5 deg'"),
        (SHARE, 1.5, "1.5 is outside 0 to 1, such as 0.5"),
        (SHARE, Q(0.5, "deg"), "0.5 deg is not a pure number; write it like '0.5'"),
    ],
)
def test_a_refusal_says_what_was_given_what_is_allowed_and_an_example(kind: In, value: Any, sentence: str) -> None:
    """Each wrong value has its own sentence."""
    assert why(kind, value) == sentence


def test_a_value_a_hair_beyond_its_limit_is_shown_to_the_hair() -> None:
    """No one is told that 1 is outside 0 to 1."""
    assert why(SHARE, np.nextafter(1.0, 2)).startswith("1.0000000000000002 is outside 0 to 1")


def test_a_mass_is_not_a_force() -> None:
    """The commonest mix-up has a hint of its own."""
    assert "a mass is not a force" in why(In("N", "strut force", 150, ge=1, le=3000), Q(15, "kg"))


def test_hostile_text_is_quoted_shortly_and_escaped() -> None:
    """A long or unprintable text cannot flood or fool a message."""
    for kind in (WIDTH, JOISTS, WATER, NAME, CHILDREN):
        for text in ("x" * 5000, "5\x1b[2J mm", "５ mm", "\u202emm 5"):
            _, reason = kind.check(text)
            if reason is not None:
                assert len(reason) < 220
                assert reason.isprintable()


# -- arrays and samples ------------------------------------------------------------------------------


def test_an_array_within_its_limits_is_taken_as_it_is() -> None:
    """No copy is made."""
    many = Q(np.linspace(5, 2000, 11), "mm")

    assert taken(WIDTH, many) is many


@pytest.mark.parametrize(
    ("values", "sentence"),
    [
        ([100, 3, 200, 4000], "2 of 4 values are not allowed; the first: 3 mm is outside 5 to 2000 mm, such as 145 mm"),
        ([100, float("nan")], "1 of 2 values is not allowed; the first: it is not a number; write 145 mm"),
        ([], "there is no value in it; write 145 mm"),
    ],
)
def test_an_array_with_a_value_out_of_bounds_is_refused_with_the_count(values: list[float], sentence: str) -> None:
    """How many, and the first of them."""
    assert why(WIDTH, Q(np.array(values), "mm")) == sentence


@pytest.mark.parametrize("place", [0, 131_071, 131_072, 299_999])
@pytest.mark.parametrize("value", [3.0, 4000.0, float("nan")])
def test_one_wrong_value_in_a_long_array_is_found_wherever_it_stands(place: int, value: float) -> None:
    """At either end and on both sides of the blocks that long arrays are looked at in."""
    values = np.full(300_000, 145.0)
    assert WIDTH.check(Q(values, "mm"))[1] is None
    values[place] = value

    assert why(WIDTH, Q(values, "mm")).startswith("1 of 300000 values is not allowed")


def test_one_unusual_value_in_a_long_array_is_remarked_on() -> None:
    """A share too small to print is still said."""
    values = np.full(300_000, 145.0)
    values[200_000] = 400

    assert len(WIDTH.remarks(Q(values, "mm"))) == 1


def test_a_sample_outside_its_limits_becomes_nan_while_sampling_and_its_neighbours_stay() -> None:
    """An array and a single value alike; the given array is left as it was."""
    given = Q(np.array([100.0, 3, 200]), "mm")
    with sampling():
        many, one = taken(WIDTH, given), taken(WIDTH, Q(3, "mm"))

    np.testing.assert_array_equal(many.m_as("mm"), [100, np.nan, 200])
    assert np.isnan(one.magnitude)
    assert given.magnitude[1] == 3


def test_a_wrong_dimension_is_refused_even_while_sampling() -> None:
    """Kilograms are not a sample of a length."""
    with sampling():
        assert "5 kg is not an amount in mm" in why(WIDTH, Q(5, "kg"))


def test_limits_in_another_unit_hold_for_arrays_too() -> None:
    """Feet against limits in millimetres."""
    assert WIDTH.check(Q(np.array([1.0, 2, 7]), "ft"))[1] is not None
    assert WIDTH.check(Q(np.array([1.0, 2, 6]), "ft"))[1] is None


# -- remarks, text, limits for a reader --------------------------------------------------------------


def test_an_unusual_value_is_remarked_on_and_not_refused() -> None:
    """Everyday range and range of the source each have their sentence."""
    assert WIDTH.remarks(Q(145, "mm")) == ()
    assert WIDTH.remarks(Q(40, "cm")) == ("board width: 400 mm is unusual: everyday values are 50 to 300 mm",)
    assert GLUE.remarks(Q(60, "g/m^2")) == (
        "glue spread: 60 g/m^2 is outside the range 100 to 300 g/m^2 that its source was made for",
    )


@pytest.mark.parametrize("name", ["mm", "in", "ft", "m"])
def test_a_value_exactly_at_an_everyday_limit_is_not_remarked_on(name: str) -> None:
    """In whatever unit it is given."""
    assert WIDTH.remarks(Q(300, "mm").to(name)) == ()
    assert WIDTH.remarks(Q(50, "mm").to(name)) == ()


def test_remarks_on_samples_give_the_share() -> None:
    """One of four values is unusual."""
    (said,) = WIDTH.remarks(Q(np.array([100.0, 200, 250, 400]), "mm"))

    assert "in 25.0% of the values" in said


def test_remarks_speak_to_an_inch_reader_in_inches() -> None:
    """Limits and value in the reader's system."""
    (said,) = WIDTH.remarks(Q(400, "mm"), Prefs(system="inch"))

    assert said == "board width: 15.75 in is unusual: everyday values are 1.969 to 11.81 in"


def test_limits_are_told_in_the_system_and_currency_of_the_reader() -> None:
    """An inch reader sees inches, a Danish price is in kroner, a script sees what was declared."""
    price = In("money", "price", 10, ge=0, le=1e4)

    assert WIDTH.allowed(Prefs(system="inch")) == "0.1969 to 78.74 in, such as 5.709 in"
    assert WIDTH.allowed(Prefs()) == WIDTH.allowed() == "5 to 2000 mm, such as 145 mm"
    assert price.allowed(Prefs(currency="DKK")) == "0 to 10000 DKK, such as 10 DKK"


@given(st.data())
def test_every_kind_takes_what_its_strategy_draws_and_its_text_reads_back(data: st.DataObject) -> None:
    """Drawn values are allowed, and what is written reads back to the very same value."""
    for kind in (WIDTH, GLUE, SHARE, MOIST, WARM, STEP, TILT, JOISTS, WATER, NAME, CHILDREN):
        value = data.draw(kind.strategy())
        assert kind.check(value)[1] is None
        back = kind.read(kind.write(value))
        assert (back.m == value.m and back.u == value.u) if is_quantity(value) else back == value


@pytest.mark.parametrize("kind", [WIDTH, GLUE, SHARE, MOIST, WARM, STEP, TILT, JOISTS, WATER, NAME, CHILDREN, PLANKS])
def test_every_kind_takes_its_own_example_and_answers_every_question(kind: Any) -> None:
    """Usual value, limits with an example, basis, meaning; no remark on the usual value."""
    assert isinstance(kind, KINDS)
    assert kind.check(kind.usual)[1] is None
    assert kind.remarks(taken(kind, kind.usual)) == ()
    assert kind.allowed() and kind.meaning and kind.basis in BASES
    assert kind.show(kind.usual)


@pytest.mark.parametrize("kind", [WIDTH, GLUE, SHARE, MOIST, WARM, STEP, TILT, ANY])
def test_the_sample_in_a_message_can_be_typed(kind: In) -> None:
    """What a message tells the reader to write is accepted when written."""
    assert kind.check(kind.sample())[1] is None


@pytest.mark.parametrize(
    "made",
    [
        lambda: In("mm", "width", 4, ge=5, le=10),
        lambda: In("mm", "width", 6, ge=5, le=10, everyday=(9, 6)),
        lambda: In("furlong", "width", 6, ge=5, le=10),
        lambda: Out("furlong", "width"),
    ],
)
def test_a_declaration_that_contradicts_itself_is_refused_when_it_is_written(made: Any) -> None:
    """An example outside the limits, a range that runs backwards, an unknown unit."""
    with pytest.raises((ValueError, UnitError)):
        made()


# -- counts, words, text, yes or no ------------------------------------------------------------------


@pytest.mark.parametrize("value", [7, "7", " +7 ", 7.0, np.int64(7), Q(7), Q(700, "percent")])
def test_a_count_is_a_whole_number(value: Any) -> None:
    """Given as number, digits or a quantity without a unit."""
    made = taken(JOISTS, value)

    assert made == 7
    assert isinstance(made, int)


@pytest.mark.parametrize(
    ("value", "sentence"),
    [
        (7.5, "7.5 is not a whole number; write 7"),
        ("seven", "'seven' is not a whole number; write 7"),
        ("+-7", "'+-7' is not a whole number; write 7"),
        ("7 mm", "'7 mm' is not a whole number; write 7"),
        (True, "True is not a whole number; write 7"),
        (None, "None is not a whole number; write 7"),
        (Q(7, "mm"), "7 mm is not a whole number; write 7"),
        (float("nan"), "nan is not a whole number; write 7"),
        (float("inf"), "inf is outside 2 to 60, such as 7"),
        (1, "1 is outside 2 to 60, such as 7"),
        (10**400, "1000000000000000000000000000000000000... is not a whole number; write 7"),
        (np.array([7.0, 8.5]), "1 of 2 values is not allowed; the first: 8.5 is not a whole number; write 7"),
        (np.array([7.0, 61]), "1 of 2 values is not allowed; the first: 61 is outside 2 to 60, such as 7"),
        (np.array([]), "there is no value in it; write 7"),
    ],
)
def test_what_is_no_count_is_refused(value: Any, sentence: str) -> None:
    """Fractions, words, units and numbers out of range."""
    assert why(JOISTS, value) == sentence


def test_samples_of_a_count_out_of_range_become_nan_and_a_single_one_is_refused_always() -> None:
    """A single count is a decision, not a sample; nothing can be counted up to nan."""
    with sampling():
        np.testing.assert_array_equal(taken(JOISTS, np.array([7.0, 61, 8.5])), [7, np.nan, np.nan])
        assert JOISTS.check(61)[1] is not None
        assert JOISTS.check(float("nan"))[1] is not None


def test_a_choice_is_read_without_regard_to_case_and_refused_with_the_words_there_are() -> None:
    """Unread text keeps its own words."""
    assert WATER.read(" Sea ") == "sea"
    assert why(WATER, "salt") == "'salt' is not one of 'fresh', 'brackish', 'sea'"
    assert why(WATER, WATER.read("salt")) == "'salt' is not one of 'fresh', 'brackish', 'sea'"
    assert why(WATER, 3) == "3 is not one of 'fresh', 'brackish', 'sea'"


@pytest.mark.parametrize("value", ["", "   ", "two\nlines", "x" * 21, "bell\x07"])
def test_text_is_a_few_printable_characters(value: str) -> None:
    """Empty, long and unprintable texts are refused."""
    assert "is not 1 to 20 printable characters on one line, such as 'deck boards'" in why(NAME, value)


def test_text_must_be_text() -> None:
    """A number is not a name; what could not be read keeps its own reason."""
    assert why(NAME, 5) == "5 is not text; write 'deck boards'"
    assert why(NAME, Unreadable("", "it was empty")) == "it was empty"


@pytest.mark.parametrize(("value", "answer"), [(True, True), (np.False_, False), ("yes", True), (" No", False)])
def test_yes_and_no_are_taken_as_words_and_as_truth(value: Any, answer: bool) -> None:
    """Nothing else is guessed."""
    assert taken(CHILDREN, value) is answer


@pytest.mark.parametrize("value", ["maybe", 1, 0, None, ""])
def test_what_is_neither_yes_nor_no_is_refused(value: Any) -> None:
    """One is not yes."""
    assert why(CHILDREN, value).endswith("is not yes or no")


# -- rows ---------------------------------------------------------------------------------------------


def planks(*names: str) -> list[Plank]:
    """Planks of two metres."""
    return [Plank(name=name, length=Q(2, "m")) for name in names]


def test_rows_are_taken_from_any_sequence_and_kept_as_a_tuple() -> None:
    """A list cannot be changed behind the calculator's back."""
    made = taken(PLANKS, planks("left", "right"))

    assert isinstance(made, tuple)
    assert [p.name for p in made] == ["left", "right"]


@pytest.mark.parametrize(
    ("value", "sentence"),
    [
        (planks("left", "left"), "two rows are called 'left'; every row needs a name of its own"),
        ([], "0 rows given; 1 to 3 are allowed"),
        (planks("a", "b", "c", "d"), "4 rows given; 1 to 3 are allowed"),
        (planks("a")[0], "one Plank stands alone; write [Plank(...)]"),
        ("left", "'left' is not a list of rows; write [Plank(...)]"),
        (5, "5 is not a list of rows; write [Plank(...)]"),
        ([*planks("a"), 5], "row 2 is 5; write Plank(...)"),
    ],
)
def test_a_wrong_table_is_refused(value: Any, sentence: str) -> None:
    """Names of their own, a count within bounds, rows of one type."""
    assert why(PLANKS, value) == sentence


def test_remarks_on_rows_say_which_row() -> None:
    """Built from the remarks of the cells."""
    kind = replace(PLANKS, row=Part)
    parts = (usual_row(Part),)

    assert kind.remarks(parts) == ()


def test_usual_rows_have_names_of_their_own() -> None:
    """Three usual planks can stand in one table."""
    assert [p.name for p in replace(PLANKS, least=3).usual] == ["left", "left 2", "left 3"]


@given(PLANKS.strategy())
def test_random_tables_are_tables(rows: Any) -> None:
    """The strategy of rows draws within the bounds of the table and of every cell."""
    assert PLANKS.check(rows)[1] is None


# -- results ------------------------------------------------------------------------------------------


def test_a_result_that_does_not_exist_says_so() -> None:
    """Both nan and None are shown in the words of the declaration."""
    angle = Out("deg", "balance angle", absent="the lid never balances")

    assert angle.show(Q(float("nan"), "deg")) == "the lid never balances"
    assert angle.show(None) == "the lid never balances"
    assert angle.show(Q(float("nan"))) == "the lid never balances"


def test_a_result_is_rounded_its_safe_way() -> None:
    """Freeboard down, draft up."""
    assert Out("mm", "freeboard", rounding="down").show(Q(150.9, "mm")) == "150 mm"
    assert Out("mm", "draft", rounding="up").show(Q(150.1, "mm")) == "151 mm"


def test_a_purchase_is_shown_in_the_unit_it_is_needed_in() -> None:
    """A cell of any unit keeps its own."""
    kind = Purchase.declaration.inputs["needed"].kind  # type: ignore[attr-defined]

    assert kind.show(Q(12, "m")) == "12 m"
    assert kind.show(Q(2.5, "L")) == "2.50 L"
