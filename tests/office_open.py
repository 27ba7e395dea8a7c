"""LibreOffice kept open, through its own interface; run by the Python that LibreOffice's package is for.

``office_open.py PIPE``: each line that comes in is a JSON list of a file, where to save it, the name of the filter,
and cuts and pastes before that, each [sheet, range to cut, cell to paste at]. Each is answered by a line.
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
    for _try in range(600):
        try:
            return resolver.resolve(f"uno:pipe,name={pipe};urp;StarOffice.ComponentContext")
        except Exception:  # not up yet
            time.sleep(0.2)
    raise SystemExit("LibreOffice did not answer within two minutes")


def saved(office, desktop, source, target, name, moves):
    hidden = (property_of("Hidden", True),)
    document = desktop.loadComponentFromURL(uno.systemPathToFileUrl(source), "_blank", 0, hidden)
    cut_and_paste(office, document, moves)
    document.storeToURL(uno.systemPathToFileUrl(target), (property_of("FilterName", name),))
    if not moves:  # LibreOffice would end over what its clipboard holds
        document.close(True)


def cut_and_paste(office, document, moves):
    dispatcher = office.ServiceManager.createInstanceWithContext("com.sun.star.frame.DispatchHelper", office)
    controller = document.CurrentController
    for name, cut, paste in moves:
        sheet = document.Sheets.getByName(name)
        controller.setActiveSheet(sheet)
        for command, cells in ((".uno:Cut", cut), (".uno:Paste", paste)):
            controller.select(sheet.getCellRangeByName(cells))
            dispatcher.executeDispatch(controller.Frame, command, "", 0, ())


def main(pipe):
    office = connected(pipe)
    desktop = office.ServiceManager.createInstanceWithContext("com.sun.star.frame.Desktop", office)
    for line in sys.stdin:
        try:
            saved(office, desktop, *json.loads(line))
            said = "done"
        except Exception as error:  # told to the test that asked
            said = " ".join(str(error).split()) or type(error).__name__
        print(said, flush=True)
    desktop.terminate()  # the tests are at their end


if __name__ == "__main__":
    main(*sys.argv[1:])
