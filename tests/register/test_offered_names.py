"""What the register's package offers is there, though most of it is imported only when asked for."""

from __future__ import annotations

import pytest

from sheetgen import register


@pytest.mark.parametrize("name", register.__all__)
def test_a_name_that_is_offered_can_be_had(name):
    assert getattr(register, name).__name__ == name
