"""The one declaration: what a calculator refuses, says, remarks on and tells about itself."""

from __future__ import annotations

import inspect
from collections.abc import Sequence
from dataclasses import field, replace
from typing import Annotated, Any, Literal

import numpy as np
import pytest

from kit.calculator import (
    CALCULATORS,
    InputError,
    applies,
    calculator,
    declared,
    require,
    result,
    row,
)
from kit.checks import Check
from kit.handed import Part
from kit.kinds import Asks, Choice, Count, In, Out, Rows, Says, Text
from kit.quantities import Q, Quantity
from kit.sampling import is_sampling, sampling
from tests.toy import BoardMass, Plank, board_mass, draft, plank_mass

BOARD: dict[str, Any] = {"thickness": Q(28, "mm"), "area": Q(6, "m^2")}
BOX: dict[str, Any] = {"length": Q(3, "m"), "width": Q(2, "m"), "depth": Q(300, "mm")}


@row
class Load:
    """One load."""

    name: Annotated[str, Text("load", "box")]
    mass: Annotated[Quantity, In("kg", "mass", 10, ge=0, le=100, everyday=(1, 50))]


def faults(call: Any, **given: Any) -> dict[str, str]:
    """The faults a call is refused with."""
    with pytest.raises(InputError) as caught:
        call(**given)
    return caught.value.faults


# -- refusing ------------------------------------------------------------------------------------------


def test_every_fault_is_in_one_message() -> None:
    """Missing, without a unit, wrong dimension, out of range and misspelt at once, each on a line with its meaning."""
    with pytest.raises(InputError) as caught:
        board_mass(area=Q(3, "kg"), density=50, most=Q(5000, "kg"), thicknes=Q(28, "mm"))  # type: ignore[call-arg, arg-type]

    assert str(caught.value).splitlines() == [
        "board_mass: 5 to mend",
        "thickness (thickness of the board): it is missing; allowed: 1 to 200 mm, such as 28 mm",
        "area (area of the board): 3 kg is not an amount in m^2; write it like '12.5 m^2'",
        "density (density): 50 has no unit; write Q(50, 'kg/m^3')",
        "most (most it may weigh): 5000 kg is outside 1 to 1000 kg, such as 100 kg",
        "thicknes: there is no such input; did you mean 'thickness'?",
    ]
    assert caught.value.where == "board_mass"
    assert isinstance(caught.value, ValueError)


def test_a_name_near_to_nothing_is_told_what_there_is() -> None:
    """All inputs are listed."""
    assert faults(board_mass, **BOARD, colour="red")["colour"] == (
        "there is no such input; there are thickness, area, density, most"
    )


def test_inputs_are_given_by_name() -> None:
    """A value without a name is refused with how to write it."""
    with pytest.raises(InputError, match=r"give every input by name, such as board_mass\(thickness=\.\.\.\)"):
        board_mass(Q(28, "mm"), Q(6, "m^2"))  # type: ignore[misc]


@pytest.mark.parametrize("value", [None, float("nan"), "", [], object(), Q(float("nan"), "mm"), Q(np.array([]), "mm")])
def test_nothing_that_is_no_thickness_gets_past(value: Any) -> None:
    """Odd values end in a sentence, never in a crash or a number."""
    assert list(faults(board_mass, thickness=value, area=Q(6, "m^2"))) == ["thickness"]


def test_none_is_taken_only_where_an_input_may_be_left_out() -> None:
    """The heaviest may be left out, the area may not."""
    assert board_mass(**BOARD, most=None).mass == board_mass(**BOARD).mass
    assert "area" in faults(board_mass, thickness=Q(28, "mm"), area=None)


def test_text_and_other_units_give_the_same_result() -> None:
    """28 mm is 2.8 cm is a text."""
    same = [board_mass(thickness=t, area="6 m^2").mass.m_as("kg") for t in ("28 mm", "2.8 cm", Q(0.028, "m"))]  # type: ignore[arg-type]

    assert same == pytest.approx([84.0] * 3, rel=1e-14)


def test_what_was_given_is_not_changed() -> None:
    """Neither the quantity nor its array."""
    thickness = Q(np.array([20.0, 28]), "mm")
    board_mass(thickness=thickness, area=Q(6, "m^2"))

    np.testing.assert_array_equal(thickness.magnitude, [20, 28])
    assert thickness.units == Q(1, "mm").units


def test_a_rule_between_inputs_refuses_with_the_name_of_the_calculator_and_of_each_input() -> None:
    """The sentence of `require` stands beside both inputs, with their meanings."""
    with pytest.raises(InputError) as caught:
        draft(**BOX | {"width": Q(4, "m")})

    sentence = "the box must be at least as long as wide"
    assert str(caught.value).splitlines() == [
        "draft: 2 to mend", f"length (length of the box): {sentence}", f"width (width of the box): {sentence}",
    ]


def test_a_refusal_inside_a_calculator_that_another_calls_keeps_its_own_name() -> None:
    """The reader is told which of the two refused."""

    @calculator("kit")
    def outer(*, area: Annotated[Quantity, In("m^2", "area", 6, ge=0, le=1000)]) -> BoardMass:
        """Calls another calculator with what it may refuse."""
        return board_mass(thickness=Q(28, "mm"), area=area)

    with pytest.raises(InputError) as caught:
        outer(area=Q(500, "m^2"))
    assert caught.value.where == "board_mass"


# -- arrays and samples ---------------------------------------------------------------------------------


def test_an_array_out_of_bounds_is_refused_with_the_count() -> None:
    """Two of three boards are too thick."""
    assert faults(board_mass, thickness=Q(np.array([28.0, 300, 400]), "mm"), area=Q(6, "m^2")) == {
        "thickness": "2 of 3 values are not allowed; the first: 300 mm is outside 1 to 200 mm, such as 28 mm"
    }


def test_samples_out_of_bounds_become_nan_and_their_checks_fail() -> None:
    """The other samples are worked out as ever; the block ends with sampling."""
    thickness = Q(np.array([28.0, 300, 56]), "mm")
    with sampling():
        many = board_mass(thickness=thickness, area=Q(6, "m^2"))

    np.testing.assert_allclose(many.mass.m_as("kg"), [84, np.nan, 168])
    assert list(many.light.met) == [True, False, False]
    assert not is_sampling()


def test_a_rule_between_inputs_refuses_no_sample() -> None:
    """`require` is silent while sampling; outside, one bad value in an array is enough."""
    width = Q(np.array([1.0, 4]), "m")
    with sampling():
        assert draft(**BOX | {"width": width}).draft.magnitude.shape == (2,)
    assert set(faults(draft, **BOX | {"width": width})) == {"length", "width"}


def test_an_array_in_gives_an_array_out_equal_to_single_calls() -> None:
    """Element by element."""
    thickness = Q(np.array([18.0, 28, 45]), "mm")
    together = board_mass(thickness=thickness, area=Q(6, "m^2")).mass
    single = [board_mass(thickness=Q(t, "mm"), area=Q(6, "m^2")).mass.m_as("kg") for t in (18, 28, 45)]

    np.testing.assert_allclose(together.m_as("kg"), single, rtol=1e-14)


# -- remarks --------------------------------------------------------------------------------------------


def test_remarks_of_inputs_and_of_the_body_come_with_the_result() -> None:
    """Everyday range, range of the source, and the body's own sentence, in that order."""
    notes = board_mass(thickness=Q(180, "mm"), area=Q(6, "m^2"), density=Q(1200, "kg/m^3")).notes

    assert notes == (
        "thickness of the board: 180 mm is unusual: everyday values are 10 to 60 mm",
        "density: 1200 kg/m^3 is outside the range 300 to 900 kg/m^3 that its source was made for",
        "a board over 150 mm is a beam",
    )
    assert board_mass(**BOARD).notes == ()


def test_a_remark_on_samples_says_how_many_it_is_about() -> None:
    """The share of the samples outside stands with the sentence."""

    @calculator("kit")
    def shares(*, load: Annotated[Quantity, In("kg", "load", 5, ge=0, le=100)]) -> BoardMass:
        """Notes loads over 50 kg."""
        applies(load <= Q(50, "kg"), "the load is heavy")
        return board_mass(**BOARD)

    assert shares(load=Q(np.array([10.0, 20, 30, 60]), "kg")).notes == ("the load is heavy (in 25.0% of the values)",)
    assert shares(load=Q(60, "kg")).notes == ("the load is heavy",)


def test_remarks_of_a_table_name_the_row() -> None:
    """A cell's everyday range is heard through its table."""

    @calculator("kit")
    def loads(*, loads: Annotated[Sequence[Load], Rows("loads")]) -> BoardMass:
        """Loads on a deck."""
        return board_mass(**BOARD)

    heavy = [Load(name="crate", mass=Q(80, "kg")), Load(name="box", mass=Q(8, "kg"))]
    assert loads(loads=heavy).notes == ("crate: mass: 80 kg is unusual: everyday values are 1 to 50 kg",)


def test_applies_outside_a_calculator_does_nothing() -> None:
    """A helper may be called on its own."""
    applies(False, "nobody hears this")


def test_a_result_cannot_be_changed() -> None:
    """Frozen, keyword-only, with notes even when none were declared."""
    made = board_mass(**BOARD)

    with pytest.raises(AttributeError):
        made.mass = Q(1, "kg")  # type: ignore[misc]
    assert made.notes == ()


# -- declaring ------------------------------------------------------------------------------------------


def test_an_unknown_source_is_refused_when_the_calculator_is_written() -> None:
    """Every source stands in the bibliography."""
    with pytest.raises(TypeError, match=r"no source is called hearsay; add it to kit/tables/sources\.csv"):

        @calculator("hearsay")
        def guess(*, area: Annotated[Quantity, In("m^2", "area", 6, ge=0, le=10)]) -> BoardMass:
            """Rests on nothing."""
            return board_mass(**BOARD)


@pytest.mark.parametrize(
    ("default", "why"),
    [
        (Q(9, "kg"), "9 kg is not an amount in m^2"),
        (Q(50, "m^2"), "50 m^2 is outside 0 to 10 m^2"),
        (5.0, "5.0 has no unit"),
    ],
)
def test_a_default_that_its_own_input_refuses_is_refused_when_the_calculator_is_written(default: Any, why: str) -> None:
    """Wrong dimension, out of range, without a unit."""
    with pytest.raises(TypeError, match=f"wrong.area: its default is refused: {why}".replace("^", r"\^")):

        @calculator("kit")
        def wrong(*, area: Annotated[Quantity, In("m^2", "area", 6, ge=0, le=10)] = default) -> BoardMass:
            """Has a wrong default."""
            return board_mass(**BOARD)


def test_an_input_without_a_kind_or_not_by_name_is_refused_when_the_calculator_is_written() -> None:
    """Nothing enters a calculator undeclared."""
    with pytest.raises(TypeError, match=r"bare.area has no kind; annotate it like"):

        @calculator("kit")
        def bare(*, area: Quantity) -> BoardMass:
            """Has a bare input."""
            return board_mass(**BOARD)

    with pytest.raises(TypeError, match=r"input area must be keyword-only"):

        @calculator("kit")
        def positional(area: Annotated[Quantity, In("m^2", "area", 6, ge=0, le=10)]) -> BoardMass:
            """Has a positional input."""
            return board_mass(**BOARD)


def test_a_calculator_must_return_a_result_class() -> None:
    """A bare quantity has no meaning to show."""
    with pytest.raises(TypeError, match=r"naked must return a class made by @result"):

        @calculator("kit")
        def naked(*, area: Annotated[Quantity, In("m^2", "area", 6, ge=0, le=10)]) -> Quantity:
            """Returns a bare quantity."""
            return area


def test_the_words_of_a_choice_come_from_its_literal_and_its_example_is_one_of_them() -> None:
    """Also where the choice may be left out."""

    @row
    class Log:
        """One log."""

        wood: Annotated[Literal["soft", "hard"] | None, Choice("wood", "hard")] = None

    kind = declared(Log).inputs["wood"].kind

    assert isinstance(kind, Choice) and kind.options == ("soft", "hard")
    assert declared(Log).inputs["wood"].optional
    with pytest.raises(TypeError, match="the example 'stone' is not one of its options"):

        @row
        class Stone:
            """One stone."""

            wood: Annotated[Literal["soft", "hard"], Choice("wood", "stone")]


def test_a_table_may_be_left_out_and_must_hold_rows() -> None:
    """The class of the rows is found through `| None`; anything else is refused."""

    @calculator("kit")
    def maybe(*, planks: Annotated[Sequence[Plank] | None, Rows("planks")] = None) -> BoardMass:
        """Takes planks or none."""
        return board_mass(**BOARD)

    assert declared(maybe).inputs["planks"].kind.row is Plank  # type: ignore[attr-defined]
    assert maybe(planks=None).notes == ()
    with pytest.raises(TypeError, match="is not a table"):

        @calculator("kit")
        def numbers(*, planks: Annotated[Sequence[float], Rows("planks")]) -> BoardMass:
            """Takes numbers."""
            return board_mass(**BOARD)


def test_a_result_with_an_undeclared_field_is_refused_when_it_is_written() -> None:
    """It would be missing from every page."""
    with pytest.raises(TypeError, match=r"Half.depth has no kind; annotate it with Out, Says, Asks or Rows"):

        @result
        class Half:
            """Half declared."""

            draft: Annotated[Quantity, Out("mm", "draft")]
            depth: Quantity


def test_only_calculators_of_the_kit_are_entered_in_the_list_of_all() -> None:
    """A reader's own calculator, or a test's, never replaces one of the kit."""
    assert board_mass not in CALCULATORS.values()
    assert all(made.__module__.startswith("kit.") for made in CALCULATORS.values())


def test_declared_says_what_is_not_declared() -> None:
    """A plain function has no declaration."""
    with pytest.raises(TypeError, match="is not a calculator, row or result of this kit"):
        declared(len)


# -- telling about itself -------------------------------------------------------------------------------


def test_help_shows_inputs_results_checks_and_sources() -> None:
    """The docstring ends with what the declaration says, and the signature is the function's own."""
    assert inspect.getdoc(board_mass).split("Inputs:\n")[1].splitlines() == [  # type: ignore[union-attr]
        "    thickness: thickness of the board; 1 to 200 mm, such as 28 mm",
        "    area: area of the board; 0.01 to 100 m^2, such as 6 m^2",
        "    density: density; 100 to 1500 kg/m^3, such as 500 kg/m^3; 500 kg/m³ if not given",
        "    most: most it may weigh; 1 to 1000 kg, such as 100 kg; may be left out",
        "Results:",
        "    volume: volume [m^3]",
        "    mass: mass of the board [kg]",
        "Checks:",
        "    light: light enough",
        "Sources:",
        "    practice: Common practice of the trades, no source",
    ]
    assert list(inspect.signature(board_mass).parameters) == ["thickness", "area", "density", "most"]


def test_a_declaration_lists_what_a_form_needs() -> None:
    """Which inputs must be given, which have a default, which may be left out."""
    inputs = declared(board_mass).inputs

    assert [name for name, entry in inputs.items() if entry.required] == ["thickness", "area"]
    assert [name for name, entry in inputs.items() if entry.optional] == ["most"]
    assert declared(board_mass).summary == "Mass of a board: density times thickness times area."
    assert declared(board_mass).returns is BoardMass


def test_results_declare_quantities_words_rows_and_checks() -> None:
    """Each in its place; a class that writes its own notes keeps them."""

    @result
    class All:
        """One of each."""

        mass: Annotated[Quantity, Out("kg", "mass")]
        words: Annotated[str, Says("in words")]
        planks: Annotated[tuple[Plank, ...], Rows("planks")]
        light: Annotated[Check, Asks("light", "kit")]
        notes: tuple[str, ...] = ("own",)

    assert list(declared(All).outputs) == ["mass", "words", "planks"]
    assert list(declared(All).checks) == ["light"]
    assert All(mass=Q(1, "kg"), words="", planks=(), light=board_mass(**BOARD).light).notes == ("own",)


# -- rows -----------------------------------------------------------------------------------------------


def test_a_row_checks_its_cells_when_it_is_made() -> None:
    """Every fault at once, as a calculator does: missing, wrong, misspelt."""
    with pytest.raises(InputError) as caught:
        Part(name="", mass=Q(5, "m"), x=Q(0, "m"), y=Q(0, "m"), zed=Q(0, "m"))  # type: ignore[call-arg]

    assert str(caught.value).splitlines()[0] == "Part: 4 to mend"
    assert list(caught.value.faults) == ["name", "mass", "z", "zed"]


def test_a_row_takes_text_fills_in_what_is_not_given_and_cannot_be_changed() -> None:
    """Cells are read like inputs; a default made by a factory is no missing cell."""
    plank = Plank(name="left", length="6 ft")  # type: ignore[arg-type]

    assert plank.length.m_as("m") == pytest.approx(1.8288)
    assert plank.wood == "soft"
    with pytest.raises(AttributeError):
        plank.name = "right"  # type: ignore[misc]
    assert replace(plank, name="right").length is plank.length


def test_the_cells_of_a_row_are_given_by_name() -> None:
    """With how to write it."""
    with pytest.raises(InputError, match=r"give every input by name, such as Plank\(name=\.\.\.\)"):
        Plank("left")  # type: ignore[misc]


def test_a_row_knows_which_cells_must_be_given() -> None:
    """A default made by a factory counts as a default."""

    @row
    class Cut:
        """One cut."""

        length: Annotated[Quantity, In("mm", "length", 500, ge=1, le=9000)]
        kerf: Annotated[Quantity, In("mm", "kerf", 3, ge=0, le=10)] = field(default_factory=lambda: Q(3, "mm"))

    assert [name for name, entry in declared(Cut).inputs.items() if entry.required] == ["length"]
    assert Cut(length=Q(200, "mm")).kerf.m_as("mm") == 3


def test_a_row_may_hold_samples() -> None:
    """A cell is an array like any input, and is nan where a sample is out of range."""
    with sampling():
        plank = Plank(name="left", length=Q(np.array([2.0, 20]), "m"))
        mass = plank_mass(planks=[plank], per_metre=Q(2, "kg/m")).mass

    np.testing.assert_allclose(mass.m_as("kg"), [4, np.nan])


@pytest.mark.parametrize("name", ["basis", "give_or_take", "shared", "source", "note", "date", "state"])
def test_a_row_cannot_use_a_word_that_the_record_keeps_for_itself(name: str) -> None:
    """Such a column could not be told from what is known about the row."""
    with pytest.raises(TypeError, match=f"the record keeps {name} for itself; rename the column"):
        row(type("Strange", (), {"__annotations__": {name: Annotated[int, Count("how many", 1, ge=0, le=9)]}}))


def test_a_column_without_a_kind_is_refused_when_the_row_is_written() -> None:
    """It could be neither entered nor recorded."""
    with pytest.raises(TypeError, match=r"Loose.length has no kind"):

        @row
        class Loose:
            """A row with a loose column."""

            length: Quantity


def test_a_row_may_refuse_cells_that_do_not_fit_together() -> None:
    """Its own rule speaks with the name of the row."""

    @row
    class Slot:
        """A slot."""

        length: Annotated[Quantity, In("mm", "length", 50, ge=1, le=100)]
        width: Annotated[Quantity, In("mm", "width", 5, ge=1, le=100)]

        def __post_init__(self) -> None:
            require(self.length >= self.width, "a slot is longer than wide", "width")

    assert Slot(length=Q(50, "mm"), width=Q(5, "mm")).width.m_as("mm") == 5
    with pytest.raises(InputError, match="Slot: 1 to mend"):
        Slot(length=Q(5, "mm"), width=Q(50, "mm"))
