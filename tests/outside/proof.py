"""The proof opens from disk by itself: HTML read by html5lib (HTML Living Standard), SVG as XML, the
picture by Pillow."""

from pathlib import Path
from xml.etree import ElementTree

import html5lib
from common import Tally
from PIL import Image

REFERENCES = ("src", "href", "{http://www.w3.org/1999/xlink}href", "data", "action", "poster")


def check(record, folder):
    tally = Tally("proof")
    text = (Path(folder) / "proof.html").read_text()
    document = html5lib.parse(text, namespaceHTMLElements=False)
    for element in document.iter():
        for name in REFERENCES:
            target = element.get(name) if isinstance(element.tag, str) else None
            if target is not None:
                tally.case(target.startswith(("#", "data:")), f"the proof refers to {target[:60]}")
    words = "".join(document.itertext())
    for piece in record["pieces"]:
        tally.case(piece["id"] in words, f"the proof does not name {piece['id']}")
    for warning in record["warnings"]:
        tally.case(warning["kind"] in words or warning["help"][:20] in words, "a warning is missing")
    ElementTree.parse(Path(folder) / "spread.svg")
    width, height = Image.open(Path(folder) / "spread.png").size
    tally.case(width > 600 and height > 600, f"spread.png is {width} x {height}")
    return tally
