"""Makes the Word documents beside it, by python-docx and by LibreOffice. Run once by hand; the results are committed.

Everything in them is invented. ``python -m tests.authoring.documents.make_documents`` from the repository's root.
"""

from __future__ import annotations

import base64
import io
import shutil
import subprocess
import tempfile
import zipfile
from pathlib import Path

from docx import Document
from docx.document import Document as Doc
from docx.oxml import parse_xml
from docx.text.paragraph import Paragraph

HERE = Path(__file__).parent
W = 'xmlns:w="http://schemas.openxmlformats.org/wordprocessingml/2006/main"'
W14 = 'xmlns:w14="http://schemas.microsoft.com/office/word/2010/wordml"'
VML = 'xmlns:v="urn:schemas-microsoft-com:vml"'
PIXEL = base64.b64decode("iVBORw0KGgoAAAANSUhEUgAAAAEAAAABCAYAAAAfFcSJAAAADUlEQVR42mNk+M9QDwADhgGAWjR9awAAAABJRU5ErkJggg==")


def _num(doc: Doc, levels: tuple[tuple[str, str], ...]) -> int:
    """A list definition of its own: (format, text) per level; its number."""
    numbering = doc.part.numbering_part.element
    abstract = 900 + len(numbering)
    rows = "".join(
        f'<w:lvl w:ilvl="{n}"><w:start w:val="1"/><w:numFmt w:val="{sort}"/><w:lvlText w:val="{text}"/></w:lvl>'
        for n, (sort, text) in enumerate(levels)
    )
    found = parse_xml(f'<w:abstractNum {W} w:abstractNumId="{abstract}">{rows}</w:abstractNum>')
    numbering.insert(0, found)
    return int(numbering.add_num(abstract).numId)


def _item(doc: Doc, num: int, text: str, level: int = 0) -> Paragraph:
    made = doc.add_paragraph(text)
    properties = made._p.get_or_add_pPr()
    properties.append(parse_xml(f'<w:numPr {W}><w:ilvl w:val="{level}"/><w:numId w:val="{num}"/></w:numPr>'))
    return made


STEPS = (("decimal", "%1."), ("lowerLetter", "%2)"), ("lowerRoman", "%3."))


def numbered() -> Doc:
    """Automatic numbers, a level below, a level below that, a second list that begins again."""
    doc = Document()
    doc.add_heading("Fill the bedside set", 0)
    doc.add_paragraph("Use when: A set is needed at the bedside.")
    doc.add_paragraph("Do not use when: The set is wet already.")
    doc.add_heading("Hang and join", 1)
    one = _num(doc, STEPS)
    _item(doc, one, "Hang the prime bag.")
    _item(doc, one, "Join the spikes:")
    _item(doc, one, "Join the prime spike to the lower bag port.", 1)
    _item(doc, one, "Join the recirculation spike to the upper bag port.", 1)
    _item(doc, one, "Push it home.", 2)
    doc.add_heading("Fill", 1)
    two = _num(doc, STEPS)
    _item(doc, two, "Open the prime clamp.")
    _item(doc, two, "Wait until the oxygenator is full, see step 1.")
    return doc


def nested_headings() -> Doc:
    """Headings within headings, a heading with nothing under it, plain paragraphs."""
    doc = Document()
    doc.add_heading("Change the drive", 1)
    doc.add_paragraph("This page was written for the night shift.")
    doc.add_heading("Before", 2)
    doc.add_heading("At the bed", 3)
    one = _num(doc, STEPS)
    _item(doc, one, "Call a second person.")
    doc.add_heading("At the store", 3)
    _item(doc, one, "Fetch the hand drive.")
    doc.add_heading("Remarks", 2)
    doc.add_paragraph("The store is locked after ten.")
    return doc


def warnings() -> Doc:
    """Warnings before a step, three sentences, a note after it, a caution at the end."""
    doc = Document()
    doc.add_heading("Open the return side", 0)
    doc.add_paragraph("WARNING: Air in the return limb. It reaches the patient. Look along the limb first.")
    one = _num(doc, STEPS)
    _item(doc, one, "Open the return clamp.")
    doc.add_paragraph("Note: The clamp is stiff.")
    doc.add_paragraph("CAUTION! Hot water.")
    _item(doc, one, "Start the heater water.")
    doc.add_paragraph("Rationale: Blood cools in the set.")
    doc.add_paragraph("DANGER: Never leave the bed.")
    return doc


def table() -> Doc:
    """A table whose headings say who does what, with tick boxes, a spanning row and a column that nobody knows."""
    doc = Document()
    doc.add_heading("Check at the change of shift", 0)
    rows = (
        ("No", "Who", "Action", "Expected", "Second check", "Shelf", "Done"),
        ("Console", "", "", "", "", "", ""),
        ("1", "ECMO specialist", "Read the flow.", "The flow is steady.", "Second checker", "A1", "☐"),
        ("2", "Specialist", "Look at the oxygenator vent.", "", "", "", "☐"),
        ("Bedside", "", "", "", "", "", ""),
        ("3", "Night nurse", "Count the clamps.", "Four clamps hang on the mast.", "", "B2", "☐"),
    )
    made = doc.add_table(rows=0, cols=7)
    for row in rows:
        cells = made.add_row().cells
        if row[0] in ("Console", "Bedside"):
            cells[0].merge(cells[6]).text = row[0]
            continue
        for cell, text in zip(cells, row, strict=True):
            cell.text = text
    return doc


def boxes() -> Doc:
    """A table without headings and with tick boxes of three sorts; and one of plain data."""
    doc = Document()
    doc.add_heading("Ready to move", 0)
    made = doc.add_table(rows=3, cols=2)
    made.cell(0, 0).text = "☐"
    made.cell(0, 1).text = "Fetch the hand drive."
    made.cell(1, 0).text = "[ ]"
    made.cell(1, 1).text = "Fetch a torch."
    made.cell(2, 0)._tc.append(
        parse_xml(
            f"<w:p {W} {W14}><w:sdt><w:sdtPr><w14:checkbox><w14:checked w14:val='0'/></w14:checkbox></w:sdtPr>"
            "<w:sdtContent><w:r><w:t>☐</w:t></w:r></w:sdtContent></w:sdt></w:p>"
        )
    )
    made.cell(2, 1).text = "Check the battery."
    doc.add_paragraph("Telephone numbers")
    plain = doc.add_table(rows=2, cols=2)
    for n, (name, number) in enumerate((("Duty desk", "four four"), ("Porter", "nine nine"))):
        plain.cell(n, 0).text, plain.cell(n, 1).text = name, number
    return doc


def kit() -> Doc:
    """Headings for what is needed, cautions and sources; a kit table."""
    doc = Document()
    doc.add_heading("Dry assembly", 0)
    doc.add_heading("Equipment", 1)
    doc.add_paragraph("2 x sterile towel", style="List Bullet")
    doc.add_paragraph("tubing clamp (4)", style="List Bullet")
    doc.add_paragraph("torch", style="List Bullet")
    made = doc.add_table(rows=3, cols=2)
    for n, (name, amount) in enumerate((("Item", "Quantity"), ("sterile gloves", "2 pairs"), ("spare cap", "3"))):
        made.cell(n, 0).text, made.cell(n, 1).text = name, amount
    doc.add_heading("Precautions", 1)
    doc.add_paragraph("Do not touch the open ends.", style="List Bullet")
    doc.add_heading("Steps", 1)
    doc.add_paragraph("Seat the pump head.", style="List Number")
    doc.add_paragraph("Plug in sensor P1.", style="List Number")
    doc.add_heading("References", 1)
    doc.add_paragraph("Unit policy of the made-up unit.", style="List Bullet")
    return doc


def tracked() -> Doc:
    """Tracked changes: words put in, words struck out, a paragraph put in; a comment's range."""
    doc = Document()
    doc.add_heading("Stop the pump", 0)
    one = _num(doc, STEPS)
    line = _item(doc, one, "Shut the return ")
    meta = 'w:id="7" w:author="Author" w:date="2026-01-01T00:00:00Z"'
    line._p.append(parse_xml(f"<w:del {W} {meta}><w:r><w:delText>hose</w:delText></w:r></w:del>"))
    line._p.append(parse_xml(f"<w:ins {W} {meta}><w:r><w:t>clamp.</w:t></w:r></w:ins>"))
    new = _item(doc, one, "")
    new._p.append(parse_xml(f"<w:ins {W} {meta}><w:r><w:t>Stop the pump.</w:t></w:r></w:ins>"))
    return doc


def text_box() -> Doc:
    """A text box with its twin for old readers, an image with a description, header and footer, a hidden word."""
    doc = Document()
    doc.sections[0].header.paragraphs[0].text = "Made-up unit, form 12"
    doc.sections[0].footer.paragraphs[0].text = "Printed copies expire"
    doc.add_heading("Zero the sensors", 0)
    one = _num(doc, STEPS)
    _item(doc, one, "Unplug nothing.")
    box = doc.add_paragraph()
    inner = "<w:txbxContent><w:p><w:r><w:t>Ask the duty engineer first.</w:t></w:r></w:p></w:txbxContent>"
    box._p.append(
        parse_xml(
            f"<w:r {W} {VML} xmlns:mc='http://schemas.openxmlformats.org/markup-compatibility/2006'"
            " xmlns:wps='http://schemas.microsoft.com/office/word/2010/wordprocessingShape'>"
            f"<mc:AlternateContent><mc:Choice Requires='wps'><w:drawing><wps:txbx>{inner}</wps:txbx></w:drawing></mc:Choice>"
            f"<mc:Fallback><w:pict><v:shape><v:textbox>{inner}</v:textbox></v:shape></w:pict></mc:Fallback>"
            "</mc:AlternateContent></w:r>"
        )
    )
    doc.add_picture(io.BytesIO(PIXEL))
    doc.element.body.xpath("//wp:docPr")[0].set("descr", "photograph of sensor P1")
    line = _item(doc, one, "Zero sensor P1")
    line.add_run(" twice").font.hidden = True
    line.add_run(".")
    return doc


def footnotes() -> Doc:
    """A footnote, a link, typed numbers, a tick box, a line break, a tab, a soft hyphen, braces and a hash."""
    doc = Document()
    doc.add_heading("Turn the taps", 0)
    doc.add_paragraph("1. Turn tap T1 off.")
    doc.add_paragraph("2) Turn tap T2 off # and {look}.")
    line = doc.add_paragraph("Step 3: Uncap")
    line._p.append(parse_xml(f"<w:r {W}><w:tab/><w:t>cap of T3</w:t><w:br/><w:t>by hand.</w:t></w:r>"))
    doc.add_paragraph("□ Turn tap T3 to air.")
    rel = doc.part.relate_to(
        "https://example.invalid/manual",
        "http://schemas.openxmlformats.org/officeDocument/2006/relationships/hyperlink",
        is_external=True,
    )
    last = doc.add_paragraph("Read ")
    last._p.append(
        parse_xml(
            f"<w:hyperlink {W} xmlns:r='http://schemas.openxmlformats.org/officeDocument/2006/relationships' r:id='{rel}'>"
            "<w:r><w:t>the manual</w:t></w:r></w:hyperlink>"
        )
    )
    return doc


def with_footnote(name: str) -> None:
    """Put a footnote into a document that is there."""
    path = HERE / f"{name}.docx"
    with zipfile.ZipFile(path) as old:
        parts = {one: old.read(one) for one in old.namelist()}
    note = "<w:footnote w:id='2'><w:p><w:r><w:t>A quarter turn is enough.</w:t></w:r></w:p></w:footnote>"
    parts["word/footnotes.xml"] = f"<w:footnotes {W}>{note}</w:footnotes>".encode()
    office = "application/vnd.openxmlformats-officedocument.wordprocessingml.footnotes+xml"
    parts["[Content_Types].xml"] = parts["[Content_Types].xml"].replace(
        b"</Types>", f'<Override PartName="/word/footnotes.xml" ContentType="{office}"/></Types>'.encode()
    )
    parts["word/_rels/document.xml.rels"] = parts["word/_rels/document.xml.rels"].replace(
        b"</Relationships>",
        b'<Relationship Id="rId99" Target="footnotes.xml" Type='
        b'"http://schemas.openxmlformats.org/officeDocument/2006/relationships/footnotes"/></Relationships>',
    )
    parts["word/document.xml"] = parts["word/document.xml"].replace(
        b"<w:t>1. Turn tap T1 off.</w:t>", b"<w:t>1. Turn tap T1 off.</w:t><w:footnoteReference w:id='2'/>"
    )
    with zipfile.ZipFile(path, "w", zipfile.ZIP_DEFLATED) as new:
        for one, data in parts.items():
            new.writestr(one, data)


HTML_LIST = """<html><body><h1>Hand the set over</h1><h2>On the tray</h2><ol><li>Open the limb pack.</li>
<li>Take the limbs.<ol type="a"><li>Primer: Hold the drainage end.</li><li>Assistant: Hold the return end.</li></ol></li>
</ol><p><b>Warning:</b> The ends are bare.</p><ol start="3"><li>Join the drainage end to the return end.</li></ol>
<h2>After</h2><ul><li>Count the towels.</li></ul></body></html>"""

HTML_TABLE = """<html><body><h1>Gas is lost</h1><table border="1"><tr><th>Step</th><th>Task</th><th>Responsible</th>
<th>Reason</th></tr><tr><td>1</td><td>Open the cylinder.</td><td>Second checker</td><td>The wall gave out.</td></tr>
<tr><td>2</td><td>Call for help.</td><td></td><td></td></tr></table></body></html>"""


NAMES = " ".join(
    f'xmlns:{short}="urn:oasis:names:tc:opendocument:xmlns:{name}:1.0"'
    for short, name in (
        ("office", "office"), ("text", "text"), ("style", "style"), ("table", "table"), ("draw", "drawing"),
        ("svg", "svg-compatible"),
    )
)  # fmt: skip


def _flat(body: str) -> bytes:
    """An ODF text in one file, with a list of three levels that number themselves."""
    levels = "".join(
        f'<text:list-level-style-number text:level="{level}" style:num-format="{sort}" style:num-suffix="."/>'
        for level, sort in ((1, "1"), (2, "a"), (3, "i"))
    )
    return (
        f'<?xml version="1.0" encoding="UTF-8"?><office:document {NAMES} office:version="1.2" '
        'office:mimetype="application/vnd.oasis.opendocument.text"><office:automatic-styles>'
        f'<text:list-style style:name="L1">{levels}</text:list-style></office:automatic-styles>'
        f"<office:body><office:text>{body}</office:text></office:body></office:document>"
    ).encode()


def _head(level: int, words: str) -> str:
    return f'<text:h text:outline-level="{level}">{words}</text:h>'


def _list(*items: str, goes_on: bool = False) -> str:
    more = ' text:continue-numbering="true"' if goes_on else ""
    rows = "".join(f"<text:list-item>{item}</text:list-item>" for item in items)
    return f'<text:list text:style-name="L1"{more}>{rows}</text:list>'


def _p(words: str) -> str:
    return f"<text:p>{words}</text:p>"


LEVELS = _flat(
    _head(1, "Change the oxygen cylinder")
    + _list(
        _p("Open the second cylinder."),
        _p("Prepare the hose:")
        + _list(_p("Push the hose onto the cylinder.") + _list(_p("Pull at it once.")), _p("Look along it for a kink.")),
        _p("Shut the first cylinder."),
    )
    + _head(2, "Afterwards")
    + _list(_p("Write the time on the label."), goes_on=True)
)

FRAME = _flat(
    _head(1, "Gas has failed")
    + _list(_p("Open the oxygen cylinder."), _p("Connect the sweep gas to the oxygen cylinder."))
    + '<text:p><draw:frame text:anchor-type="paragraph" svg:width="6cm" svg:height="2cm"><draw:text-box>'
    + _p("Ventilate by hand until gas flows.")
    + "</draw:text-box></draw:frame></text:p>"
    + _list(_p("Call for a second cylinder."), goes_on=True)
)

_CELL = '<table:table-cell office:value-type="string">{}</table:table-cell>'


def _row(*cells: str) -> str:
    return f"<table:table-row>{''.join(_CELL.format(cell) for cell in cells)}</table:table-row>"


FORM = _flat(
    _head(1, "Leave the ward")
    + '<table:table table:name="T"><table:table-column table:number-columns-repeated="3"/>'
    + _row(_p("No."), _p("Task"), _p("Who"))
    + _row(_list(_p("")), _p("Check the travel kit."), _p("Assistant"))
    + _row(_list(_p(""), goes_on=True), _p("Unplug the console."), _p("ECMO specialist"))
    + "</table:table>"
    + _p("Lift is held by the porter.")
)


def _by_libreoffice(name: str, source: bytes, suffix: str, through: str = "docx:MS Word 2007 XML") -> None:
    office = shutil.which("soffice")
    if office is None:
        return
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / f"{name}{suffix}"
        path.write_bytes(source)
        call = [office, f"-env:UserInstallation=file://{folder}/profile", "--headless"]
        if suffix == ".html":
            call.append("--infilter=HTML (StarWriter)")
        subprocess.run([*call, "--convert-to", through, "--outdir", folder, str(path)], check=True, timeout=120)
        shutil.copy(Path(folder) / f"{name}.docx", HERE / f"{name}.docx")


def main() -> None:
    """Write every document."""
    for make in (numbered, nested_headings, warnings, table, boxes, kit, tracked, text_box, footnotes):
        make().save(str(HERE / f"{make.__name__.replace('_', '-')}.docx"))
    with_footnote("footnotes")
    _by_libreoffice("office-list", HTML_LIST.encode(), ".html")
    _by_libreoffice("office-table", HTML_TABLE.encode(), ".html")
    for name, source in (("office-levels", LEVELS), ("office-frame", FRAME), ("office-form", FORM)):
        _by_libreoffice(name, source, ".fodt")


if __name__ == "__main__":
    main()
