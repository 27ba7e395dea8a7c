"""Cuts and pastes in LibreOffice through its own interface; run by the Python that LibreOffice's package is for.

``office_moves.py PIPE FILE TARGET MOVES``: a JSON list of [sheet, range to cut, cell to paste at].
"""

import json
import sys
import time

import uno  # Debian's python3-uno
from com.sun.star.beans import PropertyValue


def property_of(name, value):
    made = PropertyValue()
    made.Name, made.Value = name, value
    return made


def connected(pipe):
    local = uno.getComponentContext()
    resolver = local.ServiceManager.createInstanceWithContext("com.sun.star.bridge.UnoUrlResolver", local)
    for _try in range(300):
        try:
            return resolver.resolve(f"uno:pipe,name={pipe};urp;StarOffice.ComponentContext")
        except Exception:  # not up yet
            time.sleep(0.2)
    raise SystemExit("LibreOffice did not answer within a minute")


def cut_and_pasted(office, desktop, source, target, moves):
    hidden = (property_of("Hidden", True),)
    document = desktop.loadComponentFromURL(uno.systemPathToFileUrl(source), "_blank", 0, hidden)
    dispatcher = office.ServiceManager.createInstanceWithContext("com.sun.star.frame.DispatchHelper", office)
    controller = document.CurrentController
    for name, cut, paste in moves:
        sheet = document.Sheets.getByName(name)
        controller.setActiveSheet(sheet)
        for command, cells in ((".uno:Cut", cut), (".uno:Paste", paste)):
            controller.select(sheet.getCellRangeByName(cells))
            dispatcher.executeDispatch(controller.Frame, command, "", 0, ())
    saved_as = (property_of("FilterName", "Calc MS Excel 2007 XML"),)
    document.storeToURL(uno.systemPathToFileUrl(target), saved_as)


def main(pipe, source, target, moves):
    office = connected(pipe)
    desktop = office.ServiceManager.createInstanceWithContext("com.sun.star.frame.Desktop", office)
    cut_and_pasted(office, desktop, source, target, json.loads(moves))


if __name__ == "__main__":
    main(*sys.argv[1:])
