"""Everything that a process of a batch needs, for the one process that all of them are forked from.

Nobody imports this module: it is named to the server of processes, which so reads modules, units and texts once and
not once for each process.
"""

import sheetgen.batch.one
import sheetgen.book.layout
import sheetgen.recheck.check
import sheetgen.recheck.compare
import sheetgen.recheck.report
import sheetgen.recheck.run
import sheetgen.recheck.uncertainty
import sheetgen.register  # noqa: F401
from sheetgen import templates
from sheetgen.recheck.findings import catalogue

catalogue()
for _language in templates.LANGUAGES:
    templates.texts(_language)
