"""Controllers that are synchronized hold a frame until all of it is there: the packets that say so.

One cable to another network namespace, house (10.79.0.1/24) to yard (10.79.0.2). Layouts: ANSI
E1.31-2018 Table 4-2; Art-Net 4, ArtSync (OpSync 0x5200, broadcast).
"""
import signal
import subprocess
import unittest

from far_network import FarNetwork
from running import Daemon, controller, main, make_site, prop, wait_for

SYNC = 7962  # 0x1f1a, so group 239.255.31.26 (Table 9-10)
ROOT_DATA, ROOT_EXTENDED = 4, 8
ART_DMX, ART_SYNC = 0x5000, 0x5200


def kind(packet):
    """"data 1", "sync 7962 #3", "dmx 10", "ArtSync" or "other", from the published offsets."""
    data = packet.payload
    if data[:8] == b"Art-Net\0":
        code = int.from_bytes(data[8:10], "little")
        if code == ART_SYNC:
            assert data == b"Art-Net\0\x00\x52\x00\x0e\0\0", data
            return "ArtSync"
        return f"dmx {data[14] + 256 * data[15]}" if code == ART_DMX else "other"
    if data[4:16] != b"ASC-E1.17\0\0\0":
        return "other"
    root = int.from_bytes(data[18:22], "big")
    if root == ROOT_DATA:
        return f"data {int.from_bytes(data[113:115], 'big')}"
    if root == ROOT_EXTENDED and data[40:44] == b"\0\0\0\1":
        assert len(data) == 49 and data[16:18] == b"\x70\x21" and data[38:40] == b"\x70\x0b", data
        assert data[47:49] == b"\0\0", data
        return f"sync {int.from_bytes(data[45:47], 'big')} #{data[44]}"
    return "other"


class Synchronization(unittest.TestCase):
    def setUp(self):
        self.far = FarNetwork()
        self.addCleanup(self.far.close)
        self.far.connect("house", "10.79.0.1", "yard", "10.79.0.2")
        self.addCleanup(subprocess.run, ["ip", "link", "delete", "house"], check=False,
                        stderr=subprocess.DEVNULL)
        subprocess.run([*self.far.inside, "ip", "address", "add", "10.79.0.3/24", "dev", "yard"],
                       check=True)
        # Receivers that take what comes, so that no ICMP error answers.
        for port in (5568, 6454):
            receiver = self.far.receiver("0.0.0.0", port)
            self.addCleanup(receiver.close)
        self.tap = self.far.tap("yard")
        self.addCleanup(self.tap.close)

    def stream(self, controllers):
        """Lit, then ended by a signal; the kinds of packets in the order in which they came."""
        site = make_site("site", controllers, [prop("slip-window", "left", 1),
                                               prop("gable-line", "right", 10)])
        daemon = Daemon(site)
        self.addCleanup(daemon.__exit__)
        daemon.light("slip-window", "gable-line")
        wait_for(lambda: daemon.get("/api/light")["frames"] > 60, "60 frames")
        self.assertEqual(daemon.end(signal.SIGTERM), 0)
        self.assertEqual(daemon.err(), "")
        wait_for(lambda: self.is_quiet(), "the last packet")
        return [packet for packet in self.tap.packets if kind(packet) != "other"]

    def is_quiet(self):
        before = len(self.tap.packets)
        try:
            wait_for(lambda: len(self.tap.packets) > before, "another", 0.3)
        except AssertionError:
            return True
        return False

    def check_every_packet_is_shown(self, packets, is_sync):
        """Behind the last levels, and no two of them without levels between."""
        self.assertFalse(is_sync(packets[0]))
        self.assertTrue(is_sync(packets[-1]))
        levels = 0
        shown = 0
        for before, packet in zip([None, *packets], packets):
            if not is_sync(packet):
                levels += 1
            elif before is None or not is_sync(before):
                shown += 1
        self.assertGreater(shown, 20)
        self.assertGreaterEqual(levels, shown)

    def test_e131_by_unicast(self):
        packets = self.stream([controller("left", "e131", "10.79.0.2", sync=SYNC),
                               controller("right", "e131", "10.79.0.3", sync=SYNC)])
        for address in ("10.79.0.2", "10.79.0.3"):
            kinds = [kind(p) for p in packets if p.to == address]
            numbers = [int(k.rpartition("#")[2]) for k in kinds if k.startswith("sync 7962 #")]
            self.assertEqual(numbers, [(numbers[0] + i) % 256 for i in range(len(numbers))])
            self.check_every_packet_is_shown([p for p in packets if p.to == address],
                                             lambda p: kind(p).startswith("sync"))
        data = [p.payload for p in packets if kind(p).startswith("data")]
        # 6.2.4; 6.2.6: Force_Synchronization, so that darkness comes even where these get lost.
        self.assertEqual({int.from_bytes(d[109:111], "big") for d in data}, {SYNC})
        self.assertEqual({d[112] & 0x20 for d in data}, {0x20})

    def test_e131_by_multicast(self):
        packets = self.stream([controller("left", "e131", "multicast", sync=SYNC, interface="house"),
                               controller("right", "e131", "multicast", interface="house")])
        self.assertEqual({p.to for p in packets if kind(p).startswith("sync")}, {"239.255.31.26"})
        self.check_every_packet_is_shown([p for p in packets if kind(p) != "data 10"],
                                         lambda p: kind(p).startswith("sync"))
        free = [p.payload for p in packets if kind(p) == "data 10"]
        self.assertEqual({(d[109:111], d[112] & 0x20) for d in free}, {(b"\0\0", 0)})

    def test_artnet_by_one_broadcast_for_all(self):
        packets = self.stream([controller("left", "artnet", "10.79.0.2", sync="broadcast"),
                               controller("right", "artnet", "10.79.0.3", sync="broadcast")])
        syncs = [p for p in packets if kind(p) == "ArtSync"]
        self.assertEqual({(p.to, p.port) for p in syncs}, {("10.79.0.255", 6454)})
        self.assertEqual({p.to for p in packets if kind(p).startswith("dmx")},
                         {"10.79.0.2", "10.79.0.3"})
        self.check_every_packet_is_shown(packets, lambda p: kind(p) == "ArtSync")
        kinds = [kind(p) for p in packets]
        twice = [i for i, k in enumerate(kinds[1:], 1) if k == kinds[i - 1] == "ArtSync"]
        self.assertEqual(twice, [], "one for both controllers")


if __name__ == "__main__":
    main()
