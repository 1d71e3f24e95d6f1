"""Every pixel of every prop of the demo, one by one and colour by colour, as the npm packages `sacn` and
`dmxnet` receive it: exactly the channels that `map --as json` names are lit, and no other.

The map gives the first channel of a pixel; which of its channels is which colour is typed here from the
prop files. All props are stepped together by hand; every packet on the way is looked at, so a channel
that is lit for a single frame is seen too.
"""
import json
import os
import shutil
import subprocess
import sys
import threading
import time
import unittest

from running import PANEWALK, PATIENCE, SOURCE, Daemon, main, wait_for

PEERS = os.path.join(SOURCE, "tests", "peers")

# prop: the order of the channels of one pixel, the channels used of a universe, the pixels.
PROPS = {
    "slip-window": ("GRB", 510, 63),
    "loft-windows": ("RGB", 510, 126),
    "door-ring": ("GRBW", 512, 28),
    "gable-line": ("RGB", 512, 48),
    "eaves-line": ("RGB", 512, 200),
}
PORTS = {"e131": 5568, "artnet": 6454}
UNIVERSES = {"e131": [1, 2, 3], "artnet": [10, 11, 12]}

# From the drawings, so that the map is not its own witness: (prop, pixel): universe, channel.
ANCHORS = {
    ("slip-window", 1): (1, 1), ("slip-window", 63): (1, 187),
    ("loft-windows", 126): (2, 376),
    ("door-ring", 28): (3, 109),  # 27 pixels of 4 channels before it
    ("gable-line", 1): (10, 4),  # after 1 null
    ("gable-line", 27): (10, 82),
    ("gable-line", 28): (10, 88),  # after the spare
    ("eaves-line", 171): (11, 511),  # 511, 512 and, in the next universe, 1
    ("eaves-line", 172): (12, 2),
    ("eaves-line", 200): (12, 86),
}


class Peer:
    """A receiver of tests/peers; keeps what is lit in each packet as {channel: level} by universe."""

    def __init__(self, kind):
        self.lit = {universe: [] for universe in UNIVERSES[kind]}
        self.wrong = []
        self.process = subprocess.Popen(
            ["node", os.path.join(PEERS, f"receive_{kind}.mjs"), "--port", str(PORTS[kind]),
             "--universes", ",".join(map(str, UNIVERSES[kind])), "--seconds", "280"],
            stdout=subprocess.PIPE, text=True)
        self.process.stdout.readline()  # listening
        self.thread = threading.Thread(target=self._read, daemon=True)
        self.thread.start()

    def _read(self):
        for text in self.process.stdout:
            line = json.loads(text)
            if "slots" not in line:
                self.wrong.append(line)
                continue
            self.lit[line["universe"]].append(
                frozenset(i + 1 for i, level in enumerate(line["slots"]) if level))

    def close(self):
        self.process.terminate()
        self.process.wait(timeout=PATIENCE)
        self.thread.join()
        self.process.stdout.close()


def chips(colour, order):
    """Places in the pixel of the chips that a pure colour lights; white lights W alone if there is one."""
    if colour == "white":
        return [order.index("W")] if "W" in order else [order.index(chip) for chip in "RGB"]
    return [order.index(colour[0].upper())]


def make_site():
    """The demo, with a pattern for each colour that waits at each pixel for the next step."""
    shutil.copytree(os.path.join(SOURCE, "config"), "site")
    for colour in ("red", "green", "blue", "white"):
        with open(f"site/patterns/lone-{colour}.json", "w", encoding="utf-8") as file:
            json.dump({"pattern": f"lone-{colour}", "purpose": "One pixel by one",
                       "look_for": f"A single pixel, {colour}.",
                       "steps": [{"one_by_one": "pixels", "colour": colour,
                                  "hold": "until confirmed"}]}, file)
    return "site/boathouse.json"


class NpmReceiversAgree(unittest.TestCase):
    maxDiff = None

    def setUp(self):
        self.site = make_site()
        self.maps = {}
        for name, (_, _, count) in PROPS.items():
            text = subprocess.run([PANEWALK, "map", self.site, name, "--as", "json"], check=True,
                                  capture_output=True, text=True, timeout=60).stdout
            self.maps[name] = {pixel["index"]: (pixel["universe"], pixel["channel"])
                               for pixel in json.loads(text)["pixels"]}
            self.assertEqual(len(self.maps[name]), count)
        for (name, index), place in ANCHORS.items():
            self.assertEqual(self.maps[name][index], place, (name, index))

        self.peers = [Peer(kind) for kind in PORTS]
        for peer in self.peers:
            self.addCleanup(peer.close)
        self.lit = {universe: heard for peer in self.peers for universe, heard in peer.lit.items()}
        self.looked_at = dict.fromkeys(self.lit, 0)
        self.before = dict.fromkeys(self.lit, frozenset())

    def predicted(self, pixel, colour):
        """By universe: the channels that the map says are lit. After its last pixel a prop begins anew."""
        lit = {universe: set() for universe in self.lit}
        for name, (order, usable, count) in PROPS.items():
            universe, channel = self.maps[name][(pixel - 1) % count + 1]
            for chip in chips(colour, order):
                over, at = divmod(channel - 1 + chip, usable)
                lit[universe + over].add(at + 1)
        return {universe: frozenset(channels) for universe, channels in lit.items()}

    def arrive(self, expected, what):
        """Waits until every universe shows it; on the way only the picture before may be seen."""
        end = time.monotonic() + PATIENCE
        for universe, heard in self.lit.items():
            while True:
                seen = heard[self.looked_at[universe]:]
                self.looked_at[universe] += len(seen)
                for picture in seen:
                    if picture not in (self.before[universe], expected[universe]):
                        self.fail(f"{what}: universe {universe} has lit {sorted(picture)}, before "
                                  f"{sorted(self.before[universe])}, the map says "
                                  f"{sorted(expected[universe])}")
                if heard and heard[-1] == expected[universe]:
                    break
                if time.monotonic() > end:
                    self.fail(f"{what}: universe {universe} still shows "
                              f"{sorted(heard[-1]) if heard else 'nothing'}, the map says "
                              f"{sorted(expected[universe])}")
                time.sleep(0.001)
        self.before = expected

    def test_every_pixel_in_every_colour(self):
        nothing = dict.fromkeys(self.lit, frozenset())
        started = time.monotonic()
        most = max(count for _, _, count in PROPS.values())
        pictures = 0
        with Daemon(self.site) as daemon:
            for colour in ("white", "red", "green", "blue"):
                daemon.light(*PROPS, pattern=f"lone-{colour}", level=1)
                for pixel in range(1, most + 1):
                    if pixel > 1:
                        daemon.post("/api/step", {"go": "next"})
                    self.arrive(self.predicted(pixel, colour), f"{colour} pixel {pixel}")
                    pictures += 1
                # A new pattern would rise while the last one falls; from black it only rises.
                daemon.post("/api/dark")
                self.arrive(nothing, f"dark after {colour}")
            daemon.post("/api/release")
            self.assertEqual(daemon.end(15), 0)
        for peer in self.peers:
            self.assertEqual(peer.wrong, [])  # nothing corrupt or out of order
        print(f"{pictures} pictures of {len(PROPS)} props in {time.monotonic() - started:.1f} s",
              file=sys.stderr)


if __name__ == "__main__":
    main()
