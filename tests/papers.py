"""How tests read printed pages back: from the PDF's drawing commands, and from pictures of pages."""

import io
import shutil
import subprocess
from pathlib import Path

import numpy as np
from PIL import Image
from pypdf import PdfReader
from pypdf.generic import ContentStream

MM_PER_PT = 25.4 / 72
MM_PER_INCH = 25.4


def pdf_paths(pdf: bytes, page: int = 0) -> list[tuple[str, list[tuple[float, float]]]]:
    """The painted paths of a page: the painting command and the points, mm from the lower left."""
    reader = PdfReader(io.BytesIO(pdf))
    content = ContentStream(reader.pages[page].get_contents(), reader)
    paths, points = [], []
    for operands, operator in content.operations:
        command = operator.decode()
        if command in ("m", "l"):
            points.append(tuple(float(v) * MM_PER_PT for v in operands))
        elif command in ("S", "s", "f", "f*", "B", "n"):
            paths.append((command, points))
            points = []
    return paths


def pdf_text(pdf: bytes) -> str:
    """All text of a PDF."""
    return "\n".join(page.extract_text() for page in PdfReader(io.BytesIO(pdf)).pages)


def grey(png: bytes) -> np.ndarray:
    """A picture as grey values (rows from the top, columns), 0 black to 255 white."""
    with Image.open(io.BytesIO(png)) as image:
        return np.asarray(image.convert("L"))


def from_poppler(pdf: bytes, dpi: int, directory: Path) -> np.ndarray | None:
    """The first page as Poppler paints it, if it is installed."""
    if shutil.which("pdftoppm") is None:
        return None
    path = directory / "page.pdf"
    path.write_bytes(pdf)
    done = subprocess.run(["pdftoppm", "-r", str(dpi), "-png", "-singlefile", path], capture_output=True, check=True)
    return grey(done.stdout)


def from_browser(svg: str, width_mm: float, height_mm: float, dpi: int, directory: Path) -> np.ndarray | None:
    """An SVG page as a browser paints it, if one is installed."""
    browser = shutil.which("chromium") or shutil.which("google-chrome")
    if browser is None:
        return None
    source, shot = directory / "page.svg", directory / "page.png"
    source.write_text(svg, encoding="utf-8")
    window = f"--window-size={round(width_mm / MM_PER_INCH * 96)},{round(height_mm / MM_PER_INCH * 96)}"
    command = [browser, "--headless", "--no-sandbox", "--disable-gpu", "--hide-scrollbars", window]
    command += [f"--force-device-scale-factor={dpi / 96}", f"--user-data-dir={directory / 'profile'}"]
    subprocess.run([*command, f"--screenshot={shot}", source.as_uri()], capture_output=True, check=True, timeout=120)
    return grey(shot.read_bytes())


def ink_span(values: np.ndarray) -> tuple[int, int]:
    """The first and the last inked pixel of a row or column."""
    inked = np.nonzero(values < 128)[0]
    return int(inked[0]), int(inked[-1])


def ink_runs(values: np.ndarray) -> list[tuple[int, int]]:
    """Inked stretches of a row: first pixel and one past the last."""
    inked = np.concatenate([[False], values < 170, [False]])
    changes = np.nonzero(inked[1:] != inked[:-1])[0].reshape(-1, 2)
    return [(int(a), int(b)) for a, b in changes]
