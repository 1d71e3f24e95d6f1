"""1000 universes from one daemon, as tshark and the npm package `sacn` read them: every universe is
there, its sequence has no gap, it is sent often enough and not too often, and every slot is right.

Clauses are of ANSI E1.31-2018. tshark does not know when a packet came late; that is looked at
here, with room for a busy machine.
"""
import json
import os
import signal
import socket
import subprocess
import threading
import time
import unittest

import tshark
from large_site import lines, make_large_site
from running import SOURCE, Daemon, main, wait_for
from udp_recorder import Recording, read_pcap

UNIVERSES, CONTROLLERS = 1000, 32
ADDRESSES = [f"127.0.1.{i + 1}" for i in range(CONTROLLERS)]
MULTICAST = ["multicast"] * CONTROLLERS
PORT = 5568  # 9.1.1
SLOTS = 510
ROOM = 256 << 20
STANDS = 3  # seconds of an unchanged picture
SAMPLES = (1, 170, 500, 1000)  # for npm
GROUPS_A_SOCKET = 20  # net.ipv4.igmp_max_memberships
TERMINATED = 0x40  # 6.2.6
MOST_A_SECOND = 44  # 6.6.1: the refresh rate of DMX512-A with all slots
LONGEST_GAP = 1.0  # 6.6.2: an unchanged universe every 800 to 1000 ms


def group_of(universe):
    """Table 9-10."""
    return f"239.255.{universe >> 8}.{universe & 255}"


def data_of(path):
    """What universe discovery sends is left out: the daemon itself may have joined its group."""
    return [datagram for datagram in read_pcap(path)
            if datagram.payload[18:22] == b"\0\0\0\x04"]  # 5.5


def join_all():
    """A socket that is bound to every address hears the groups that any socket here has joined."""
    sockets = []
    for universe in range(1, UNIVERSES + 1):
        if (universe - 1) % GROUPS_A_SOCKET == 0:
            sockets.append(socket.socket(socket.AF_INET, socket.SOCK_DGRAM))
        sockets[-1].setsockopt(
            socket.IPPROTO_IP, socket.IP_ADD_MEMBERSHIP,
            socket.inet_aton(group_of(universe)) + socket.inet_aton("127.0.0.1"))
    return sockets


def pictures():
    """What each universe shows: red, green, blue in turn from the first pixel of its line on."""
    colours = [b"\xff\0\0", b"\0\xff\0", b"\0\0\xff"]
    expected = {}
    for _, first, count in lines(UNIVERSES, CONTROLLERS):
        for place in range(count):
            expected[first + place] = b"".join(colours[(place * 170 + i) % 3] for i in range(170))
    return expected


class NpmReceiver:
    """The last slots of some universes, as `sacn` has them; and what it complains of."""

    def __init__(self):
        script = os.path.join(SOURCE, "tests", "peers", "receive_e131.mjs")
        self.process = subprocess.Popen(
            ["node", script, "--port", str(PORT), "--universes", ",".join(map(str, SAMPLES)),
             "--seconds", "250"], stdout=subprocess.PIPE, text=True)
        self.slots, self.wrong = {}, []
        self.process.stdout.readline()
        self.thread = threading.Thread(target=self._read, daemon=True)
        self.thread.start()

    def _read(self):
        for line in self.process.stdout:
            told = json.loads(line)
            if "slots" in told:
                self.slots[told["universe"]] = bytes(told["slots"])
            else:
                self.wrong.append(told)

    def close(self):
        self.process.terminate()
        self.process.wait()
        self.thread.join()
        self.process.stdout.close()


class StreamAtSize(unittest.TestCase):
    maxDiff = None

    def stream(self, path, addresses):
        site, names = make_large_site("site", addresses, UNIVERSES)
        with Recording(path, port=PORT, bind="0.0.0.0", seconds=250, room=ROOM) as recording:
            with Daemon(site) as daemon:
                daemon.light(*names, pattern="thirds", level=1)
                wait_for(lambda: daemon.get("/api/light")["mode"] == "lit", "lit")
                time.sleep(STANDS)  # what is looked at is the time itself
                daemon.post("/api/release")
                wait_for(lambda: daemon.get("/api/light")["mode"] == "silent", "silent")
                told = daemon.get("/api/light")
                self.assertEqual(daemon.end(signal.SIGTERM), 0)
        self.assertTrue(recording)
        return told

    def check(self, path):
        """Returns the data packets by universe."""
        self.assertEqual(tshark.complaints(path), [])
        times = [datagram.time for datagram in data_of(path)]
        packets = tshark.e131(path)
        self.assertEqual(len(packets), len(times))
        streams = {}
        for packet, when in zip(packets, times):
            streams.setdefault(packet["universe"], []).append({**packet, "time": when / 1e9})
        self.assertEqual(sorted(streams), list(range(1, UNIVERSES + 1)))
        expected = pictures()
        for universe, stream in streams.items():
            self.check_stream(universe, stream, expected[universe])
        self.check_pace(streams)
        return streams

    def check_stream(self, universe, stream, expected):
        """6.2.5 and 6.2.6: the sequence to the very end; three terminated packets, all black."""
        numbers = [packet["sequence"] for packet in stream]
        self.assertEqual(numbers, [(numbers[0] + i) % 256 for i in range(len(numbers))], universe)
        options = [packet["options"] for packet in stream]
        self.assertEqual(options, [0] * (len(stream) - 3) + [TERMINATED] * 3, universe)
        pictures_sent = [packet["slots"] for packet in stream]
        self.assertEqual(pictures_sent[-4:], [bytes(SLOTS)] * 4, universe)
        self.assertEqual(pictures_sent[-5], expected, universe)
        # 6.6.2: the picture that stands is repeated three times, then kept alive.
        self.assertGreaterEqual(pictures_sent.count(expected), 4 + STANDS - 1, universe)

    def check_pace(self, streams):
        longest = []
        for universe, stream in streams.items():
            times = [packet["time"] for packet in stream]
            longest.append(max(after - before for before, after in zip(times, times[1:])))
            for first, last in zip(times, times[MOST_A_SECOND:]):
                self.assertGreaterEqual(last - first, 1, universe)
        longest.sort()
        self.assertLessEqual(longest[len(longest) // 2], LONGEST_GAP)
        self.assertLessEqual(longest[-1], LONGEST_GAP + 0.5)  # 6.7.1: lost after 2.5 s

    def test_unicast(self):
        told = self.stream("unicast.pcap", ADDRESSES)
        streams = self.check("unicast.pcap")
        self.assertEqual({controller["errors"] for controller in told["controllers"]}, {0})
        to = {datagram.destination[0] for datagram in data_of("unicast.pcap")}
        self.assertEqual(to, set(ADDRESSES))
        print(f"unicast: {sum(map(len, streams.values()))} packets")

    def test_multicast(self):
        for one in join_all():
            self.addCleanup(one.close)
        told = self.stream("multicast.pcap", MULTICAST)
        streams = self.check("multicast.pcap")
        self.assertEqual({controller["errors"] for controller in told["controllers"]}, {0})
        for datagram in data_of("multicast.pcap"):
            self.assertEqual(datagram.destination[0],
                             group_of(int.from_bytes(datagram.payload[113:115], "big")))
        print(f"multicast: {sum(map(len, streams.values()))} packets")

    def test_npm_hears_its_universes(self):
        """Nobody else joins here: it would hear their groups too, and it is slow."""
        expected = {sample: pictures()[sample] for sample in SAMPLES}
        site, names = make_large_site("site", MULTICAST, UNIVERSES)
        npm = NpmReceiver()
        self.addCleanup(npm.close)
        with Daemon(site) as daemon:
            daemon.light(*names, pattern="thirds", level=1)
            wait_for(lambda: npm.slots == expected, "the samples at npm sacn")
            self.assertEqual(daemon.end(signal.SIGTERM), 0)
        self.assertEqual(npm.wrong, [])


if __name__ == "__main__":
    main()
