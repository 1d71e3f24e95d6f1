"""What the program sends over E1.31, as tshark reads it: a dissector that we did not write.

Expected: ANSI E1.31-2018, Tables 5-4, 4-1 and 4-3, and the clauses named below. tshark 4.0 does not
decode universe discovery, so that packet is compared octet by octet with Table 4-3.
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
UNIVERSES = [1, 2, 3]  # of controller "bench" in the demo: slip-window, loft-windows, door-ring
GROUP = "239.255.250.214"  # universe 64214, Table 9-10 and Appendix A
TERMINATED = 0x40  # 6.2.6
SLOTS = 512

# What must stand in every data packet with 512 slots. PDU lengths from outside in: root, framing, DMP.
SAME_IN_EVERY_PACKET = {
    "acn.preamble_size": "16",  # 5.1
    "acn.postamble_size": "0",  # 5.2
    "acn.packet_identifier": "ASC-E1.17",  # 5.3; the octets are in check_discovery
    "acn.pdu.length": "622,600,523",  # 5.4, 6.1, 7.1: 110, 88 and 11 more than the slots
    "acn.pdu.flags": "0x70,0x70,0x70",
    "acn.protocol_id": "0x00000004",  # 5.5
    "acn.dmx_vector": "0x00000002",  # 6.2.1
    "acn.dmx.source_name": "Panewalk boathouse",
    "acn.dmx.priority": "100",  # 6.2.3: the default
    "acn.dmx.reserved": "0",  # 6.2.4: not synchronized
    "acn.dmp_vector": "0x02",  # 7.2
    "acn.dmx.first_property_address": "0x0000",  # 7.4
    "acn.dmx.increment": "1",  # 7.5
    "acn.dmx.count": "513",  # 7.6: START code and slots
    "acn.dmx.start_code2": "0x00",  # 7.7
    "udp.dstport": "5568",  # 9.1.1
    "udp.length": "646",  # 8 + 126 + 512
    "ip.dst": "127.0.0.1",
}
DMP_TYPE = ["acn.dmp_adt_v", "acn.dmp_adt_r", "acn.dmp_adt_d", "acn.dmp_adt_x", "acn.dmp_adt_a"]
PER_PACKET = ["frame.time_epoch", "acn.cid", "acn.dmx.universe", "acn.dmx.seq_number",
              "acn.dmx.options", "udp.srcport", "udp.payload"]


def number(text):
    """tshark writes some fields in base 16, some in base 10."""
    try:
        return int(text, 0)
    except ValueError:
        return text


def record(name, site, pattern, seconds):
    """Lights slip-window for so long; returns the recording's path."""
    path = name + ".pcap"
    with Recording(path, port=5568, bind="0.0.0.0", join=[GROUP], seconds=250):
        with Program("light", site, "slip-window", pattern, "--seconds", str(seconds)) as light:
            status = light.end(seconds=seconds + 60)
    if status != 0 or light.err():
        raise AssertionError(f"light ended with {status}: {light.err()}")
    return path


def streams(path):
    """The data packets by universe."""
    found = {}
    for row in tshark.rows(path, PER_PACKET, "acn.dmx.universe"):
        found.setdefault(int(row["acn.dmx.universe"]), []).append(row)
    return found


def milliseconds(row):
    return float(row["frame.time_epoch"]) * 1000


def slots(row):
    return bytes.fromhex(row["udp.payload"])[tshark.E131_DATA_HEADER:]


def is_terminated(row):
    return int(row["acn.dmx.options"], 0) == TERMINATED


class TsharkReadsE131(unittest.TestCase):
    maxDiff = None

    def check_stream(self, path):
        self.assertEqual(tshark.complaints(path), [])
        fields = list(SAME_IN_EVERY_PACKET)
        wanted = {name: number(value) for name, value in SAME_IN_EVERY_PACKET.items()}
        packets = tshark.rows(path, fields + DMP_TYPE, "acn.dmx.universe")
        for row in packets:
            self.assertEqual({name: number(row[name]) for name in fields}, wanted)
            # 7.3: 0xa1, split as V, R, D, X and A.
            self.assertEqual([number(row[name]) for name in DMP_TYPE], [1, 0, 2, 0, 1])
        by_universe = streams(path)
        self.assertEqual(sorted(by_universe), UNIVERSES)
        self.assertEqual(len({row["acn.cid"] for row in packets_of(by_universe)}), 1)
        self.assertEqual(len({row["udp.srcport"] for row in packets_of(by_universe)}), 1)
        for universe, stream in by_universe.items():
            self.check_sequence(universe, stream)
            self.check_end(universe, stream)
        return by_universe

    def check_sequence(self, universe, stream):
        """6.2.5: one more from packet to packet of a universe, modulo 256, to the very end."""
        found = [int(row["acn.dmx.seq_number"]) for row in stream]
        first = found[0]
        self.assertEqual(found, [(first + i) % 256 for i in range(len(found))], universe)

    def check_end(self, universe, stream):
        """6.2.6: three packets with Stream_Terminated; before them, black. None earlier."""
        self.assertEqual([int(row["acn.dmx.options"], 0) for row in stream],
                         [0] * (len(stream) - 3) + [TERMINATED] * 3, universe)
        for row in stream[-4:]:
            self.assertEqual(slots(row), bytes(SLOTS), universe)

    def check_other_universes_stay_black(self, by_universe):
        for universe in (2, 3):
            for row in by_universe[universe]:
                self.assertEqual(slots(row), bytes(SLOTS))

    def test_chase(self):
        path = record("chase", SITE, "chase", 3)
        by_universe = self.check_stream(path)
        self.check_other_universes_stay_black(by_universe)
        lit = [slots(row) for row in by_universe[1]]
        self.assertTrue(any(any(levels) for levels in lit))
        for levels in lit:
            self.assertEqual(levels[189:], bytes(SLOTS - 189))  # 63 pixels of 3 channels
        self.check_discovery(path)

    def check_discovery(self, path):
        """12: by multicast; 4.3: within the first interval. Table 4-3, every octet."""
        cid = {row["acn.cid"] for row in tshark.rows(path, ["acn.cid"], "acn.dmx.universe")}.pop()
        rows = tshark.rows(path, ["ip.dst", "udp.dstport", "udp.payload"],
                           "udp.payload[40:4] == 00:00:00:02 && udp.payload[18:4] == 00:00:00:08")
        self.assertEqual(len(rows), 1)
        self.assertEqual((rows[0]["ip.dst"], rows[0]["udp.dstport"]), (GROUP, "5568"))
        self.assertEqual(rows[0]["udp.payload"], (
            "0010" "0000" "4153432d45312e3137000000"  # preamble, postamble, packet identifier
            "706e" "00000008" + cid.replace("-", "") +  # 126 octets less 16; extended; CID
            "7058" "00000002" + b"Panewalk boathouse".hex() + "00" * 46 +  # framing, source name
            "00000000"  # reserved
            "700e" "00000001" "00" "00"  # list layer of 14 octets; page 0 of 0
            "000100020003"))  # ascending

    def test_unchanged_picture(self):
        """6.6.2: three packets with unchanged values, then one every 800 to 1000 ms."""
        by_universe = self.check_stream(record("corners", SITE, "corner-check", 7))
        self.check_other_universes_stay_black(by_universe)
        for universe, stream in by_universe.items():
            running = stream[:-4]
            repeats = 0
            gaps = []
            for before, row in zip(running, running[1:]):
                if slots(row) != slots(before):
                    self.assertEqual(gaps, [], "the corners stand still once they are lit")
                    repeats = 0
                    continue
                gap = milliseconds(row) - milliseconds(before)
                if gaps or gap > 400:
                    self.assertEqual(repeats, 3, universe)
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
        """The same with a controller that wants every frame: more than 256 packets a universe."""
        shutil.copytree(os.path.join(SOURCE, "config"), "often")
        with open("often/boathouse.json", encoding="utf-8") as file:
            site = json.load(file)
        for controller in site["controllers"]:
            controller["repeat"] = "every frame"
        with open("often/boathouse.json", "w", encoding="utf-8") as file:
            json.dump(site, file)
        by_universe = self.check_stream(record("often", "often/boathouse.json", "chase", 8))
        for stream in by_universe.values():
            self.assertGreater(len(stream), 256)


def packets_of(by_universe):
    return [row for stream in by_universe.values() for row in stream]


if __name__ == "__main__":
    main()
