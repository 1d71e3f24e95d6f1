"""The workbench sheet as a builder gets it: written, printed by Chromium on A4 and Letter, read back by
poppler; the drawings by an XML parser."""
import collections
import html.parser
import json
import os
import re
import stat
import subprocess
import unittest
import xml.etree.ElementTree as xml

from running import PANEWALK, SOURCE, main

SITE = os.path.join(SOURCE, "config", "boathouse.json")
PROPS = ["slip-window", "loft-windows", "door-ring", "gable-line", "eaves-line"]
SECTIONS = ["Seen from the FRONT", "Seen from the BACK", "Wiring steps", "Cut list", "Parts", "Patch",
            "Labels", "Power", "Bench check"]
SVG = "{http://www.w3.org/2000/svg}"
# Points of 1/72 in: ISO 216 A4 is 210 by 297 mm; ANSI A, Letter, is 8.5 by 11 in.
PAPER = {"A4": (595.3, 841.9), "Letter": (612, 792)}
MARGIN = 12 * 72 / 25.4


def panewalk(*arguments, status=0):
    done = subprocess.run([PANEWALK, *arguments], capture_output=True, text=True, timeout=120,
                          check=False)
    assert done.returncode == status, (done.returncode, done.stdout[-500:], done.stderr)
    return done.stdout if status == 0 else done.stderr


class Letters(html.parser.HTMLParser):
    """How often each letter or digit is shown."""

    def __init__(self, text):
        super().__init__()
        self.hidden = 0
        self.count = collections.Counter()
        self.feed(text)

    def handle_starttag(self, tag, attrs):
        self.hidden += tag in ("style", "title", "desc")

    def handle_endtag(self, tag):
        self.hidden -= tag in ("style", "title", "desc")

    def handle_data(self, data):
        if not self.hidden:
            self.count.update(letters(data))


def letters(text):
    return [letter for letter in text if letter.isascii() and letter.isalnum()]


class Sheet(unittest.TestCase):
    @classmethod
    def setUpClass(cls):
        for prop in PROPS:
            units = "in" if prop == "gable-line" else "mm"
            panewalk("sheet", SITE, prop, "--out", prop + ".html", "--units", units)
        printer = os.path.join(SOURCE, "tests", "browser", "support", "print.mjs")
        subprocess.run(["node", printer, *(prop + ".html" for prop in PROPS)], check=True, timeout=280)

    def test_prints_each_section_on_both_papers(self):
        for prop in PROPS:
            for paper in PAPER:
                with self.subTest(prop=prop, paper=paper):
                    text = subprocess.run(["pdftotext", "-layout", f"{prop}-{paper}.pdf", "-"],
                                          capture_output=True, text=True, check=True).stdout
                    pages = text.rstrip("\f").split("\f")
                    for section in SECTIONS:
                        begins = [page for page in pages
                                  if page.lstrip().startswith(f"{section}: {prop}")]
                        self.assertEqual(len(begins), 1, f"{section} begins a page")
                    for number, page in enumerate(pages, 1):
                        self.assertIn(f"{number} / {len(pages)}", page)
                        self.assertIn(f"{prop}, boathouse, ", page)

    def test_cuts_nothing_off(self):
        for prop in PROPS:
            for paper, (width, height) in PAPER.items():
                with self.subTest(prop=prop, paper=paper):
                    boxes = subprocess.run(["pdftotext", "-bbox", f"{prop}-{paper}.pdf", "-"],
                                           capture_output=True, text=True, check=True).stdout
                    for page in re.findall(r'<page width="([\d.]+)" height="([\d.]+)"', boxes):
                        self.assertAlmostEqual(float(page[0]), width, delta=1)
                        self.assertAlmostEqual(float(page[1]), height, delta=1)
                    words = re.findall(r'<word xMin="([-\d.]+)" yMin="([-\d.]+)" xMax="([-\d.]+)" '
                                       r'yMax="([-\d.]+)">([^<]*)<', boxes)
                    self.assertGreater(len(words), 500)
                    for left, top, right, bottom, word in words:
                        self.assertGreater(float(left), MARGIN - 2, word)
                        self.assertGreater(float(top), MARGIN - 4, word)
                        self.assertLess(float(right), width - MARGIN + 2, word)
                        self.assertLess(float(bottom), height - 8, word)

    def test_prints_every_letter(self):
        for prop in PROPS:
            with open(prop + ".html", encoding="utf-8") as file:
                written = Letters(file.read()).count
            for paper in PAPER:
                text = subprocess.run(["pdftotext", f"{prop}-{paper}.pdf", "-"], capture_output=True,
                                      text=True, check=True).stdout
                printed = collections.Counter(letters(text))
                missing = {letter: (count, printed[letter]) for letter, count in written.items()
                           if printed[letter] < count}
                self.assertEqual(missing, {}, f"{prop} on {paper}")

    def test_draws_to_scale(self):
        """The scale bar's words say what it is on the prop; its dots lie as far apart in the PDF's own
        units as the map and the scale say."""
        boxes = subprocess.run(["pdftotext", "-bbox", "slip-window-A4.pdf", "-"], capture_output=True,
                               text=True, check=True).stdout
        page = boxes.split("<page")[2]
        found = {word: (float(left), float(top)) for left, top, word in re.findall(
            r'<word xMin="([-\d.]+)" yMin="([-\d.]+)"[^>]*>(10|20|A1|A3|C1|1:\d+)<', page)}
        scale = next(int(word[2:]) for word in found if word.startswith("1:"))
        across = (found["C1"][0] - found["A1"][0]) * 25.4 / 72 * scale
        self.assertAlmostEqual(across, 900, delta=60)  # labels stand beside their joints

    def test_drawings_are_well_formed_and_hold_every_pixel(self):
        for prop in PROPS:
            pixels = json.loads(panewalk("map", SITE, prop, "--as", "json"))
            for side in ("front", "back"):
                name = f"{prop}-{side}.svg"
                panewalk("sheet", SITE, prop, "--out", name, "--drawing", side)
                root = xml.parse(name).getroot()
                self.assertEqual(root.tag, SVG + "svg")
                self.assertIn(side.upper(), root.find(SVG + "title").text)
                drawing = root.findall(SVG + "g")[0]
                dots = drawing.findall(SVG + "circle")
                self.assertEqual(len(dots), len(pixels["pixels"]))
                texts = [text.text for text in drawing.iter(SVG + "text")]
                for ten in range(10, len(dots) + 1, 10):
                    self.assertIn(str(ten), texts)
                for label in drawing.iter(SVG + "text"):
                    self.assertTrue(0 < float(label.get("x")) < 184, label.text)
                splices = [text for text in texts if re.match(r"S\d+ ", text)]
                self.assertEqual(len(splices), pixels["hops"] + pixels["jumps"])

    def test_the_map_as_a_picture_is_the_front_drawing(self):
        panewalk("sheet", SITE, "slip-window", "--out", "front.svg", "--drawing", "front")
        with open("front.svg", encoding="utf-8") as file:
            self.assertEqual(file.read(), panewalk("map", SITE, "slip-window", "--as", "svg"))

    def test_an_older_sheet_is_replaced_and_nothing_else(self):
        said = panewalk("sheet", SITE, "slip-window", "--out", "again.html")
        self.assertEqual(said, "Sheet of slip-window written to again.html. Print it from a browser on "
                               "A4 or Letter, at 100 %.\n")
        panewalk("sheet", SITE, "door-ring", "--out", "again.html")
        with open("again.html", encoding="utf-8") as file:
            self.assertIn("<title>door-ring, workbench sheet</title>", file.read())
        with open("notes.html", "w", encoding="utf-8") as file:
            file.write("my notes")
        self.assertEqual(panewalk("sheet", SITE, "door-ring", "--out", "notes.html", status=1),
                         "notes.html: is there already, and is no sheet or drawing; give another name, "
                         "or remove it\n")
        with open("notes.html", encoding="utf-8") as file:
            self.assertEqual(file.read(), "my notes")

    def test_says_where_it_can_not_be_written(self):
        self.assertEqual(panewalk("sheet", SITE, "door-ring", "--out", "no/where.html", status=1),
                         "no/where.html: can't be written: there is no folder \"no\"\n")
        self.assertIn("is not a regular file",
                      panewalk("sheet", SITE, "door-ring", "--out", ".", status=1))
        self.assertIn("no prop is named \"dor-ring\"; did you mean \"door-ring\"?",
                      panewalk("sheet", SITE, "dor-ring", "--out", "x.html", status=2))
        self.assertIn("--out", panewalk("sheet", SITE, "door-ring", status=2))
        self.assertIn("--drawing", panewalk("sheet", SITE, "door-ring", "--out", "x.svg", "--drawing",
                                            "side", status=2))
        self.assertEqual([name for name in os.listdir() if name.startswith(("x.", "no"))
                          and not stat.S_ISDIR(os.stat(name).st_mode) and name != "notes.html"], [])


if __name__ == "__main__":
    main()
