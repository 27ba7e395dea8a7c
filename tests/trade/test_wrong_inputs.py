"""A wrong dimension, a negative, non-finite or missing amount, a zero that is divided by: always our own error."""

from __future__ import annotations

import inspect
from decimal import Decimal
from fractions import Fraction

import numpy as np
import pytest
from pint.facets.plain import PlainQuantity

from sheetgen import trade
from sheetgen.errors import QuantityError, SheetgenError
from sheetgen.trade import Tank, application_rate, bar_height, bar_rate, volume_factor
from tests.published import Q
from tests.trade.calls import BY_NAME, CALLS, OTHERS, Call

_TEXTS = {"kind"}  # arguments that are words, not amounts


def _arguments(only: str = "") -> list[object]:
    pairs = []
    for call in CALLS:
        for name in call.given:
            if name in _TEXTS or (only and name not in getattr(call, only)):
                continue
            pairs.append(pytest.param(call, name, id=f"{call.name}-{name}"))
    return pairs


def _like(value: object, number: object) -> object:
    return Q(number, value.units) if isinstance(value, PlainQuantity) else number


def test_every_function_that_takes_amounts_is_tried_here() -> None:
    functions = {
        name
        for name in trade.__all__
        if callable(getattr(trade, name)) and not inspect.isclass(getattr(trade, name))
    }
    assert functions == {name for name in BY_NAME if "." not in name} | OTHERS


@pytest.mark.parametrize("call", CALLS, ids=lambda call: call.name)
def test_the_right_call_is_right(call: Call) -> None:
    assert call() is not None


@pytest.mark.parametrize(("call", "name"), _arguments())
@pytest.mark.parametrize("wrong", [
    Q(3, "ampere"), None, "12 ft", float("nan"), float("inf"), True, 1j, object(), [None], Q(1, "delta_degF"),
    Q(np.array([True, False]), "gal"), Q(np.array(["a"]), ""),
], ids=lambda wrong: str(wrong).split(" at 0x")[0])  # fmt: skip
def test_what_is_no_such_amount_is_refused_by_its_name(call: Call, name: str, wrong: object) -> None:
    with pytest.raises(QuantityError, match=r"found .*; expected"):
        call(**{name: wrong})


@pytest.mark.parametrize(("call", "name"), _arguments())
@pytest.mark.parametrize("number", [float("nan"), float("inf"), float("-inf")])
def test_an_amount_that_is_not_finite_is_refused_by_its_name(call: Call, name: str, number: float) -> None:
    with pytest.raises(QuantityError, match=f"{name}|covered"):
        call(**{name: _like(call.given[name], number)})
    if not call.single:
        with pytest.raises(QuantityError, match=f"{name}.* at position 1"):
            call(**{name: _like(call.given[name], np.array([_number(call.given[name]), number]))})


def _number(value: object) -> float:
    return float(value.magnitude if isinstance(value, PlainQuantity) else value)


@pytest.mark.parametrize(("call", "name"), _arguments())
def test_a_negative_amount_is_refused_where_it_has_no_meaning(call: Call, name: str) -> None:
    if name in call.signed:
        return
    with pytest.raises(QuantityError, match=f"{name}: found -"):
        call(**{name: _like(call.given[name], -_number(call.given[name]))})


@pytest.mark.parametrize(("call", "name"), _arguments("divisors"))
def test_a_zero_that_is_divided_by_is_refused_by_its_name(call: Call, name: str) -> None:
    with pytest.raises(QuantityError, match=f"{name}: found 0"):
        call(**{name: _like(call.given[name], 0)})


@pytest.mark.parametrize(("call", "name"), _arguments())
def test_a_bare_number_has_no_unit_and_a_plain_number_needs_none(call: Call, name: str) -> None:
    value = call.given[name]
    if isinstance(value, PlainQuantity):
        with pytest.raises(QuantityError, match="found"):
            call(**{name: float(value.magnitude)})
    else:
        assert np.all(np.asarray(call(**{name: Q(value, "")}) == call()))


@pytest.mark.parametrize(("call", "name"), _arguments())
def test_arrays_whose_shapes_do_not_go_together_are_refused(call: Call, name: str) -> None:
    others = [other for other in call.given if other not in (name, "kind") and not call.single]
    if not others:
        return
    pair = {name: 2, others[0]: 3}
    changed = {
        key: _like(call.given[key], np.full(size, _number(call.given[key]))) for key, size in pair.items()
    }
    with pytest.raises(QuantityError, match="shapes"):
        call(**changed)


def test_the_error_says_which_argument_what_was_found_and_what_was_expected() -> None:
    with pytest.raises(QuantityError) as raised:
        application_rate(Q(610, "gal"), Q(-5250, "ft"), Q(11, "ft"))
    assert str(raised.value) == "length: found -5250 ft; expected a length above 0, such as 2625 ft or 800 m"
    assert isinstance(raised.value, SheetgenError)
    assert isinstance(raised.value, ValueError)


@pytest.mark.parametrize(("call", "message"), [
    (lambda: bar_rate(Q(0.3, "gal/yd**2"), 57), "residue: found 57; expected a fraction above 0 and at most 1, such as "
                                                "0.57 for 57 %"),
    (lambda: bar_rate(Q(0.3, "gal/yd**2"), Q(157, "percent")), "residue: found 157 %; expected a fraction above 0"),
    (lambda: application_rate(None, Q(1, "ft"), Q(1, "ft")), "volume: found nothing; expected a volume of 0 or more"),
    (lambda: application_rate(Q(1, "gal"), Q([3, 0], "ft"), Q(1, "ft")), "length: found 0 ft at position 1; expected"),
    (lambda: application_rate(Q(1, "gal"), Q([[3, 3], [-2, 0]], "ft"), Q(1, "ft")),
     "length: found -2 ft at position 1, 0; expected"),
    (lambda: application_rate(Q([1, 2, 3], "gal"), Q([1, 2], "ft"), Q(1, "ft")),
     "found arrays of shapes volume (3,), length (2,), width (); expected shapes that go together"),
    (lambda: volume_factor(Q(-500, "degF"), "asphalt-a"), "temperature: found -500 °F; expected a temperature in °F of "
                                                          "-459.67 or more"),
    (lambda: Tank.circular(None, Q(1, "ft")), "diameter: found nothing; expected a depth above 0"),
])  # fmt: skip
def test_messages(call, message) -> None:
    with pytest.raises(QuantityError) as raised:
        call()
    assert str(raised.value).startswith(message)


@pytest.mark.parametrize(("call", "message"), [
    (lambda: application_rate(Q(-1, "gal"), Q(1, "ft"), Q(1, "ft")),
     "volume: found -1 gal; expected a volume of 0 or more, such as 1200 gal or 4500 L"),
])  # fmt: skip
def test_a_message_ends_with_an_example_where_there_is_one(call, message) -> None:
    with pytest.raises(QuantityError) as raised:
        call()
    assert str(raised.value) == message


def test_an_angle_without_its_unit_is_not_guessed_to_be_degrees_or_radians() -> None:
    for angle in (60, Q(60, ""), Q(1.05, "dimensionless")):
        with pytest.raises(QuantityError, match="fan_angle: found"):
            bar_height(Q(4, "in"), angle, Q(30, "degree"), 3)
    in_radians = bar_height(Q(4, "in"), Q(np.pi / 3, "radian"), Q(np.pi / 6, "radian"), 3)
    assert in_radians.magnitude == pytest.approx(12)


def test_an_angle_is_no_fraction_and_a_difference_of_temperatures_no_temperature() -> None:
    with pytest.raises(QuantityError, match=r"residue: found 0.5 rad"):
        bar_rate(Q(0.3, "gal/yd**2"), Q(0.5, "radian"))
    with pytest.raises(QuantityError, match="temperature: found 200 Δ°F"):
        volume_factor(Q(200, "delta_degF"), "asphalt-a")


@pytest.mark.parametrize(
    "number", [610, np.int32(610), np.float32(610), Decimal(610), Fraction(610), np.array(610)]
)
def test_every_kind_of_number_will_do(number) -> None:
    rate = application_rate(Q(number, "gal"), Q(5250, "ft"), Q(11, "ft"))
    assert rate.magnitude == pytest.approx(0.0950649)
    assert isinstance(rate.magnitude, float)


def test_arrays_of_decimals_and_lists_will_do() -> None:
    rates = application_rate(Q(np.array([Decimal(610), Fraction(1220)]), "gal"), Q(5250, "ft"), Q(11, "ft"))
    assert rates.magnitude == pytest.approx([0.0950649, 0.1901299])
    assert bar_rate(Q(0.3, "gal/yd**2"), [0.5, 0.6]).magnitude == pytest.approx([0.6, 0.5])


def test_empty_arrays_give_empty_arrays() -> None:
    assert application_rate(Q(np.array([]), "gal"), Q(5250, "ft"), Q(11, "ft")).magnitude.shape == (0,)
    assert volume_factor(Q(np.array([]), "degF"), "asphalt-a").shape == (0,)


def test_a_result_too_great_for_a_number_is_refused_and_warns_of_nothing() -> None:
    with pytest.raises(QuantityError, match="the result is not a finite number"):
        application_rate(Q(1e300, "gal"), Q(1e-300, "ft"), Q(1, "ft"))
    with pytest.raises(QuantityError, match="the result is not a finite number"):
        application_rate(Q(1, "gal"), Q(1e-200, "ft"), Q(1e-200, "ft"))


def test_a_percent_is_a_fraction() -> None:
    assert bar_rate(Q(0.36, "gal/yd**2"), Q(60, "percent")).magnitude == pytest.approx(0.60)
