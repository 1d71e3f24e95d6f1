"""`panewalk scan` while somebody sends it whatever may do harm: it ends in time, still tells who sends the
site's universe, and nothing off the wire reaches the terminal as more than text."""
import json
import random
import resource
import struct
import subprocess
import sys
import time
import unittest

from running import PANEWALK, PATIENCE, controller, main, make_site, processor_seconds, prop
from yards import Yard

SECONDS = 4
SEED = 461
MOST_MEMORY = 64  # MiB
NASTY = "\x1b]0;owned\x07\x1b[2J\x9b31m\r\n‮"  # title, clear, C1 CSI, a new line, right to left


def discovery(cid, name, universes, page=0, last_page=0):
    """E1.31-2018 Table 4-3."""
    size = 120 + 2 * len(universes)
    return (struct.pack("!HH12sHI16sHI64sIHIBB", 0x10, 0, b"ASC-E1.17", 0x7000 | size - 16, 8, cid,
                        0x7000 | size - 38, 2, name, 0, 0x7000 | size - 112, 1, page, last_page) +
            b"".join(number.to_bytes(2, "big") for number in universes))


def data(cid, name, universe, sequence, priority=100):
    """E1.31-2018 Table 4-1, 512 slots."""
    return (struct.pack("!HH12sHI16sHI64sBHBBHHBBHHH", 0x10, 0, b"ASC-E1.17", 0x7000 | 622, 4, cid,
                        0x7000 | 600, 2, name, priority, 0, sequence, 0, universe, 0x7000 | 523, 2,
                        0xa1, 0, 1, 513) + bytes(513))


def poll_reply(name):
    """Art-Net 4, ArtPollReply, with one output."""
    return (b"Art-Net\0\x00\x21" + bytes((10, 79, 1, 2)) + b"\x36\x19" + bytes(10) +
            name[:17].ljust(18, b"\0") + name[:63].ljust(64, b"\0") + name[:63].ljust(64, b"\0") +
            b"\x00\x01\x80" + bytes(64))


def art_dmx(address, sequence):
    return b"Art-Net\0\x00\x50\x00\x0e" + struct.pack("!BB", sequence, 0) + struct.pack(
        "<H", address) + struct.pack("!H", 512) + bytes(512)


class Hostile(unittest.TestCase):
    def setUp(self):
        self.yard = Yard("bench", 1)
        self.addCleanup(self.yard.close)
        self.site = make_site("site", [controller("bench", "e131", self.yard.there)],
                              [prop("slip-window", "bench", 1)])
        self.socket = self.yard.sender()
        self.addCleanup(self.socket.close)
        self.asked = self.yard.sender()
        self.addCleanup(self.asked.close)
        self.asked.bind(("", 6454))
        self.asked.settimeout(PATIENCE)
        self.sequence = 0

    def send(self, packet, port=5568, to=None):
        self.socket.sendto(packet, (to or self.yard.here, port))

    def desk(self):
        """One packet of the source that must not be lost sight of."""
        self.send(data(bytes(15) + b"\1", b"desk of the ferry", 1, self.sequence, 150),
                  to="239.255.0.1")
        self.sequence = (self.sequence + 1) % 256

    def scan(self, send, form="json"):
        """What it prints while `send` gives packets, ten of the desk's beside them."""
        process = subprocess.Popen([PANEWALK, "scan", self.site, "--seconds", str(SECONDS), "--as",
                                    form], stdout=subprocess.PIPE, stderr=subprocess.PIPE)
        try:
            began = time.monotonic()
            self.asked.recv(64)  # its first question: by now it hears
            for _ in range(10):
                self.desk()
            for port, packet in send:
                self.send(packet, port)
            used = processor_seconds(process.pid)
            out, errors = process.communicate(timeout=60)
            took = time.monotonic() - began
        finally:
            process.kill()
            process.wait()
        print(f"{self.id().rpartition('.')[2]}: {used:.2f} s of a core at the flood's end, "
              f"{took:.1f} s in all", file=sys.stderr)
        self.assertEqual((process.returncode, errors), (0, b""))
        self.assertLess(took, PATIENCE)
        return out.decode()

    def check_desk(self, told):
        self.assertTrue(SECONDS <= told["listened_s"] < SECONDS + 1, told["listened_s"])
        taken = [f["what"] for f in told["findings"] if f["kind"] == "taken"]
        self.assertEqual(taken[0], "\"desk of the ferry\" at 10.79.1.2 sends universe 1 of controller "
                                   "bench too by bench. It wins: its priority is 150, the site's 100.")

    def test_names_that_would_rule_the_terminal(self):
        name = NASTY.encode()
        packets = [(5568, discovery(bytes(15) + b"\2", name, [1, 2, 3])),
                   (5568, data(bytes(15) + b"\2", name, 1, 0)),
                   (5568, data(bytes(15) + b"\3", b"\xff\xfe" * 32, 1, 0)),  # no NUL, not UTF-8
                   (6454, poll_reply(name)), (6454, poll_reply(b"\x9b\x1b" * 32))]
        text = self.scan(packets, "text")
        self.assertEqual([c for c in text if (ord(c) < 32 and c != "\n") or 127 <= ord(c) < 160 or
                          0x2028 <= ord(c) <= 0x202e], [])
        self.assertIn("\\u001b", text)
        self.assertNotIn("\nowned", text)

    def test_damaged_packets(self):
        good = [(5568, data(bytes(15) + b"\4", b"punt shed", 1, 0)),
                (5568, discovery(bytes(15) + b"\4", b"punt shed", [1, 2])),
                (6454, art_dmx(1, 1)), (6454, poll_reply(b"node")),
                (6454, b"Art-Net\0\x00\x20\x00\x0e\x00\x00")]
        packets = []
        for port, packet in good:
            packets += [(port, packet[:size]) for size in range(0, len(packet), 7)]
            for at in range(0, min(len(packet), 130)):
                packets.append((port, packet[:at] + b"\xff" + packet[at + 1:]))
            packets.append((port, packet + bytes(1400)))
            packets.append((port, bytes(8000)))
        told = json.loads(self.scan(packets))
        self.check_desk(told)
        # Not every change does harm: a name or a CID may be anything.
        self.assertGreater(sum(each["packets"] for each in told["strangers"]), 300)

    def test_two_thousand_random_datagrams(self):
        dice = random.Random(SEED)
        heads = {5568: data(bytes(16), b"", 1, 0)[:16], 6454: b"Art-Net\0"}
        packets = []
        for _ in range(2000):
            port = dice.choice((5568, 6454))
            head = heads[port] if dice.random() < 0.5 else b""
            packets.append((port, head + dice.randbytes(dice.randrange(0, 700))))
        self.check_desk(json.loads(self.scan(packets)))

    def test_discovery_of_everything_by_many(self):
        packets = []
        for number in range(400):
            cid = number.to_bytes(16, "big")[:-1] + b"\xee"
            for page in range(4):
                first = 1 + (number % 30) * 2048 + page * 512
                packets.append((5568, discovery(cid, f"source {number}".encode(),
                                                range(first, first + 512), page, 3)))
        told = json.loads(self.scan(packets))
        self.check_desk(told)
        self.assertLessEqual(len(told["asked"]["groups"]), 256)
        self.assertIn(1, told["asked"]["groups"])
        self.assertLessEqual(len(told["e131_sources"]), 256)

    def test_a_flood_of_twenty_thousand_streams(self):
        packets = [(5568, data(number.to_bytes(16, "big"), b"flood", 1 + number % 63999, 0))
                   for number in range(1000, 11000)]
        packets += [(6454, art_dmx(number % 32768, 1)) for number in range(10000)]
        self.check_desk(json.loads(self.scan(packets)))
        peak = resource.getrusage(resource.RUSAGE_CHILDREN).ru_maxrss / 1024
        print(f"at most {peak:.0f} MiB", file=sys.stderr)
        self.assertLess(peak, MOST_MEMORY)


if __name__ == "__main__":
    main()
