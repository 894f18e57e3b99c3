"""Do to a workbook, in LibreOffice, what its owner may do; run by the Python that LibreOffice is scripted with.

    python3 office.py < orders.json > found.json

The orders name the workbook, the cells to read, and for each run what to do first: set cells, insert or
delete rows, cut and paste, copy, sort. Each run starts from the workbook as it was. Rows that are inserted or
deleted move formulas and names just as they do for the owner, since it is the same program that moves them.
"""

import contextlib
import json
import os
import subprocess
import sys
import tempfile
import time
from pathlib import Path

import uno
from com.sun.star.beans import PropertyValue
from com.sun.star.connection import NoConnectException
from com.sun.star.table import CellAddress, CellRangeAddress, TableSortField

PROFILE = """<?xml version="1.0" encoding="UTF-8"?>
<oor:items xmlns:oor="http://openoffice.org/2001/registry" xmlns:xs="http://www.w3.org/2001/XMLSchema">
<item oor:path="/org.openoffice.Office.Calc/Formula/Load"><prop oor:name="OOXMLRecalcMode" oor:op="fuse">
<value>0</value></prop></item></oor:items>
"""


def setting(name, value):
    return PropertyValue(Name=name, Value=value)


class Office:
    """One LibreOffice in a profile of its own."""

    def __init__(self, folder, soffice):
        registry = Path(folder, "profile", "user", "registrymodifications.xcu")
        registry.parent.mkdir(parents=True)
        registry.write_text(PROFILE, encoding="utf-8")
        pipe = f"meltbook{os.getpid()}"
        self.process = subprocess.Popen(
            [
                soffice,
                f"-env:UserInstallation={Path(folder, 'profile').as_uri()}",
                "--headless",
                "--norestore",
                f"--accept=pipe,name={pipe};urp",
            ],
            stdin=subprocess.DEVNULL,
            stdout=subprocess.DEVNULL,
            stderr=subprocess.DEVNULL,
            env={**os.environ, "HOME": str(folder)},
        )
        context = uno.getComponentContext()
        resolver = context.ServiceManager.createInstanceWithContext("com.sun.star.bridge.UnoUrlResolver", context)
        url = f"uno:pipe,name={pipe};urp;StarOffice.ComponentContext"
        for _ in range(300):
            try:
                remote = resolver.resolve(url)
                break
            except NoConnectException:
                time.sleep(0.2)
        else:
            raise SystemExit("LibreOffice did not start")
        self.desktop = remote.ServiceManager.createInstanceWithContext("com.sun.star.frame.Desktop", remote)

    def open(self, path):
        return self.desktop.loadComponentFromURL(Path(path).as_uri(), "_blank", 0, (setting("Hidden", True),))

    def quit(self):
        with contextlib.suppress(Exception):  # it closes the connection while it answers
            self.desktop.terminate()
        self.process.wait(timeout=60)


def sheet_of(book, name):
    return book.Sheets.getByName(name)


def put(book, place, value):
    cell = sheet_of(book, place[0]).getCellByPosition(place[2] - 1, place[1] - 1)
    before = cell.getFormula()
    if value is None:
        cell.setFormula("")
    elif isinstance(value, str):
        cell.setString(value)
    else:
        cell.setValue(value)
    return cell, before


def act(book, order):
    """Do one thing that changes more than a cell."""
    sheet = sheet_of(book, order["sheet"])
    number = sheet.RangeAddress.Sheet
    what = order["do"]
    if what == "insert":
        sheet.Rows.insertByIndex(order["row"] - 1, 1)
    elif what == "delete":
        sheet.Rows.removeByIndex(order["row"] - 1, 1)
    elif what in ("move", "copy"):
        left, top, right, bottom = order["area"]
        area = CellRangeAddress(number, left - 1, top - 1, right - 1, bottom - 1)
        to = CellAddress(number, order["to"][1] - 1, order["to"][0] - 1)
        (sheet.moveRange if what == "move" else sheet.copyRange)(to, area)
    elif what == "sort":
        left, top, right, bottom = order["area"]
        area = sheet.getCellRangeByPosition(left - 1, top - 1, right - 1, bottom - 1)
        by = TableSortField(Field=order["by"] - left, IsAscending=order["up"])
        fields = uno.Any("[]com.sun.star.table.TableSortField", (by,))
        area.sort((setting("SortFields", fields), setting("ContainsHeader", False)))
    else:
        raise SystemExit(f"no such order: {what}")


def read(book, places):
    return [sheet_of(book, name).getCellByPosition(column - 1, row - 1).getString() for name, row, column in places]


def main():
    orders = json.load(sys.stdin)
    found = []
    with tempfile.TemporaryDirectory(prefix="meltbook-office-") as folder:
        office = Office(folder, orders["soffice"])
        try:
            book = office.open(orders["book"])
            for run in orders["runs"]:
                before = [put(book, place, value) for place, value in run["set"]]
                for order in run["acts"]:
                    act(book, order)
                for place, value in run["then"]:
                    put(book, place, value)
                book.calculateAll()
                found.append(read(book, orders["read"]))
                if run.get("save"):
                    xlsx = (setting("FilterName", "Calc MS Excel 2007 XML"),)
                    book.storeToURL(Path(run["save"]).as_uri(), xlsx)
                if run["acts"]:
                    book.close(True)
                    book = office.open(orders["book"])
                else:
                    for cell, formula in reversed(before):
                        cell.setFormula(formula)
            book.close(True)
        finally:
            office.quit()
    json.dump(found, sys.stdout)


if __name__ == "__main__":
    main()
