"""The recheck's report: a workbook for people and a JSON file for programs, one pair for each returned book.

:func:`write_report` writes both. They say the same things: they are drawn from one
:class:`~sheetgen.audit.report.document.Document`.
"""

from __future__ import annotations

from sheetgen.audit.report.write import report_names, write_report

__all__ = ["report_names", "write_report"]
