"""The JSON Schema against an independent validator: `schema.py PROGRAM`.

`jsonschema` accepts every starter, every spec of the outside checks and every example of README's tables,
and refuses a table of slips. The program refuses each of these slips as well, on the line where it stands;
so an editor never marks what the program takes."""

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
  pier: {size: 4 x 6, border: 1/8, looks: left}
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
    ("looks: left", "looks: lft"),
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

# The sections of README's reference, and a spec round an example of each.
ELEMENT = "{name: a, left: {pieces: [{%s}]}}"
SECTIONS = {
    "The whole": "{%s}",
    "`papers`, by name": "{name: a, papers: {chalk: {%s}}}",
    "`photos`, by name": "{name: a, photos: {sea: {%s}}}",
    "`left`, `right`, `single`": "{name: a, left: {%s}}",
    "Positions": "{name: a, left: {pieces: [{circle: {paper: chalk, diameter: 1, %s}}]}}",
    "`title`, a list": "{name: a, title: [{%s}]}",
    "`journaling`": "{name: a, journaling: {%s}}",
    "`stamps`, a list": "{name: a, stamps: [{%s}]}",
    "`cutting`, `gutting`, `marks`, `inks`, `printer`": "{name: a, %s}",
}


def loaded(text):
    return YAML(typ="safe", pure=True).load(text)


def examples():
    """README's examples: where each stands, and a spec that holds it."""
    section, headings = None, []
    for line in (ROOT / "README.md").read_text().splitlines():
        if line.startswith("#"):
            section = line.lstrip("# ")
        cells = [cell.strip() for cell in line.strip().strip("|").split(" | ")]
        if set(line) <= set("|-") and line:
            continue
        if not line.startswith("|") or len(cells) < 2:
            headings = []
            continue
        if not headings:
            headings = cells
            continue
        if headings[-1] != "example":
            continue
        for example in re.findall(r"`([^`]+: [^`]*[^`>])`", cells[-1]):
            yield section, headings[0], example


def spec_with(section, of, example):
    """A spec round an example."""
    if section == "Elements of `pieces`":
        if of == "key":
            return "{name: a, left: {pieces: [{panel: {paper: chalk, size: 1 x 1, %s}}]}}" % example
        return ELEMENT % example
    around = SECTIONS.get(section)
    if around is None:
        return None
    return around % example


def accepted(tally, validator):
    without = Draft202012Validator(without_needs(validator.schema))
    count = 0
    for file in sorted([*ROOT.glob("templates/*.yaml"), *ROOT.glob("tests/outside/specs/*.yaml")]):
        errors = list(validator.iter_errors(loaded(file.read_text())))
        tally.case(not errors, f"{file.name}: {errors[:1]}")
        count += 1
    tally.need(count, "spec")
    read = 0
    for section, of, example in examples():
        text = spec_with(section, of, example)
        if text is None:
            continue
        read += 1
        errors = list(without.iter_errors(loaded(text)))
        tally.case(not errors, f"README, {section}: {example}: {[error.message for error in errors[:1]]}")
    tally.case(read > 80, f"only {read} examples of README were found")
    return read


def without_needs(schema):
    """The schema, but no key is needed: an example shows one of them."""
    if isinstance(schema, dict):
        return {key: without_needs(value) for key, value in schema.items() if key != "required"}
    return [without_needs(one) for one in schema] if isinstance(schema, list) else schema


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


def check(program):
    tally = Tally("schema")
    schema = json.loads(subprocess.run([program, "schema"], check=True, capture_output=True).stdout)
    Draft202012Validator.check_schema(schema)
    validator = Draft202012Validator(schema)
    read = accepted(tally, validator)
    refused(tally, validator, program)
    print(f"  {read} examples of README, {len(SLIPS)} slips")
    return tally


if __name__ == "__main__":
    sys.exit(0 if check(str(Path(sys.argv[1]).resolve())).report() else 1)
