"""Small .xlsx files written by hand, sound and broken, for the tests of what reads them."""

from __future__ import annotations

import zipfile
from collections.abc import Mapping
from pathlib import Path

MAIN = "http://schemas.openxmlformats.org/spreadsheetml/2006/main"
RELS = "http://schemas.openxmlformats.org/package/2006/relationships"
DOC = "http://schemas.openxmlformats.org/officeDocument/2006/relationships"
TYPES = '<Types xmlns="http://schemas.openxmlformats.org/package/2006/content-types"/>'

Parts = dict[str, str | bytes]


def parts(sheets: Mapping[str, str], *, names: str = "", strings: str = "", properties: str = "") -> Parts:
    """The parts of a workbook. Each sheet is the XML inside its ``sheetData``."""
    listed = "".join(f'<sheet name="{name}" sheetId="{n}" r:id="rId{n}"/>' for n, name in enumerate(sheets, 1))
    related = "".join(
        f'<Relationship Id="rId{n}" Type="{DOC}/worksheet" Target="worksheets/sheet{n}.xml"/>'
        for n in range(1, len(sheets) + 1)
    )
    if strings:
        related += f'<Relationship Id="rId99" Type="{DOC}/sharedStrings" Target="/xl/sharedStrings.xml"/>'
    found: Parts = {
        "[Content_Types].xml": TYPES,
        "_rels/.rels": (
            f'<Relationships xmlns="{RELS}">'
            f'<Relationship Id="rId1" Type="{DOC}/officeDocument" Target="xl/workbook.xml"/></Relationships>'
        ),
        "xl/workbook.xml": (
            f'<workbook xmlns="{MAIN}" xmlns:r="{DOC}">{properties}<sheets>{listed}</sheets>'
            f"<definedNames>{names}</definedNames></workbook>"
        ),
        "xl/_rels/workbook.xml.rels": f'<Relationships xmlns="{RELS}">{related}</Relationships>',
    }
    for n, rows in enumerate(sheets.values(), 1):
        found[f"xl/worksheets/sheet{n}.xml"] = f'<worksheet xmlns="{MAIN}"><sheetData>{rows}</sheetData></worksheet>'
    if strings:
        found["xl/sharedStrings.xml"] = f'<sst xmlns="{MAIN}">{strings}</sst>'
    return found


def write(path: Path, content: Mapping[str, str | bytes]) -> Path:
    """Zip the parts."""
    with zipfile.ZipFile(path, "w", zipfile.ZIP_DEFLATED) as package:
        for name, part in content.items():
            package.writestr(name, part)
    return path
