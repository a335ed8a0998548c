"""The JSON Schema against an independent validator: `schema.py PROGRAM`.

`jsonschema` accepts every starter, every spec of the outside checks and every example of README and of the manual,
and refuses a table of slips. The program refuses each of these slips as well, on the line where it stands;
so an editor never marks what the program takes. The schema of `stock.yaml` is held against the starter's and the
manual's stock, and against slips in it; that of a sketch against all sketches, and slips in one."""

import json
import re
import subprocess
import sys
import tempfile
from pathlib import Path

from common import Tally
from jsonschema import Draft202012Validator
from ruamel.yaml import YAML

ROOT = Path(__file__).resolve().parents[2]

# A sound spec with something of everything; each slip below changes one line of it.
SOUND = """name: Lighthouse
units: in
page: 12 x 12
papers:
  chalk: {color: "#ffffff", turn: half, thinnest: 1/16, sheets: {12 x 12: 9, 8.5 x 11: {count: 2, price: 0.5}}}
  coral: {color: "#e2725b", sheets: {12 x 12: 9}, offcuts: [{size: 5 x 7}]}
photos:
  pier: {size: 4 x 6, border: 1/8, facing: left}
left:
  base: chalk
  pieces:
    - panel: {id: sea, paper: coral, size: 1/2 page x 4, at: {left: 0, bottom: 1/2}, tool: trimmer, torn: [top]}
    - strip: {paper: coral, width: 3/4, across: spread, at: {top: 6}}
    - photo: {photo: pier, at: [1/2, 1/2], turn: 4, mats: [{paper: coral, reveal: 3/16}]}
    - circle: {id: sun, paper: coral, diameter: 2, at: {right: 1, top: 1}, stitch: {inset: 1/8, as: holes}}
    - banner: {paper: coral, size: 3 x 1, right: dovetail, at: {below: sun, align: center, gap: 1/4}}
    - rectangle: {paper: coral, size: 2 x 1, corners: {round: 1/8}, score: [{across: 1/2}], at: {left: 9, bottom: 1}}
right: {}
title:
  - {words: Up, height: 1 1/2, paper: coral, page: right, align: left, lift: [0, 1/8], backing: {paper: chalk, margin: 1/8}}
journaling:
  text: We climbed all the stairs and saw the sea.
  paper: chalk
  size: 11 pt
  ink: "#33312e"
  strip: {height: 5/16, widest: 4}
cutting: {spacing: 1/16, effort: quick, mat: 12 x 12}
gutting: {when: never}
marks: {kind: cross, on: printed sheets}
inks: {cut: "#0b6e4f"}
printer: {paper: 8.5 x 11, margin: 1/4}
"""

# What stands in the sound spec, and what a hand may write in its place.
SLIPS = [
    # Choices.
    ("units: in", "units: cm"),
    ("turn: half", "turn: sideways"),
    ("facing: left", "facing: lft"),
    ("tool: trimmer", "tool: trimer"),
    ("torn: [top]", "torn: [topp]"),
    ("across: spread", "across: spred"),
    ("as: holes", "as: beads"),
    ("right: dovetail", "right: dovetale"),
    ("align: center", "align: centre"),
    ("page: right", "page: rihgt"),
    ("align: left", "align: leftish"),
    ("effort: quick", "effort: much"),
    ("when: never", "when: sometimes"),
    ("kind: cross", "kind: star"),
    ("on: printed sheets", "on: all"),
    # Keys.
    ("paper: coral, size: 3 x 1", "papr: coral, size: 3 x 1"),
    ("gutting:", "guting:"),
    ("diameter: 2,", "diametre: 2,"),
    ("- banner:", "- baner:"),
    ("round: 1/8", "rounded: 1/8"),
    ("across: 1/2", "acros: 1/2"),
    ("{count: 2, price: 0.5}", "{coutn: 2, price: 0.5}"),
    # Lengths.
    ("width: 3/4", "width: 3//4"),
    ("height: 1 1/2", "height: 4 1//2"),
    ("diameter: 2,", "diameter: fourin,"),
    ("diameter: 2,", "diameter: 2 furlongs,"),
    ("spacing: 1/16", "spacing: 1/16 page"),
    ("border: 1/8", "border: 1/"),
    ("margin: 1/4", "margin: -"),
    ("reveal: 3/16", "reveal: 3,5"),
    ("lift: [0, 1/8]", "lift: [0, 1.8.2]"),
    ("size: 11 pt", "size: 11 pts"),
    # Sizes.
    ("page: 12 x 12", "page: 12"),
    ("size: 4 x 6", "size: 4 x"),
    ("size: 2 x 1", "size: 2 * 1"),
    ("size: 5 x 7", "size: 5 x 7 x 9"),
    ("mat: 12 x 12", "mat: 12 times 12"),
    ("8.5 x 11: {", "8.5 to 11: {"),
    # Positions.
    ("at: [1/2, 1/2]", "at: [1/2]"),
    ("at: [1/2, 1/2]", "at: [1/2, 1/2, 1/2]"),
    ("at: [1/2, 1/2]", "at: middel"),
    ("below: sun", "belows: sun"),
    # Colours.
    ('"#e2725b"', '"#12345g"'),
    ('ink: "#33312e"', 'ink: "#333"'),
    ('cut: "#0b6e4f"', "cut: green"),
    # Numbers.
    ("12 x 12: 9, 8.5", "12 x 12: some, 8.5"),
    ("count: 2", "count: -2"),
    ("price: 0.5", "price: -0.5"),
    ("turn: 4", "turn: four"),
    ("turn: 4", "turn: 400"),
]

# The same for a stock.
STOCK = """papers:
  - {name: oat, color: "#e9d8a6", kind: cardstock, grain: down, price: 0.9, sheets: [{size: 12 x 12, count: 4}]}
offcuts:
  - {label: B7, paper: oat, size: 4 x 6}
"""
STOCK_SLIPS = [
    ("papers:", "paper:"),
    ("color:", "colour:"),
    ("kind: cardstock", "kind: cardboard"),
    ("grain: down", "grain: along"),
    ("12 x 12", "12 x"),
    ("count: 4", "count: four"),
    ("price: 0.9", "price: -1"),
    ("label: B7, ", ""),
    ("size: 4 x 6", "sizes: 4 x 6"),
]


def loaded(text):
    return YAML(typ="safe", pure=True).load(text)


def examples():
    """The YAML of README and of the manual: where it stands, and a spec that holds it."""
    for page in [ROOT / "README.md", *sorted(ROOT.glob("docs/*.md"))]:
        if page.name in ("stock.md", "sketches.md"):
            continue
        for block in re.findall(r"```yaml\n(.*?)```", page.read_text(), re.S):
            shown = loaded(block)
            for piece in shown.pop("pieces", []):
                yield page.name, {"name": "a", "left": {"pieces": [piece]}}
            for key in shown if "name" not in shown else []:
                yield page.name, {"name": "a", "left": {}, key: shown[key]}
            if "name" in shown:
                yield page.name, shown


def accepted(tally, validator, program):
    count = 0
    for file in sorted([*ROOT.glob("templates/*.yaml"), *ROOT.glob("tests/outside/specs/*.yaml")]):
        errors = list(validator.iter_errors(loaded(file.read_text())))
        tally.case(not errors, f"{file.name}: {errors[:1]}")
        count += 1
    tally.need(count, "spec")
    read = 0
    for page, spec in examples():
        read += 1
        errors = list(validator.iter_errors(spec))
        tally.case(not errors, f"{page}: {spec}: {[error.message for error in errors[:1]]}")
    tally.case(read > 40, f"only {read} examples were found")
    whole = re.search(r"```yaml\n(name:.*?)```", (ROOT / "README.md").read_text(), re.S)
    with tempfile.TemporaryDirectory() as folder:
        ran = checked(program, Path(folder), whole.group(1))
        tally.case(ran.returncode == 0, f"README's spec is refused: {ran.stderr}")
    return read


def checked(program, folder, text):
    file = folder / "lighthouse.yaml"
    file.write_text(text)
    return subprocess.run([program, "check", file], capture_output=True, text=True)


def refused(tally, validator, program):
    tally.case(not list(validator.iter_errors(loaded(SOUND))), "the sound spec is refused by its schema")
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        ran = checked(program, folder, SOUND)
        tally.case(ran.returncode == 0, f"the sound spec is refused: {ran.stderr}")
        for right, wrong in SLIPS:
            text = SOUND.replace(right, wrong, 1)
            tally.case(text != SOUND, f"`{right}` doesn't stand in the sound spec")
            tally.case(list(validator.iter_errors(loaded(text))), f"the schema takes `{wrong}`")
            ran = checked(program, folder, text)
            line = text[:text.index(wrong)].count("\n") + 1
            tally.case(ran.returncode == 1, f"the program takes `{wrong}` (exit {ran.returncode})")
            tally.case(f"lighthouse.yaml:{line}:" in ran.stderr, f"`{wrong}`, line {line}: {ran.stderr[:300]}")


def stock(tally, program):
    """The schema of a stock takes the starter and the manual's example, and no slip."""
    schema = json.loads(subprocess.run([program, "schema", "--stock"], check=True, capture_output=True).stdout)
    Draft202012Validator.check_schema(schema)
    validator = Draft202012Validator(schema)
    manual = re.search(r"```yaml\n(.*?)```", (ROOT / "docs/stock.md").read_text(), re.S)
    for text in [(ROOT / "templates/stock/stock.yaml").read_text(), manual.group(1), STOCK]:
        errors = list(validator.iter_errors(loaded(text)))
        tally.case(not errors, f"a sound stock is refused: {errors[:1]}")
    for right, wrong in STOCK_SLIPS:
        text = STOCK.replace(right, wrong, 1)
        tally.case(text != STOCK, f"`{right}` doesn't stand in the stock")
        tally.case(list(validator.iter_errors(loaded(text))), f"the schema of a stock takes `{wrong or right}`")
        with tempfile.TemporaryDirectory() as name:
            file = Path(name) / "stock.yaml"
            file.write_text(text)
            ran = subprocess.run([program, "stock", "--stock", file], capture_output=True, text=True)
            tally.case(ran.returncode == 1, f"the program takes `{wrong or right}` (exit {ran.returncode})")


# A slip each: what is written, and what instead.
SKETCH_SLIPS = [("run: down", "run: dwn"), ("holds: title", "holds: titel"), ("about:", "abuot:"), ("takes: 1-4", "takes: [1]")]


def sketches(tally, program):
    """The schema of a sketch takes every sketch and the manual's example, and no slip."""
    schema = json.loads(subprocess.run([program, "schema", "--sketch"], check=True, capture_output=True).stdout)
    Draft202012Validator.check_schema(schema)
    validator = Draft202012Validator(schema)
    manual = re.search(r"```yaml\n(name:.*?)```", (ROOT / "docs/sketches.md").read_text(), re.S).group(1)
    files = sorted(ROOT.glob("templates/sketches/*.yaml"))
    tally.need(len(files), "sketch")
    for text in [manual, *(file.read_text() for file in files)]:
        errors = list(validator.iter_errors(loaded(text)))
        tally.case(not errors, f"a sound sketch is refused: {text[:40]}: {[error.message for error in errors[:1]]}")
    for right, wrong in SKETCH_SLIPS:
        text = manual.replace(right, wrong, 1)
        tally.case(text != manual, f"`{right}` doesn't stand in the sketch")
        tally.case(list(validator.iter_errors(loaded(text))), f"the schema of a sketch takes `{wrong}`")


def check(program):
    tally = Tally("schema")
    schema = json.loads(subprocess.run([program, "schema"], check=True, capture_output=True).stdout)
    Draft202012Validator.check_schema(schema)
    validator = Draft202012Validator(schema)
    read = accepted(tally, validator, program)
    refused(tally, validator, program)
    stock(tally, program)
    sketches(tally, program)
    print(f"  {read} examples, {len(SLIPS)} slips")
    return tally


if __name__ == "__main__":
    sys.exit(0 if check(str(Path(sys.argv[1]).resolve())).report() else 1)
