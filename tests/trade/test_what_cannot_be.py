"""Amounts that are right one by one and impossible together, and keys that no table has."""

from __future__ import annotations

import numpy as np
import pytest

from sheetgen.errors import QuantityError
from sheetgen.trade import Tank, depth_at_middle, limit, total_payable
from tests.published import Q


@pytest.mark.parametrize(("call", "message"), [
    (lambda: depth_at_middle(Q(1, "in"), Q(60, "in"), 0.02), "depth: found 1 in; expected a depth at which the middle"),
    (lambda: total_payable([]), "quantities: found none; expected at least one application"),
    (lambda: Tank.circular(Q(np.array([60, 70]), "in"), Q(9, "ft")), "dimensions: found arrays; expected the "
                                                                     "dimensions of one tank"),
])  # fmt: skip
def test_what_cannot_be_is_refused(call, message) -> None:
    with pytest.raises(QuantityError) as raised:
        call()
    assert str(raised.value).startswith(message)


def test_a_middle_just_wetted_is_still_right() -> None:
    assert depth_at_middle(Q(1, "in"), Q(50, "in"), 0.02).magnitude == pytest.approx(0, abs=1e-12)


def test_a_key_that_no_table_has_is_an_error_of_the_program() -> None:
    with pytest.raises(KeyError, match="no "):
        limit("no")
