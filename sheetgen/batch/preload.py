"""Everything that a process of a batch needs, for the one process that all of them are forked from.

Nobody imports this module: it is named to the server of processes, which so reads modules, units and texts once and
not once for each process.
"""

import sheetgen.audit.compute.uncertainty
import sheetgen.audit.proof.compare
import sheetgen.audit.report
import sheetgen.audit.rules.check
import sheetgen.audit.run
import sheetgen.batch.one_file
import sheetgen.book.layout
import sheetgen.register.summary  # noqa: F401
from sheetgen import templates
from sheetgen.audit.findings import catalogue

catalogue()
for _language in templates.LANGUAGES:
    templates.texts(_language)
