"""PDF files as other programs read them: whether they are whole, accessible (PDF/UA-1), and which words they hold.

In: the path of a file and a report. qpdf and poppler's pdftotext are programs, pypdf and pikepdf libraries.
"""

import re
import subprocess
import tempfile
import unicodedata

import page as conformance
import pikepdf
import pypdf

# What paints on a page (ISO 32000-1, annex A).
DRAWS = {"Tj", "TJ", "'", '"', "S", "s", "f", "F", "f*", "B", "B*", "b", "b*", "sh", "Do", "INLINE IMAGE"}


def words(file):
    """All words of a file in the order in which they are read, runs of white space as one space."""
    done = subprocess.run(["pdftotext", "-raw", str(file), "-"], capture_output=True, text=True, check=True, timeout=120)
    return squeezed(done.stdout)


def words_of_pypdf(file):
    return squeezed("\n".join(page.extract_text() for page in pypdf.PdfReader(file).pages))


def squeezed(text):
    return re.sub(r"\s+", " ", unicodedata.normalize("NFC", text)).strip()


def without_breaks(text):
    """Without any white space: a long value is broken into lines wherever it must be."""
    return re.sub(r"\s+", "", unicodedata.normalize("NFC", text))


def check_whole(file, report):
    done = subprocess.run(["qpdf", "--check", str(file)], capture_output=True, text=True, check=False, timeout=120)
    report.expect(done.returncode == 0, file.name, f"qpdf --check ended with {done.returncode}: {(done.stdout + done.stderr)[-300:]}")


def check_accessible(file, report):
    """What PDF/UA-1 asks that a program can see."""
    reader = pypdf.PdfReader(file, strict=True)
    root = reader.trailer["/Root"]
    report.expect(bool(reader.metadata.title), file.name, "has no title")
    report.expect(re.fullmatch(r"[A-Za-z]{2,3}(-[A-Za-z0-9]{1,8})*", str(root.get("/Lang", ""))), file.name, f"is in the language {root.get('/Lang')!r}")
    report.expect(root["/MarkInfo"]["/Marked"].value is True, file.name, "is not marked as tagged")
    report.expect(root["/ViewerPreferences"]["/DisplayDocTitle"].value is True, file.name, "does not show its title in the window")
    xmp = root["/Metadata"].get_object().get_data().decode()
    report.expect(re.search(r"<pdfuaid:part>1</pdfuaid:part>|pdfuaid:part=\"1\"", xmp), file.name, "does not say that it is PDF/UA-1")
    report.expect(reader.outline, file.name, "has no outline")
    check_conforms(file, report)
    with pikepdf.open(file) as pdf:
        check_fonts(pdf, file.name, report)
        check_marks(pdf, check_tree(pdf, file.name, report), file.name, report)


def check_conforms(file, report):
    """PDF/UA-1 by a checker that knows its rules; a copy without language and mark must be refused, or it would prove nothing."""
    found = conformance.validate_pdf(str(file), profile="ua1")
    report.expect(found.is_compliant, file.name, "breaks PDF/UA-1: " + "; ".join(failure.message for failure in found.failures[:5]))
    with pikepdf.open(file) as pdf, tempfile.NamedTemporaryFile(suffix=".pdf") as spoilt:
        del pdf.Root["/MarkInfo"], pdf.Root["/Lang"]
        pdf.save(spoilt.name)
        report.expect(not conformance.validate_pdf(spoilt.name, profile="ua1").is_compliant, file.name, "the checker of PDF/UA-1 finds nothing wrong with a spoilt copy")
    report.saw("rules of PDF/UA-1 held against PDFs", found.rules.total)


def check_fonts(pdf, where, report):
    fonts = {font.objgen: font for page in pdf.pages for font in page.get("/Resources", {}).get("/Font", {}).values()}
    report.expect(fonts, where, "has no fonts")
    for font in fonts.values():
        described = font["/DescendantFonts"][0]["/FontDescriptor"]
        report.expect(any(key in described for key in ("/FontFile", "/FontFile2", "/FontFile3")), where, f"{font['/BaseFont']} is not embedded")
        report.expect("/ToUnicode" in font, where, f"{font['/BaseFont']} does not say which letters it has")


def children(node):
    kids = node.get("/K", [])
    return list(kids) if isinstance(kids, pikepdf.Array) else [kids]


def elements(node):
    """Those children that are elements themselves, not content."""
    return [kid for kid in children(node) if isinstance(kid, pikepdf.Dictionary) and "/S" in kid]


def check_tree(pdf, where, report):
    """Walks the structure; returns every piece of marked content that is in it, as (page, number)."""
    marked, headings = [], []

    def walk(node, page):
        kind, page = str(node.get("/S", "")), node.get("/Pg", page)
        if kind == "/Table":
            check_table(node, where, report)
        if kind == "/Figure":
            report.expect(str(node.get("/Alt", "")), where, "has a figure without words for it")
        if re.fullmatch(r"/H\d", kind):
            headings.append(int(kind[2:]))
        for kid in children(node):
            if isinstance(kid, pikepdf.Dictionary) and kid.get("/Type") != "/MCR":
                walk(kid, page)
            elif isinstance(kid, pikepdf.Dictionary):
                marked.append((kid.get("/Pg", page).objgen, int(kid["/MCID"])))
            else:
                marked.append((page.objgen, int(kid)))

    walk(pdf.Root["/StructTreeRoot"], None)
    report.expect(all(lower <= upper + 1 for upper, lower in zip([0] + headings, headings)), where, f"skips a level of headings: {headings}")
    report.expect(len(marked) == len(set(marked)), where, "has a piece of content twice in its structure")
    return set(marked)


def check_table(table, where, report):
    rows = []
    for kid in elements(table):
        rows += [kid] if kid["/S"] == "/TR" else [row for row in elements(kid) if row["/S"] == "/TR"]
    cells = [elements(row) for row in rows]
    heads = [cell for row in cells for cell in row if cell["/S"] == "/TH"]

    def scope(cell):
        attributes = cell.get("/A", [])
        attributes = attributes if isinstance(attributes, pikepdf.Array) else [attributes]
        return next((str(each["/Scope"]) for each in attributes if each.get("/Scope")), None)

    report.expect(heads and all(scope(cell) == "/Column" for cell in heads), where, "has a table without heads for its columns")
    report.expect(len({len(row) for row in cells}) == 1, where, "has a table whose rows differ in length")


def check_marks(pdf, marked, where, report):
    loose, found = 0, set()
    for page in pdf.pages:
        stack = []
        for instruction in pikepdf.parse_content_stream(page):
            operator = str(instruction.operator)
            if operator in ("BMC", "BDC"):
                properties = instruction.operands[1] if operator == "BDC" else {}
                if isinstance(properties, pikepdf.Name):
                    properties = page.Resources.Properties[properties]
                number = properties.get("/MCID")
                if number is not None:
                    found.add((page.objgen, int(number)))
                stack.append(str(instruction.operands[0]) == "/Artifact" or number is not None)
            elif operator == "EMC":
                stack.pop()
            elif operator in DRAWS and not any(stack):
                loose += 1
        report.expect(not stack, where, "opens a mark that it does not close")
    report.expect(loose == 0, where, "draws something that is neither tagged nor an artifact")
    report.expect(found == marked, where, "has marked content that its structure does not name, or names what is not there")
