"""Printed photos: ISO 32000-1 for boxes (14.11.2), pictures (8.9.5) and DCT streams (7.4.8); EXIF 2.32
and TIFF 6.0 (tag 274) for the camera's turn, read by Pillow; pages rendered by pypdfium2 and compared with
Pillow's own crop; the shape of trims, clips and crop marks read by pdfplumber and pikepdf.

`check(record, folder)` takes JPEG files out of the document again: their hash is that of the file.
`check_formats(program)` draws a picture in every turn and format and has it printed."""

import hashlib
import io
import json
import math
import subprocess
import tempfile
from pathlib import Path

import numpy
import pdfplumber
import pikepdf
import pypdfium2
from common import Tally, bounds_of, copies_on, record_of
from PIL import Image, ImageCms, ImageOps

NEAR = 0.001
POINTS = 72.0
DOTS_AN_INCH = 200
# Mean difference of a rendered print from Pillow's crop, of 255: resampling differs, pictures don't.
ALIKE = 4.0
# The same for printing inks, which every program shows in its own way; the wrong way round they differ by
# more than 100.
ALIKE_INKS = 40.0
# Crop marks: distance from the trim, length, and how near to another print they may come.
AWAY, LONG, CLEAR = 0.05, 0.12, 0.02


def field_of(photo, placed):
    """Where the picture lies on the page: the trim less the border."""
    left, top, right, bottom = bounds_of(placed["rings"])
    border = photo["border"]
    return left + border, top + border, right - border, bottom - border


def whole_of(photo, placed):
    """Where the whole picture would lie if nothing were cropped, worked out side by side."""
    left, top, right, bottom = field_of(photo, placed)
    picture = photo["picture"]
    (at_x, at_y), (across, down) = picture["crop"]["at"], picture["crop"]["size"]
    width, height = picture["dots"]
    if picture["orientation"] >= 5:
        width, height = height, width
    before_x, after_x = at_x / across, (width - at_x - across) / across
    before_y, after_y = at_y / down, (height - at_y - down) / down
    if placed["turn"] % 360 == 0:
        shares = before_x, before_y, after_x, after_y
    else:  # a quarter turn clockwise: the picture's top is on the right
        assert placed["turn"] % 360 == 90, placed["turn"]
        shares = after_y, before_x, before_y, after_x
    wide, tall = right - left, bottom - top
    return (left - shares[0] * wide, top - shares[1] * tall,
            right + shares[2] * wide, bottom + shares[3] * tall)


def near(one, other):
    return all(abs(a - b) <= NEAR for a, b in zip(one, other))


def clips_and_pictures(page):
    """Each picture shown on a page with the rectangle that clips it, in inches from the top left."""
    height = float(page.MediaBox[3])
    clip, found = None, []
    for operands, operator in pikepdf.parse_content_stream(page):
        if str(operator) == "re":
            left, bottom, width, tall = (float(value) for value in operands)
            clip = (left, height - bottom - tall, left + width, height - bottom)
        elif str(operator) == "Do":
            found.append((str(operands[0]), tuple(side / POINTS for side in clip)))
    return found


def seen(picture, stream, sources):
    """The picture upright, as Pillow reads it."""
    if sources is None:
        image = Image.open(io.BytesIO(stream.read_raw_bytes()))
    else:
        image = Image.open(Path(sources) / picture["file"])
    return image


def opaque(image):
    if image.mode in ("RGBA", "LA"):
        paper = Image.new("RGBA", image.size, "white")
        return Image.alpha_composite(paper, image.convert("RGBA")).convert("RGB")
    return image.convert("RGB")


def check_stream(tally, photo, stream, sources):
    picture = photo["picture"]
    name = photo["id"]
    if picture["format"] == "jpeg":
        tally.case(stream.Filter == pikepdf.Name("/DCTDecode"), f"{name}: {stream.Filter}")
        data = stream.read_raw_bytes()
        if sources is None:
            same = hashlib.sha256(data).hexdigest() == picture["sha256"]
        else:  # whatever a camera adds behind the picture's end is left out
            file = (Path(sources) / picture["file"]).read_bytes()
            same = file.startswith(data) and (file == data or data.endswith(b"\xff\xd9"))
        tally.case(same, f"{name}: the JPEG is not the file's")
        tally.case([int(stream.Width), int(stream.Height)] == picture["dots"], f"{name}: wrong dots")
    else:
        tally.case(stream.Filter == pikepdf.Name("/FlateDecode"), f"{name}: {stream.Filter}")
    if picture["format"] != "jpeg" and sources is None:
        return None
    image = seen(picture, stream, sources)
    profile = image.info.get("icc_profile")
    space = stream.ColorSpace
    held = space[1].read_bytes() if isinstance(space, pikepdf.Array) else None
    tally.case(held == profile, f"{name}: its colour profile is not the file's")
    turn = image.getexif().get(274, 1)
    tally.case(turn == picture["orientation"], f"{name}: EXIF says {turn}")
    # Of a TIFF, Pillow tells the size after the turn; its tags 256 and 257 are those of the stored dots.
    size = [image.tag_v2[256], image.tag_v2[257]] if picture["format"] == "tiff" else list(image.size)
    tally.case(size == picture["dots"], f"{name}: Pillow reads {size}")
    return opaque(ImageOps.exif_transpose(image))


def check_look(tally, photo, placed, upright, rendered):
    """A rendered print beside Pillow's crop."""
    left, top, right, bottom = (side * DOTS_AN_INCH for side in field_of(photo, placed))
    box = [math.ceil(left) + 2, math.ceil(top) + 2, math.floor(right) - 2, math.floor(bottom) - 2]
    shown = rendered.crop(box)
    crop = photo["picture"]["crop"]
    turned = placed["turn"] % 360 == 90
    wide, tall = right - left, bottom - top
    inner = [(box[0] - left) / wide, (box[1] - top) / tall, (right - box[2]) / wide, (bottom - box[3]) / tall]
    if turned:  # left, top, right, bottom of the page are the picture's bottom, left, top, right
        inner = [inner[1], inner[2], inner[3], inner[0]]
    (x, y), (across, down) = crop["at"], crop["size"]
    part = (x + inner[0] * across, y + inner[1] * down,
            x + across - inner[2] * across, y + down - inner[3] * down)
    inside = part[0] >= 0 and part[1] >= 0 and part[2] <= upright.width and part[3] <= upright.height
    tally.case(inside, f"{photo['id']}: {part} leaves the picture")
    if not inside:
        return
    size = shown.size[::-1] if turned else shown.size
    own = upright.resize(size, Image.Resampling.LANCZOS, box=part, reducing_gap=3.0)
    if turned:
        own = own.transpose(Image.Transpose.ROTATE_270)
    difference = numpy.abs(numpy.asarray(shown, float) - numpy.asarray(own, float)).mean()
    alike = ALIKE_INKS if photo["picture"]["file"] == "inks.jpg" else ALIKE
    tally.case(difference <= alike, f"{photo['id']}: differs from Pillow's crop by {difference:.1f}")
    mirrored = numpy.asarray(own.transpose(Image.Transpose.ROTATE_180), float)
    other = numpy.abs(numpy.asarray(shown, float) - mirrored).mean()
    tally.case(other > 2 * difference, f"{photo['id']}: looks the same upside down")


def check_border(tally, photo, placed, rendered):
    if photo["border"] * DOTS_AN_INCH < 8:
        return
    left, top, right, bottom = (side * DOTS_AN_INCH for side in bounds_of(placed["rings"]))
    wide = photo["border"] * DOTS_AN_INCH - 3
    strips = [(left + 2, top + 2, right - 2, top + wide), (left + 2, bottom - wide, right - 2, bottom - 2),
              (left + 2, top + 2, left + wide, bottom - 2), (right - wide, top + 2, right - 2, bottom - 2)]
    for strip in strips:
        part = numpy.asarray(rendered.crop([round(side) for side in strip]), float)
        tally.case(part.min() >= 254, f"{photo['id']}: its border is not white")


def check_marks(tally, sheet, lines):
    """Every corner's marks are there, but for those that would run into another print."""
    trims = [bounds_of(placed["rings"]) for placed in sheet["placed"]]
    for number, (left, top, right, bottom) in enumerate(trims):
        for x, way in ((left, -1), (right, 1)):
            for y, down in ((top, -1), (bottom, 1)):
                for mark in ([x, y + down * AWAY, x, y + down * (AWAY + LONG)],
                             [x + way * AWAY, y, x + way * (AWAY + LONG), y]):
                    mark = [*sorted(mark[0::2]), *sorted(mark[1::2])]
                    x0, x1, y0, y1 = mark
                    free = all(
                        other == number or x1 + CLEAR <= trim[0] + 1e-9 or x0 - CLEAR >= trim[2] - 1e-9
                        or y1 + CLEAR <= trim[1] + 1e-9 or y0 - CLEAR >= trim[3] - 1e-9
                        for other, trim in enumerate(trims)
                    )
                    found = any(near((x0, x1, y0, y1), line) for line in lines)
                    tally.case(found == free, f"{sheet['id']}: crop mark at {mark}: {found}")


def check(record, folder, sources=None):
    tally = Tally("photos")
    if not record.get("prints"):
        return tally
    file = Path(folder) / "print" / "photos.pdf"
    run = subprocess.run(["qpdf", "--check", str(file)], capture_output=True)
    tally.case(run.returncode == 0, f"qpdf: {run.stdout.decode()[-200:]}")
    photos = {photo["id"]: photo for photo in record["photos"]}
    printed = [copy for sheet in record["prints"] for copy in copies_on(sheet)]
    wanted = [
        (name, copy) for name, photo in photos.items() if photo.get("picture")
        for copy in range(1, photo.get("copies", 1) + 1)
    ]
    tally.case(sorted(printed) == sorted(wanted), f"printed: {printed}")
    margin = record["photo_paper"]["margin"]
    rendering = pypdfium2.PdfDocument(file)
    with pikepdf.open(file) as pdf, pdfplumber.open(file) as plumber:
        tally.case(pdf.Root.ViewerPreferences.PrintScaling == pikepdf.Name("/None"), "it may be scaled")
        tally.case(len(pdf.pages) == len(record["prints"]), f"{len(pdf.pages)} pages")
        for number, sheet in enumerate(record["prints"]):
            page, plumbed = pdf.pages[number], plumber.pages[number]
            for name in ("/MediaBox", "/BleedBox", "/TrimBox"):
                box = [float(side) / POINTS for side in page.obj[name]]
                tally.case(near([0, 0, *sheet["size"]], box), f"{name} of page {number + 1}: {box}")
            rendered = rendering[number].render(scale=DOTS_AN_INCH / POINTS).to_pil().convert("RGB")
            shown = clips_and_pictures(page)
            tally.case(len(shown) == len(sheet["placed"]), f"{sheet['id']}: {len(shown)} pictures")
            inches = lambda thing: [thing[side] / POINTS for side in ("x0", "top", "x1", "bottom")]
            rects = [inches(rect) for rect in plumbed.rects]
            images = [inches(image) for image in plumbed.images]
            lines = [[line[side] / POINTS for side in ("x0", "x1", "top", "bottom")] for line in plumbed.lines]
            check_marks(tally, sheet, lines)
            for placed in sheet["placed"]:
                photo = photos[placed["piece"]]
                trim = bounds_of(placed["rings"])
                size = sorted((trim[2] - trim[0], trim[3] - trim[1]))
                tally.case(near(size, sorted(photo["size"])), f"{photo['id']}: trim of {size}")
                reached = min(trim[0], trim[1], sheet["size"][0] - trim[2], sheet["size"][1] - trim[3])
                tally.case(reached + photo["border"] >= margin - NEAR, f"{photo['id']}: in the rim")
                tally.case(any(near(trim, rect) for rect in rects), f"{photo['id']}: no trim line")
                field = field_of(photo, placed)
                clip = [name for name, clip in shown if near(field, clip)]
                tally.case(len(clip) == 1, f"{photo['id']}: {len(clip)} clips at {field}")
                if not clip:
                    continue
                stream = page.obj.Resources.XObject[clip[0]]
                upright = check_stream(tally, photo, stream, sources)
                if photo["picture"]["format"] == "jpeg":
                    whole = whole_of(photo, placed)
                    tally.case(any(near(whole, image) for image in images), f"{photo['id']}: not at {whole}")
                if upright is not None:
                    check_look(tally, photo, placed, upright, rendered)
                check_border(tally, photo, placed, rendered)
    return tally


def draw(width, height):
    """A picture of which no part looks like another, with soft edges."""
    x, y = numpy.meshgrid(numpy.linspace(0, 1, width), numpy.linspace(0, 1, height))
    red = 40 + 180 * x
    green = 40 + 180 * y
    blue = 128 + 90 * numpy.sin(9 * x + 4 * y) * numpy.cos(7 * y - 3 * x)
    sun = (x - 0.7) ** 2 + (y - 0.25) ** 2 < 0.02
    green[sun] = 230
    return Image.fromarray(numpy.dstack([red, green, blue]).astype("uint8"))


def write_pictures(folder):
    """The picture in each turn and format; file names with their photo's size and more."""
    image = draw(1200, 850)
    made = {}
    for turn in range(1, 9):
        exif = Image.Exif()
        exif[274] = turn
        image.save(folder / f"turn-{turn}.jpg", quality=90, exif=exif)
        made[f"turn-{turn}.jpg"] = "3 x 4" if turn % 2 else "4 x 3, focus: [0.2, 0.8], border: 1/8"
    exif = Image.Exif()
    exif[274] = 6
    image.save(folder / "progressive.jpg", quality=88, progressive=True)
    image.convert("L").save(folder / "grey.jpg", quality=90)
    image.convert("CMYK").save(folder / "inks.jpg", quality=90)
    profile = ImageCms.ImageCmsProfile(ImageCms.createProfile("sRGB")).tobytes()
    image.save(folder / "profile.jpg", quality=90, icc_profile=profile)
    image.save(folder / "profile.png", icc_profile=profile)
    moving = (folder / "turn-1.jpg").read_bytes() + b"\0\0\0\x18ftypmp42" + bytes(50_000)
    (folder / "moving.jpg").write_bytes(moving)
    image.save(folder / "turned.webp", quality=90, exif=exif)
    image.save(folder / "turned.tif", exif=exif, compression="tiff_lzw")
    image.save(folder / "turned.png", exif=exif)
    image.convert("L").save(folder / "grey.png")
    image.convert("P", palette=Image.Palette.ADAPTIVE).save(folder / "palette.png")
    clear = image.convert("RGBA")
    clear.putalpha(Image.linear_gradient("L").resize(image.size))
    clear.save(folder / "clear.png")
    for name in ("progressive.jpg", "grey.jpg", "turned.webp", "turned.tif", "turned.png", "grey.png",
                 "palette.png", "clear.png", "inks.jpg", "profile.jpg", "profile.png", "moving.jpg"):
        made[name] = "2 1/2 x 2"
    return made


def thread(tall):
    """A grey JPEG one dot wide (ITU-T T.81, baseline): a code of one bit says for each block that its level
    stays, another that nothing follows. libjpeg, and Pillow with it, writes none above 65 500 dots."""
    segment = lambda kind, data: bytes([0xFF, kind]) + (len(data) + 2).to_bytes(2, "big") + bytes(data)
    one_code = [1] + 15 * [0] + [0]
    blocks = -(-tall // 8)
    return (
        b"\xff\xd8"
        + segment(0xDB, [0] + 64 * [1])
        + segment(0xC0, [8, *tall.to_bytes(2, "big"), 0, 1, 1, 1, 0x11, 0])
        + segment(0xC4, [0x00, *one_code])
        + segment(0xC4, [0x10, *one_code])
        + segment(0xDA, [1, 1, 0, 0, 63, 0])
        + bytes(blocks // 4)
        + b"\xff\xd9"
    )


def check_long(tally, program, folder):
    """A JPEG longer than readers decode goes into the document as its dots, which qpdf and pdfium read."""
    for tall, way in ((65_500, "/DCTDecode"), (65_535, "/FlateDecode")):
        (folder / "thread.jpg").write_bytes(thread(tall))
        photo = {"thread": "{size: 1 x 4, file: thread.jpg, allow low resolution: true}"}
        record, built = build(program, folder, f"thread-{tall}", photo)
        file = built / "print" / "photos.pdf"
        run = subprocess.run(["qpdf", "--check", str(file)], capture_output=True)
        tally.case(run.returncode == 0, f"thread of {tall}: qpdf: {(run.stdout + run.stderr).decode()[-200:]}")
        with pikepdf.open(file) as pdf:
            (stream,) = pdf.pages[0].obj.Resources.XObject.values()
            tally.case(stream.Filter == pikepdf.Name(way), f"thread of {tall}: {stream.Filter}")
            if way == "/DCTDecode":
                continue  # pdfium shows no JPEG of that form
            dots = stream.read_bytes()
            tally.case(len(dots) > 0 and set(dots) == {128}, f"thread of {tall}: dots {set(dots)}")
        rendered = pypdfium2.PdfDocument(file)[0].render(scale=1).to_numpy()
        left, top, right, bottom = (
            round(edge * POINTS) for edge in bounds_of(record["prints"][0]["placed"][0]["rings"])
        )
        grey = rendered[top + 3:bottom - 3, left + 3:right - 3, :3]
        tally.case(abs(grey.astype(int) - 128).max() <= 2, f"thread of {tall}: shown as {grey.mean()}")


def build(program, folder, name, photos, more=""):
    """Has photos printed; the record and the folder of what was built."""
    listed = "\n".join(f"  {photo}: {said}" for photo, said in photos.items())
    spec = folder / f"{name}.yaml"
    spec.write_text(
        f"name: {name}\npage: 24 x 24\n{more}\nphotos:\n{listed}\nsingle:\n  pieces:\n"
        f"    - bank: {{photos: {json.dumps(list(photos))}, run: grid}}\n"
    )
    subprocess.run([program, "build", spec, "--out", folder / "out"], check=True, capture_output=True)
    return record_of(folder / "out" / name), folder / "out" / name


def check_formats(program):
    with tempfile.TemporaryDirectory() as folder:
        folder = Path(folder)
        made = write_pictures(folder)
        photos = {f"p{number}": f"{{size: {size}, file: {name}}}" for number, (name, size) in enumerate(made.items())}
        record, built = build(program, folder, "formats", photos)
        tally = check(record, built, folder)
        # A print on paper of its own size: its white border covers what the printer can't reach.
        photo = {"whole": "{size: 6 x 4, border: 1/4, file: turn-1.jpg}"}
        record, built = build(program, folder, "whole", photo, "printer: {photo paper: 4 x 6}")
        whole = check(record, built, folder)
        tally.cases += whole.cases
        tally.faults += whole.faults
        check_long(tally, program, folder)
        return tally
