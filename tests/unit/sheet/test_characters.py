from __future__ import annotations

from pathlib import Path
from xml.etree import ElementTree

from mouldgen.mould.lettering import outline
from mouldgen.mould.strokes import CHARACTERS
from mouldgen.sheet.characters import LINES, specimen_svg

PICTURE = Path(__file__).parents[3] / "docs" / "pictures" / "characters.svg"


def test_the_specimen_shows_every_character_once_a_ring() -> None:
    assert set("".join(LINES)) == set(CHARACTERS)
    root = ElementTree.fromstring(specimen_svg())
    paths = root.findall("{http://www.w3.org/2000/svg}path")
    rings = [len(outline(line, height_mm=5.0, stroke_mm=0.84)) for line in LINES]
    assert [path.attrib["d"].count("Z") for path in paths] == rings


def test_the_picture_in_the_documents_is_the_specimen() -> None:
    assert PICTURE.read_text(encoding="utf-8") == specimen_svg()
