"""A builder for tests of `panewalk find`: knows the map of a prop and what is wrong with it, and
answers what is asked.

What a prop shows is worked out here, from the map, the files of the demo site and the table of
faults, not by the program that is tested.
"""
import copy
import json
import os
import subprocess

from running import PANEWALK, PATIENCE, SOURCE

SITE = os.path.join(SOURCE, "config", "boathouse.json")
NAMES = {(0, 0, 0): "dark", (1, 0, 0): "red", (0, 1, 0): "green", (0, 0, 1): "blue",
         (1, 1, 1): "white", (1, 1, 0): "yellow", (0, 1, 1): "cyan", (1, 0, 1): "magenta"}


def read_json(*path):
    with open(os.path.join(SOURCE, *path), encoding="utf-8") as file:
        return json.load(file)


class Wired:
    """A prop as it hangs: which station each chip of the chain sits at, and how it is fed."""

    def __init__(self, name):
        printed = subprocess.run([PANEWALK, "map", SITE, name, "--as", "json"], check=True,
                                 capture_output=True, text=True).stdout
        self.pixels = json.loads(printed)["pixels"]
        file = read_json("config", "props", f"{name}.json")
        placed = next(placed for placed in read_json("config", "boathouse.json")["props"]
                      if placed["file"] == f"props/{name}.json")
        self.name = name
        self.null_count = placed.get("nulls", 0)
        self.told = self.order = file["pixel"]["order"]
        self.spares = {spare["after"]: spare["count"]
                       for spare in file["wiring"].get("spares", [])}
        self.chain = [None] * self.null_count
        for pixel in self.pixels:
            self.chain += [pixel["station"]] + [None] * self.spares.get(pixel["index"], 0)
        self.place = {pixel["station"]: (pixel["x_mm"], pixel["y_mm"]) for pixel in self.pixels}
        self.first = 0  # channels that the chain begins later
        self.reached = self.driven = len(self.chain)
        self.dark = set()
        self.lead_at = name

    def station(self, index):
        return self.pixels[index - 1]["station"]

    def chip(self, index):
        """Of the sound chain."""
        spares = sum(count for after, count in self.spares.items() if after < index)
        return self.null_count + index - 1 + spares

    def with_fault(self, fault, value):
        wired = copy.deepcopy(self)
        getattr(wired, fault.replace("-", "_"))(value)
        return wired

    def none(self, _):
        pass

    def data_open(self, value):
        self.reached = self.chip(int(value)) + 1

    def pixel_dark(self, value):
        self.dark.add(self.station(int(value)))

    def colour_order(self, value):
        self.order = value

    def mirrored(self, _):
        ends = [x for x, _ in self.place.values()]
        def across(station):
            x, y = self.place[station]
            return min(self.place, key=lambda other: abs(self.place[other][0] - (
                min(ends) + max(ends) - x)) + abs(self.place[other][1] - y))
        self.chain = [station and across(station) for station in self.chain]

    def run_reversed(self, value):
        of_run = [pixel["index"] for pixel in self.pixels if pixel["run"] == int(value)]
        first, last = self.chip(of_run[0]), self.chip(of_run[-1])
        self.chain[first:last + 1] = reversed(self.chain[first:last + 1])

    def pixel_extra(self, value):
        self.chain.insert(self.chip(int(value)) + 1, None)

    def pixel_skipped(self, value):
        del self.chain[self.chip(int(value))]

    def nulls(self, value):
        self.chain[:self.null_count] = [None] * int(value)

    def start_channel(self, value):
        self.first = int(value)

    def no_response(self, _):
        self.reached = 0

    def leads_exchanged(self, value):
        self.lead_at = value

    def count_short(self, value):
        self.driven = int(value)

    def lights(self, channels):
        """What each station shows, as levels by the letters of the order; `channels` are those of
        the prop, from its first one on."""
        shown = {}
        for chip, station in enumerate(self.chain):
            if station is None or station in self.dark or self.lead_at != self.name:
                continue
            if chip >= min(self.reached, self.driven):
                continue
            at = self.first + chip * len(self.order)
            levels = [channels[i] if 0 <= i < len(channels) else 0
                      for i in range(at, at + len(self.order))]
            shown[station] = dict(zip(self.order, levels))
        return shown

    def packed(self, frame):
        """The channels that carry a frame: each chip's levels in the order of the description."""
        return [dict(zip("RGBW", levels))[letter] for levels in frame for letter in self.told]


def name_of(levels):
    """The colour as it is called; a white chip outshines the others."""
    if levels.get("W", 0) > 0:
        return "white"
    return NAMES[tuple(int(levels[letter] > 0) for letter in "RGB")]


def is_lit(levels):
    return any(levels.values())


class Builder:
    """Answers as somebody would who sees the prop and makes no mistake."""

    def __init__(self, sound, wired):
        self.sound = sound
        self.wired = wired

    def answer(self, question):
        frames = [self.wired.packed(frame) for frame in question["frames"]]
        return self.say(question, [self.wired.lights(channels) for channels in frames],
                        [self.sound.lights(channels) for channels in frames])

    def say(self, question, shown, drawn):
        """`shown` has what is seen and `drawn` what should be, a picture."""
        return getattr(self, question["ask"].replace("-", "_"))(question, shown, drawn)

    def lit(self, shown):
        return {station for picture in shown for station, levels in picture.items()
                if is_lit(levels)}

    def same(self, _, shown, drawn):
        dark = dict.fromkeys("RGBW", 0)
        def seen(pictures, station):
            return [{**dark, **picture.get(station, dark)} for picture in pictures]
        return "yes" if all(seen(shown, station) == seen(drawn, station)
                            for station in self.sound.place) else "no"

    def where(self, _, shown, __):
        return sorted(self.lit(shown))

    def other(self, *_):
        return "none" if self.wired.lead_at == self.wired.name else self.wired.lead_at

    def last_lit(self, _, shown, __):
        lit = self.lit(shown)
        indices = [pixel["index"] for pixel in self.sound.pixels if pixel["station"] in lit]
        if not indices:
            return "none"
        if indices[-1] == len(self.sound.pixels):
            return "all"
        return self.sound.station(indices[-1])

    def colours(self, question, shown, _):
        dark = dict.fromkeys("RGB", 0)
        return [name_of(picture.get(question["station"], dark)) for picture in shown]

    def hold(self, *_):
        return "dark"


class Find:
    """`panewalk find --json` as another program uses it."""

    def __init__(self, *arguments, site=SITE):
        self.process = subprocess.Popen(
            [PANEWALK, "find", site, *arguments, "--json"], stdin=subprocess.PIPE,
            stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True, start_new_session=True)

    def hear(self):
        """The next line, as it is said; None at the end."""
        line = self.process.stdout.readline()
        return json.loads(line) if line else None

    def say(self, answer):
        self.say_line(json.dumps({"answer": answer}))

    def say_line(self, line):
        self.process.stdin.write(line + "\n")
        self.process.stdin.flush()

    def questions(self, builder):
        """(the finding, the questions) with such a builder."""
        questions = []
        while True:
            said = self.hear()
            if said is None:
                raise AssertionError(f"no finding: {self.end()}")
            if "finding" in said:
                return said, questions
            questions.append(said)
            self.say(builder.answer(said))

    def search(self, builder):
        """The same, to the program's end."""
        found = self.questions(builder)
        end = self.end()
        if end != (0, "", ""):
            raise AssertionError(f"it did not end well: {end}")
        return found

    def end(self, number=None):
        """(status, rest of the output, errors)"""
        if number is not None:
            self.process.send_signal(number)
        out, err = self.process.communicate(timeout=PATIENCE)
        return self.process.returncode, out, err

    def __enter__(self):
        return self

    def __exit__(self, *_):
        if self.process.poll() is None:
            self.process.kill()
            self.process.wait()
        for pipe in (self.process.stdin, self.process.stdout, self.process.stderr):
            try:
                pipe.close()
            except BrokenPipeError:
                pass  # an answer that nobody took
