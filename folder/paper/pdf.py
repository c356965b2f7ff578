"""Pages as one PDF at true size, and pages of a PDF as PNG. The only module that knows reportlab and pypdfium2.

Both libraries are loaded when first used, so that nothing else waits for them.
"""

from __future__ import annotations

import io
from collections import Counter
from collections.abc import Hashable, Sequence
from functools import cache, lru_cache
from pathlib import Path
from typing import Any

from msgspec.structs import replace

from folder.draw.picture import MM_PER_PT, SMALL_MM, Area, FontWeight, Label, Line, Mark
from folder.draw.style import GUIDE, dash_phase_mm
from folder.draw.text import FILES, TO_WRITE, clean, leaves_out, printable
from folder.errors import BadRequest, UnreadableFile
from folder.paper.pages import MARGIN_MM, Page
from folder.places import write_whole
from folder.second_process import WorkProgress
from folder.units import DEG_PER_RAD

LEFT_OUT = "Some letters are not in the font of this page and are left out: write them in by hand."
WRITE_SHARE, MOST_WRITE_MM = 7.0, 12.0
"""How long a line to write on is, over the size of the text it stands for, which counts up to so much."""
DPI = (20, 1200)
"""Resolutions a preview may have: below nothing is seen, above A4 takes half a gigabyte."""


def write_pdf(pages: Sequence[Page], path: Path, *, progress: WorkProgress | None = None) -> None:
    """Write pages to one file, in one step: a half file is never seen."""
    write_whole(path, pdf_bytes(pages, progress=progress))


def write_png(page: Page, path: Path, dpi: float = 150.0, *, grey: bool = False) -> None:
    """Write a preview of a page to a file, in one step."""
    write_whole(path, render_png(pdf_bytes([page]), 0, dpi, grey=grey))


def pdf_bytes(pages: Sequence[Page], *, progress: WorkProgress | None = None) -> bytes:
    """The pages as one PDF. The same pages always give the same bytes.

    Pages that differ in nothing but whose they are share what is on them: it stands in the file once.
    """
    from reportlab.pdfgen.canvas import Canvas

    if not pages:
        raise BadRequest("there is no page to print")
    held = io.BytesIO()
    canvas = Canvas(held, invariant=1, pageCompression=1, lang="en")
    canvas.setTitle(_title(pages))
    canvas.setCreator("folder")
    # A viewer that fits pages to the paper would shrink the template (ISO 32000-1, table 150).
    canvas.setViewerPreference("PrintScaling", "None")
    canvas.setViewerPreference("DisplayDocTitle", "true")
    often = Counter(map(_shared, pages))
    forms: dict[Hashable, str] = {}
    for done, page in enumerate(pages):
        if progress is not None:
            progress(done, len(pages))
        size = (page.width_mm / MM_PER_PT, page.height_mm / MM_PER_PT)
        key = _shared(page)
        if often[key] > 1 and key not in forms:
            forms[key] = f"page{len(forms)}"
            canvas.beginForm(forms[key], 0, 0, *size)
            _paint_all(replace(page, name="").drawing().marks, canvas)
            canvas.endForm()
        canvas.setPageSize(size)
        if key in forms:
            canvas.doForm(forms[key])
            _paint_all(page.name_marks(), canvas)
        else:
            _paint_all(page.drawing().marks, canvas)
        if any(isinstance(m, Label) and leaves_out(clean(m.text), m.weight) for m in _texts(page)):
            _paint(Label(LEFT_OUT, (MARGIN_MM, MARGIN_MM - 1.4 * SMALL_MM), SMALL_MM, colour=GUIDE), canvas)
        canvas.showPage()
    canvas.save()
    return held.getvalue()


def _texts(page: Page) -> Sequence[Mark]:
    """Where letters from outside may stand: head and name, and what is on the page."""
    return (*page.head_marks(), *page.name_marks(), *page.picture.marks)


def _title(pages: Sequence[Page]) -> str:
    """What the file is called: whose pages these are."""
    titles = list(dict.fromkeys(clean(page.title) for page in pages))
    return titles[0] if len(titles) == 1 else f"{titles[0]} and others"


def _shared(page: Page) -> Hashable:
    """What is the same for two pages that differ in nothing but whose they are."""
    return (id(page.picture), page.title, page.kind, page.paper, page.warning)


def _paint_all(marks: Sequence[Mark], canvas: Any) -> None:
    canvas.setLineJoin(1)
    for mark in marks:
        _paint(mark, canvas)


def render_png(source: bytes | Path, page: int = 0, dpi: float = 150.0, *, grey: bool = False) -> bytes:
    """One page of a PDF, counted from 0, as PNG."""
    import pypdfium2

    if not DPI[0] <= dpi <= DPI[1]:
        raise BadRequest("the resolution is out of range", found=f"{dpi:g} dpi", remedy=f"Use {DPI[0]} to {DPI[1]}.")
    try:
        document = pypdfium2.PdfDocument(source)
    except pypdfium2.PdfiumError as error:
        raise UnreadableFile("this is not a PDF", where="" if isinstance(source, bytes) else str(source)) from error
    try:
        if not 0 <= page < len(document):
            raise BadRequest("there is no such page", found=str(page), remedy=f"The last is {len(document) - 1}.")
        image = document[page].render(scale=dpi / 72, grayscale=grey).to_pil()
    finally:
        document.close()
    held = io.BytesIO()
    image.save(held, "PNG", dpi=(dpi, dpi))
    return held.getvalue()


@cache
def _font(weight: FontWeight) -> str:
    """The name under which reportlab knows the bundled font of this weight."""
    from reportlab.pdfbase.pdfmetrics import registerFont
    from reportlab.pdfbase.ttfonts import TTFont

    name = FILES[weight].stem
    registerFont(TTFont(name, str(FILES[weight])))
    return name


@lru_cache(maxsize=256)
def _colour(name: str) -> Any:
    """What reportlab makes of a colour: it reads the name anew each time."""
    from reportlab.lib.colors import toColor

    return toColor(name)


def _paint(mark: Mark, canvas: Any) -> None:
    match mark:
        case Line():
            _stroke(mark, canvas)
        case Area():
            if mark.fill:
                canvas.setFillColor(_colour(mark.fill))
                canvas.drawPath(_Path([(ring, True) for ring in mark.rings]), stroke=0, fill=1, fillMode=0)
            for line in mark.outlines:
                _stroke(line, canvas)
        case Label():
            _write(mark, canvas)


def _stroke(line: Line, canvas: Any) -> None:
    look = line.look
    canvas.setStrokeColor(_colour(look.colour))
    canvas.setLineWidth(look.width_mm / MM_PER_PT)
    phase = dash_phase_mm(line.length_mm, look) if look.dashes else 0.0
    canvas.setDash([d * look.width_mm / MM_PER_PT for d in look.dashes], phase / MM_PER_PT)
    canvas.drawPath(_Path([(line.points, line.closed)]))


class _Path:
    """Lines as a PDF has them, to a third of a micrometre: reportlab takes ten times as long to write a number."""

    def __init__(self, traces: Sequence[tuple[Sequence[tuple[float, float]], bool]]) -> None:
        """Each with its points (x, y) mm and whether it comes back to the first."""
        code = ["n"]
        for points, closed in traces:
            code += [f"{x / MM_PER_PT:.3f} {y / MM_PER_PT:.3f} {'l' if k else 'm'}" for k, (x, y) in enumerate(points)]
            if closed:
                code.append("h")
        self._code = " ".join(code)

    def getCode(self) -> str:  # noqa: N802 (reportlab asks for it by this name)
        """What stands in the file."""
        return self._code


def _write(label: Label, canvas: Any) -> None:
    canvas.saveState()
    canvas.setFont(_font(label.weight), label.size_mm / MM_PER_PT)
    canvas.setFillColor(_colour(label.colour))
    canvas.translate(label.at[0] / MM_PER_PT, label.at[1] / MM_PER_PT)
    canvas.rotate(label.rotation_rad * DEG_PER_RAD)
    words = printable(clean(label.text), label.weight)
    if words == TO_WRITE:
        wide = WRITE_SHARE * min(label.size_mm, MOST_WRITE_MM) / MM_PER_PT
        left = {"start": 0.0, "middle": -wide / 2, "end": -wide}[label.anchor]
        canvas.setLineWidth(0.25 / MM_PER_PT)
        canvas.line(left, 0, left + wide, 0)
    else:
        draw = {"start": canvas.drawString, "middle": canvas.drawCentredString, "end": canvas.drawRightString}
        draw[label.anchor](0, 0, words)
    canvas.restoreState()
