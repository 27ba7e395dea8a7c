"""The public names of the arithmetic are the ones written down, and each says what it takes, gives and refuses."""

from __future__ import annotations

import inspect

import pytest

from sheetgen import trade

NAMED = {
    "application_rate", "volume_for", "travel_speed", "discharge_for", "spread_length", "volume_factor",
    "correction_kind", "bar_rate", "residual_rate", "volume_of", "mass_of", "Tank", "bar_height", "pad_rate",
    "pay_quantity",
}  # fmt: skip

FUNCTIONS = sorted(
    name
    for name in trade.__all__
    if callable(getattr(trade, name)) and not inspect.isclass(getattr(trade, name))
)


def test_the_exported_names_are_exactly_those_of_the_package() -> None:
    assert trade.__all__ == sorted(set(trade.__all__))
    assert dir(trade) == trade.__all__
    assert all(hasattr(trade, name) for name in trade.__all__)
    with pytest.raises(AttributeError, match="has no attribute 'arithmetic'"):
        trade.arithmetic  # noqa: B018


def test_the_names_that_the_rest_relies_on_are_there() -> None:
    assert set(trade.__all__) >= NAMED


@pytest.mark.parametrize("name", FUNCTIONS)
def test_every_function_says_its_errors_and_its_source(name) -> None:
    text = inspect.getdoc(getattr(trade, name)) or ""
    assert "Raises:" in text
    if name not in ("correction_chart", "limit"):  # these read a table that carries the sources
        assert "Source:" in text


@pytest.mark.parametrize("name", FUNCTIONS)
def test_every_argument_is_explained_and_typed(name) -> None:
    function = getattr(trade, name)
    text = inspect.getdoc(function) or ""
    for argument, parameter in inspect.signature(function).parameters.items():
        assert parameter.annotation is not inspect.Parameter.empty
        if "Args:" in text:
            assert argument in text


def test_modules_stay_on_a_few_screens() -> None:
    for name in trade.__all__:
        module = inspect.getmodule(getattr(trade, name))
        if module is not None and module.__name__.startswith("sheetgen.trade"):
            assert len(inspect.getsource(module).splitlines()) <= 300
