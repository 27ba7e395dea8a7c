"""The public names are exactly the documented ones."""

from __future__ import annotations

import subprocess
import sys

import sheetgen

DOCUMENTED = {
    "BookInTheWay", "EntriesError", "KeyFileError", "OrderError", "QuantityError", "RegisterError", "SheetgenError",
    "UnusableBook", "__version__", "build", "fill", "read_order", "recheck", "write_report",
}  # fmt: skip


def test_exported_names_are_the_documented_ones():
    assert set(sheetgen.__all__) == DOCUMENTED
    assert all(getattr(sheetgen, name) for name in DOCUMENTED)


def test_the_function_recheck_is_no_package():
    import sheetgen.audit.run

    assert callable(sheetgen.recheck)


def test_importing_the_package_is_quick():
    heavy = ("pandas", "numpy", "pint", "openpyxl", "xlsxwriter", "lxml", "sqlalchemy", "pydantic")
    code = f"import sys, sheetgen; print([name for name in {heavy!r} if name in sys.modules])"
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert done.stdout.strip() == "[]"
