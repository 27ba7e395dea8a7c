"""Where the lines of a sheet are after some were inserted and deleted, against a list that is changed step by step."""

from hypothesis import given
from hypothesis import strategies as st

from sheetgen.audit.proof.lines import Lines, Shift

COUNT = 12
GAPS = st.lists(st.tuples(st.integers(0, 3), st.integers(-3, 3).filter(bool)), max_size=4)


@given(GAPS)
def test_lines_are_found_where_they_are_after_insertions_and_deletions(gaps):
    shifts, at = [], 0
    for gap, count in gaps:  # from the first line to the last, deleted lines apart
        at += gap
        if at + max(0, -count) > COUNT:
            break
        shifts.append(Shift(at, count))
        at += max(0, -count) + 1
    after = list(range(COUNT))
    for shift in reversed(shifts):
        after[shift.at : shift.at + max(0, -shift.count)] = [None] * max(0, shift.count)
    lines = Lines(tuple(shifts))
    assert [lines.issued(place) for place in range(len(after))] == after
    assert [lines.returned(line) for line in range(COUNT)] == [
        after.index(line) if line in after else None for line in range(COUNT)
    ]
