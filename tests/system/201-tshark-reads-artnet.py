"""What the program sends over Art-Net, as tshark reads it: a dissector that we did not write.

Expected: Art-Net 4, ArtDmx; every octet but the levels is also compared with that table here.
"""
import json
import os
import shutil
import statistics
import unittest

import tshark
from running import SOURCE, Program, main
from udp_recorder import Recording

SITE = os.path.join(SOURCE, "config", "boathouse.json")
PORT = 6454  # 0x1936
UNIVERSES = [10, 11, 12]  # of controller "yard" in the demo: gable-line, eaves-line (two of them)
SLOTS = 512

SAME_IN_EVERY_PACKET = {
    "artnet.header.id": "Art-Net",
    "artnet.header.opcode": "0x5000",  # OpDmx, on the wire low byte first
    "artnet.header.protver": "14",
    "artnet.output.physical": "0",
    "artnet.output.length": str(SLOTS),  # even, 2 to 512
    "udp.dstport": str(PORT),
    "udp.length": str(8 + 18 + SLOTS),
    "ip.dst": "127.0.0.1",  # ArtDmx is unicast
}
PER_PACKET = ["frame.time_epoch", "artnet.output.universe", "artnet.output.sequence", "udp.payload"]


def number(text):
    """tshark writes some fields in base 16, some in base 10."""
    try:
        return int(text, 0)
    except ValueError:
        return text


def record(name, site, prop, pattern, seconds):
    """Lights the prop for so long; returns the recording's path."""
    path = name + ".pcap"
    with Recording(path, port=PORT, bind="0.0.0.0", seconds=250) as recording:
        with Program("light", site, prop, pattern, "--seconds", str(seconds)) as light:
            status = light.end(seconds=seconds + 60)
    if status != 0 or light.err():
        raise AssertionError(f"light ended with {status}: {light.err()}")
    if {datagram.destination for datagram in recording.datagrams()} != {("127.0.0.1", PORT)}:
        raise AssertionError("something was sent elsewhere than to the controller's address")
    return path


def milliseconds(row):
    return float(row["frame.time_epoch"]) * 1000


def slots(row):
    return bytes.fromhex(row["udp.payload"])[18:]


class TsharkReadsArtNet(unittest.TestCase):
    maxDiff = None

    def check_stream(self, path):
        """The packets by Port-Address."""
        self.assertEqual(tshark.complaints(path), [])
        fields = list(SAME_IN_EVERY_PACKET)
        wanted = {name: number(value) for name, value in SAME_IN_EVERY_PACKET.items()}
        everything = tshark.rows(path, fields + PER_PACKET)
        by_universe = {}
        for row in everything:
            self.assertEqual({name: number(row[name]) for name in fields}, wanted)
            universe = number(row["artnet.output.universe"])
            by_universe.setdefault(universe, []).append(row)
            # ID, OpCode, ProtVer, Sequence, Physical, SubUni, Net, Length high byte first.
            self.assertEqual(row["udp.payload"][:36],
                             "4172742d4e657400" "0050" "000e" +
                             f"{number(row['artnet.output.sequence']):02x}" "00"
                             f"{universe:02x}" "00" "0200")
        self.assertEqual(sorted(by_universe), UNIVERSES)
        for universe, stream in by_universe.items():
            self.check_sequence(universe, stream)
            self.assertEqual(slots(stream[-1]), bytes(SLOTS), universe)  # ends dark
        return by_universe

    def check_sequence(self, universe, stream):
        """From 1 to 255 and on with 1, of each Port-Address for itself: 0 means "not used"."""
        found = [number(row["artnet.output.sequence"]) for row in stream]
        first = found[0]
        self.assertTrue(1 <= first <= 255)
        self.assertEqual(found, [(first - 1 + i) % 255 + 1 for i in range(len(found))], universe)

    def lit_channels(self, stream):
        """The numbers, from 1, of all channels that ever were lit."""
        return {i + 1 for row in stream for i, level in enumerate(slots(row)) if level}

    def test_chase_on_the_gable(self):
        """1 null comes first, so pixel 1 is at channels 4 to 6."""
        by_universe = self.check_stream(record("gable", SITE, "gable-line", "chase", 3))
        self.assertEqual(min(self.lit_channels(by_universe[10])), 4)
        for universe in (11, 12):
            self.assertEqual(self.lit_channels(by_universe[universe]), set(), universe)

    def test_white_on_the_eaves_fills_both_universes(self):
        """200 RGB pixels and no gap: 600 channels, 512 of Port-Address 11 and 88 of 12."""
        by_universe = self.check_stream(record("eaves", SITE, "eaves-line", "load-step", 2))
        self.assertEqual(self.lit_channels(by_universe[11]), set(range(1, 513)))
        self.assertEqual(self.lit_channels(by_universe[12]), set(range(1, 89)))
        self.assertEqual(self.lit_channels(by_universe[10]), set())

    def test_unchanged_picture(self):
        """Unchanged levels are repeated every 800 to 1000 ms, as Art-Net 4 recommends."""
        by_universe = self.check_stream(record("corners", SITE, "gable-line", "corner-check", 7))
        for universe, stream in by_universe.items():
            dark_end = len(stream)
            while dark_end > 1 and not any(slots(stream[dark_end - 1])) and universe == 10:
                dark_end -= 1
            running = stream[:dark_end] if universe == 10 else stream[:-4]
            repeats = 0
            gaps = []
            for before, row in zip(running, running[1:]):
                if slots(row) != slots(before):
                    self.assertEqual(gaps, [], "the corners stand still once they are lit")
                    repeats = 0
                    continue
                gap = milliseconds(row) - milliseconds(before)
                if gaps or gap > 400:
                    self.assertLessEqual(repeats, 3, universe)
                    gaps.append(gap)
                else:
                    repeats += 1
                    self.assertLessEqual(repeats, 3, universe)
            # The slack is for a busy machine: one packet late makes two gaps wrong.
            self.assertGreaterEqual(len(gaps), 4, universe)
            self.assertTrue(800 <= statistics.median(gaps) <= 1000, (universe, gaps))
            for gap in gaps:
                self.assertTrue(700 <= gap <= 1100, (universe, gaps))

    def test_sequence_goes_round(self):
        """The same with a controller that wants every frame: more than 255 packets a universe."""
        shutil.copytree(os.path.join(SOURCE, "config"), "often")
        with open("often/boathouse.json", encoding="utf-8") as file:
            site = json.load(file)
        for controller in site["controllers"]:
            controller["repeat"] = "every frame"
        with open("often/boathouse.json", "w", encoding="utf-8") as file:
            json.dump(site, file)
        path = record("often", "often/boathouse.json", "eaves-line", "chase", 8)
        for stream in self.check_stream(path).values():
            self.assertGreater(len(stream), 255)


if __name__ == "__main__":
    main()
