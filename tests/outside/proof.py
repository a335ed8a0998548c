"""The proof opens from disk by itself: HTML read by html5lib (HTML Living Standard), SVG as XML, the
picture by Pillow. Everything has its box to tick, the story is read in order, all sheets have one scale."""

import re
from pathlib import Path
from xml.etree import ElementTree

import html5lib
from common import Tally, names_of, strips_once
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
        tally.case(warning["kind"] in words or warning["help"].replace("`", "")[:20] in words, "a warning is missing")
    for word in re.findall(r"(?<![\w./])1[ \u00a0](?:sheets|pieces|photos|pages|papers|words|strips|cuts)\b", words):
        tally.case(False, f"the proof says {word!r}")
    check_ticks(tally, record, document)
    check_story(tally, record, document)
    check_scale(tally, record, document)
    # The spread's picture stands with the build alone.
    if "follows" not in record:
        ElementTree.parse(Path(folder) / "spread.svg")
        width, height = Image.open(Path(folder) / "spread.png").size
        tally.case(min(width, height) >= 100 * min(record["page"]), f"spread.png is {width} x {height}")
    return tally


def check_ticks(tally, record, document):
    """A box for every piece, sheet and strip, kept under a name of this very plan."""
    ticks = [box.get("data-tick") for box in document.iter("input")]
    wanted = [f"cut {piece['id']}" for piece in record["pieces"]]
    wanted += [f"sheet {sheet['id']}" for sheet in record["sheets"] + record.get("prints", [])]
    wanted += [f"glued {strip['id']}" for strip in strips_once(record)]
    alike = [sheet for sheet in record["sheets"] + record.get("prints", []) if sheet.get("count", 1) > 1]
    wanted += [f"cut alike {name}" for sheet in alike if sheet["count"] <= 200 for name in names_of(sheet)]
    tally.case(sorted(ticks) == sorted(wanted), f"boxes {set(ticks) ^ set(wanted)}")
    key = next(document.iter("main")).get("data-ticks", "")
    tally.case(record["name"] in key and re.search("[0-9a-f]{16}$", key), f"ticks are kept as {key!r}")


def check_story(tally, record, document):
    """The strips as they are read; what is set in another face is emphasised."""
    told = [quote for quote in document.iter("q")]
    place = {piece["id"]: number for number, piece in enumerate(record["pieces"])}
    strips = sorted(strips_once(record), key=lambda strip: place[strip["id"]])
    texts = ["".join(quote.itertext()) for quote in told]
    tally.case(texts == [strip["text"] for strip in strips], f"the story is told as {texts}")
    marked = sum(len([one for one in quote.iter() if one.tag in ("em", "strong")]) > 0 for quote in told)
    faced = sum(len({run["font"] for run in strip["runs"]}) > 1 for strip in strips)
    tally.case(marked >= faced, f"{marked} strips show the emphasis of {faced}")


def check_scale(tally, record, document):
    """An inch is as long on every sheet's picture."""
    scales = set()
    for picture in document.iter("svg"):
        told = picture.get("aria-label", "")
        if told.startswith("Sheet "):
            share = re.search(r"width:([\d.]+)%", picture.get("style", ""))
            box = float(picture.get("viewBox", "0 0 1 1").split()[2])
            scales.add(round((float(share[1]) if share else 100.0) / box, 2))
    tally.case(not scales or max(scales) - min(scales) <= 0.02, f"scales {scales}")
