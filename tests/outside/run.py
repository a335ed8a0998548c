"""Runs every outside check on built spreads: `run.py FOLDER...`.

`run.py --self-test FOLDER GUTTED OPENED PRINTED CUT_DOWN` spoils copies of records and cut files, the second of a spread in
which a piece is gutted, the third of one in which a middle is cut in the machine's own pass, the fourth of
one with printed pieces, the fifth of one whose paper is cut down for the printer, and sees that the checks notice.
`run.py --shapes PROGRAM` has a spread cut from leftovers that are no rectangles.
`run.py --photos PROGRAM` has a picture in every turn and format printed.
`run.py --words PROGRAM` has 200 words in several scripts and fonts set.
`run.py --offsets PROGRAM` has words backed, grown and thinned, and shapes stitched.
`run.py --rectangles PROGRAM` has small rectangle jobs built and solved by two other packers, with and
without a limit on changes of direction.
`run.py --cutting-stock PROGRAM` has jobs of many copies built and solved to the end by an exact model."""

import copy
import os
import re
import shutil
import subprocess
import sys
import tempfile
from pathlib import Path

import cut_files
import guide
import in_register
import nesting
import on_mat
import paths
import placement
import photos
import proof
import strips
import titles
import trimmer
from common import record_of

CHECKS = [nesting, trimmer, cut_files, on_mat, paths, titles, strips, in_register, photos, guide, placement, proof]


def run(folders):
    right = True
    for folder in folders:
        record = record_of(folder)
        print(f"{record['name']}: {len(record['pieces'])} pieces, {len(record['sheets'])} sheets")
        for module in CHECKS:
            right &= module.check(record, folder).report()
    return right


def self_test(folder, with_gutting, with_opening, with_print, with_parts):
    """Each way of spoiling a record, and the check that has to notice."""

    def onto_another(record):
        sheet = next(sheet for sheet in record["sheets"] if len(sheet["placed"]) > 1)
        sheet["placed"][0]["rings"] = sheet["placed"][1]["rings"]

    def dropped(record):
        record["sheets"][-1]["placed"].pop()

    def shrunk(record):
        record["sheets"][0]["size"][0] -= 0.01

    def shifted(record):
        sheet = next(sheet for sheet in record["sheets"] if sheet["cuts"])
        sheet["cuts"][0]["keeps"]["area"]["size"][0] -= 0.01

    def swapped(record):
        sheet = next(sheet for sheet in record["sheets"] if len(sheet["cuts"]) > 1)
        sheet["cuts"].reverse()

    def mirrored(record):
        placed = next(
            one for sheet in record["sheets"] for one in sheet["placed"]
            if one["piece"].endswith(".d")
        )
        right = max(x for ring in placed["rings"] for x, _ in ring)
        left = min(x for ring in placed["rings"] for x, _ in ring)
        placed["rings"] = [[[left + right - x, y] for x, y in ring] for ring in placed["rings"]]

    def nudged(record):
        machine = next(
            one for sheet in record["sheets"] for one in sheet["placed"] if one["tool"] == "machine"
        )
        machine["rings"] = [[[x + 0.01, y] for x, y in ring] for ring in machine["rings"]]

    def fatter(record):
        next(piece for piece in record["pieces"] if piece["kind"] == "letter")["area"] *= 1.01

    def taller(record):
        record["strips"][0]["size"][1] += 0.01

    def reworded(record):
        record["strips"][0]["text"] += " again"

    def renamed(record):
        record["pieces"][0]["id"] += "-that-the-proof-does-not-know"

    def bared(record):
        piece = next(piece for piece in record["pieces"] if piece.get("gutted"))
        piece["gutted"][0]["at"][0] -= 0.5

    def emptied(record):
        piece = next(piece for piece in record["pieces"] if piece.get("opened"))
        piece["opened"][0]["holds"] = [record["pieces"][0]["id"]]

    def refenced(record):
        sheet = next(sheet for sheet in record["sheets"] if sheet["cuts"])
        sheet["cuts"][-1]["fence"] += 1 / 16

    def miscut(record):
        next(sheet for sheet in record["sheets"] if sheet.get("parts"))["parts"][0]["size"][0] -= 0.01

    def first_loaded(record):
        return next(sheet for sheet in record["sheets"] if sheet.get("on_mat"))

    def slid(record):
        first_loaded(record)["on_mat"]["at"][0] += 0.25

    def quartered(record):
        first_loaded(record)["on_mat"]["turn"] = 90

    def too_early(record):
        sheet = next(sheet for sheet in record["sheets"] if sheet.get("on_mat") and sheet["cuts"])
        sheet["on_mat"]["after"] += 1

    def cut_through(record):
        sheet = first_loaded(record)
        one = next(one for one in sheet["placed"] if one["tool"] == "machine")
        xs = [x for x, _ in one["rings"][0]]
        x = (min(xs) + max(xs)) / 2
        sheet["cuts"].append({"number": 99, "from": [x, 0], "to": [x, sheet["size"][1]]})

    def misturned(record):
        record["photos"][0]["picture"]["orientation"] = 3

    def recropped(record):
        record["photos"][0]["picture"]["crop"]["at"][0] += 20

    def repainted(record):
        next(piece for piece in record["pieces"] if piece.get("print", {}).get("ground"))["print"]["ground"] = "#00ff00"

    def unsaid(record):
        next(piece for piece in record["pieces"] if piece.get("print", {}).get("text"))["print"]["text"]["text"] += " not"

    right = True
    spoilt = [(onto_another, nesting), (dropped, nesting), (shrunk, nesting), (mirrored, nesting),
              (shifted, trimmer), (swapped, trimmer), (nudged, cut_files), (fatter, titles),
              (taller, strips), (reworded, strips), (renamed, proof), (refenced, guide), (misturned, photos),
              (recropped, photos), (slid, on_mat), (quartered, on_mat), (too_early, on_mat),
              (cut_through, on_mat)]
    spoilt = [(spoil, module, folder) for spoil, module in spoilt] + [(bared, nesting, with_gutting), (emptied, nesting, with_opening),
               (repainted, in_register, with_print), (unsaid, in_register, with_print),
               (miscut, nesting, with_parts), (miscut, trimmer, with_parts)]
    for spoil, module, built in spoilt:
        record = copy.deepcopy(record_of(built))
        spoil(record)
        right &= told(spoil, module.check(record, built))
    return right & self_test_of_files(folder) & self_test_of_frames(folder) & self_test_of_marks(with_print)


def told(spoil, tally):
    noticed = bool(tally.faults)
    print(f"  {spoil.__name__:<14} {'noticed' if noticed else 'NOT NOTICED'}")
    return noticed


def self_test_of_frames(folder):
    """A cut file that is drawn on other paper than lies on the mat, and one with crosses that no print carries."""

    def on_other_paper(text):
        return re.sub(r'width="([\d.]+)in"', lambda width: f'width="{float(width[1]) + 0.25}in"', text, count=1)

    def beside(text):
        return re.sub(r'd="M([\d.]+)', lambda at: f'd="M{float(at[1]) + 0.1}', text)

    def crossed(text):
        return text.replace("<g ", '<g id="register"><path d="M1 1.25H1.5M1.25 1V1.5"/></g><g ', 1)

    right = True
    for spoil in (on_other_paper, beside, crossed):
        with tempfile.TemporaryDirectory() as copied:
            copied = Path(copied) / "copy"
            shutil.copytree(folder, copied)
            record = record_of(copied)
            sheet = next(one for one in record["sheets"] if one.get("strokes") and not one.get("in_register"))
            file = copied / "cut" / f"{sheet['id']}.svg"
            text = file.read_text()
            assert spoil(text) != text, f"{spoil.__name__} spoils nothing"
            file.write_text(spoil(text))
            right &= told(spoil, on_mat.check(record, copied))
    return right


def self_test_of_marks(folder):
    """A registration mark that lies elsewhere in the cut file than on the printed page."""

    def misregistered(text):
        before, after = text.split('id="register"', 1)
        return before + 'id="register"' + re.sub(r'd="M([\d.]+)', lambda at: f'd="M{float(at[1]) + 0.01}', after, count=1)

    with tempfile.TemporaryDirectory() as copied:
        copied = Path(copied) / "copy"
        shutil.copytree(folder, copied)
        record = record_of(copied)
        sheet = next(sheet for sheet in record["sheets"] if sheet.get("in_register"))
        file = copied / "cut" / f"{sheet['id']}.svg"
        text = file.read_text()
        assert misregistered(text) != text, "no mark to move"
        file.write_text(misregistered(text))
        return told(misregistered, in_register.check(record, copied))


def self_test_of_files(folder):
    """Each way of spoiling the largest of the cut files, which the path check has to notice."""

    def left_open(text):
        # Without its last stroke as well: that may end where the contour begins.
        end = text.rindex('Z"')
        stroke = max(text.rfind(command, 0, end) for command in "LCQ")
        return text[:stroke] + text[end + 1 :]

    def lost(text):
        start = text.rindex("<path")
        return text[:start] + text[text.index("/>", start) + 2 :]

    def regrouped(text):
        return text.replace('<g fill="none" id="cut"', '<g fill="none" id="score"')

    def last_path(text, change):
        """The text with the data of its last path changed."""
        before, after = text.rsplit(' d="', 1)
        data, rest = after.split('"', 1)
        return f'{before} d="{change(data)}"{rest}'

    def doubled(text):
        return last_path(text, lambda data: data * 2)

    def wider(text):
        return last_path(text, lambda data: re.sub(r"^M[\d.]+", "M0.01", data))

    right = True
    for spoil in (left_open, lost, regrouped, doubled, wider):
        with tempfile.TemporaryDirectory() as copied:
            shutil.copytree(Path(folder) / "cut", Path(copied) / "cut")
            file = max((Path(copied) / "cut").glob("*.svg"), key=lambda one: one.stat().st_size)
            text = file.read_text()
            spoiled = spoil(text)
            assert spoiled != text, f"{spoil.__name__} spoils nothing"
            file.write_text(spoiled)
            right &= told(spoil, paths.check(record_of(folder), copied))
    return right


# Leftovers of a box: an L, a frame, a staircase, and two for a blade that takes 1/32 in.
SHAPES = """papers: [{name: reed, color: "#2b5673", sheets: [{size: 12 x 12, count: 2}]}]
offcuts:
  - {label: L1, paper: reed, corners: [[0, 0], [6, 0], [6, 2], [2, 2], [2, 5], [0, 5]]}
  - {label: L2, paper: reed, corners: [[0, 0], [9, 0], [9, 8], [0, 8]], holes: [[[2, 2], [6, 2], [6, 6], [2, 6]]]}
  - {label: L3, paper: reed, corners: [[0, 0], [3, 0], [3, 2], [6, 2], [6, 4], [9, 4], [9, 7], [0, 7]]}
"""
SHAPED = """name: Steps {kerf}
cutting: {{effort: quick, kerf: {kerf}}}
single:
  pieces:
    - panel: {{id: tread, paper: reed, size: 5 1/2 x 2, at: {{left: 1, top: 1}}}}
    - panel: {{id: riser, paper: reed, size: 1 1/2 x 2 3/4, at: {{left: 7, top: 1}}}}
    - panel: {{id: rail, paper: reed, size: 8 x 1 3/4, at: {{left: 1, top: 4}}}}
    - heart: {{id: heart, paper: reed, size: 2 x 1.6, at: {{left: 8, top: 8}}}}
"""


def shapes(program):
    """A spread cut from leftovers that are no rectangles."""
    right = True
    for kerf in ("0", "1/32"):
        with tempfile.TemporaryDirectory() as folder:
            folder = Path(folder)
            (folder / "stock.yaml").write_text(SHAPES)
            (folder / "steps.yaml").write_text(SHAPED.format(kerf=kerf))
            subprocess.run([program, "build", "steps.yaml"], cwd=folder, check=True, capture_output=True)
            built = next((folder / "out").iterdir())
            shaped = [sheet for sheet in record_of(built)["sheets"] if sheet.get("outline")]
            assert shaped, "no leftover was taken apart"
            right &= run([built])
            subprocess.run([program, "cut", "steps.yaml"], cwd=folder, check=True, capture_output=True)
    return right


if __name__ == "__main__":
    arguments = sys.argv[1:]
    if arguments[:1] == ["--self-test"]:
        good = self_test(*arguments[1:])
    elif arguments[:1] == ["--words"]:
        import shaping

        good = shaping.check(os.path.abspath(arguments[1])).report()
    elif arguments[:1] == ["--offsets"]:
        import offsets

        good = offsets.check(os.path.abspath(arguments[1])).report()
    elif arguments[:1] == ["--rectangles"]:
        import rectangles  # its solver takes seconds to load
        import stages

        program = os.path.abspath(arguments[1])
        good = all([rectangles.check(program).report(), stages.check(program).report()])
    elif arguments[:1] == ["--cutting-stock"]:
        import cutting_stock

        good = cutting_stock.check(os.path.abspath(arguments[1])).report()
    elif arguments[:1] == ["--shapes"]:
        good = shapes(os.path.abspath(arguments[1]))
    elif arguments[:1] == ["--photos"]:
        good = photos.check_formats(os.path.abspath(arguments[1])).report()
    else:
        good = run(arguments)
    sys.exit(0 if good and arguments else 1)
