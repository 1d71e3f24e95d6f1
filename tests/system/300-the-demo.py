"""`panewalk demo`: the first thing that somebody runs. It must end well and reach no
real controller.
"""
import os
import socket
import struct
import unittest

from packet_tap import PacketTap
from running import PATIENCE, SOURCE, Program, main, wait_for

ETH_P_ALL = 3  # linux/if_ether.h


class EveryPacket(PacketTap):
    """The destination of every UDP packet in this namespace, whatever its address."""

    def __init__(self):
        self.ports = []
        super().__init__(
            socket.socket(socket.AF_PACKET, socket.SOCK_DGRAM, socket.htons(ETH_P_ALL)))

    def take(self, packet):
        header = (packet[0] & 15) * 4
        # RFC 791: protocol in octet 9; RFC 768: destination port in octets 2 and 3.
        if packet[0] >> 4 == 4 and packet[9] == socket.IPPROTO_UDP:
            self.ports.append(struct.unpack_from("!H", packet, header + 2)[0])


class Demo(unittest.TestCase):
    def test_every_pixel_agrees_and_nothing_leaves(self):
        wire = EveryPacket()
        self.addCleanup(wire.close)
        site = os.path.join(SOURCE, "config", "boathouse.json")
        with Program("demo", site, "slip-window") as demo:
            status = demo.end(seconds=4 * PATIENCE)
        self.assertEqual(status, 0)
        self.assertEqual(demo.err(), "")
        # 63 pictures of the chase, 1 of the corners, 1 of the cross, 4 panes.
        self.assertEqual(
            demo.lines["out"][-2:],
            ["Verdict: every pixel lit where the map says, in all 69 pictures.",
             "Dark, and the streams are ended."])
        # The control: the same eye sees the packets to the practice receivers, and these.
        with socket.socket(socket.AF_INET, socket.SOCK_DGRAM) as sender:
            sender.sendto(b"5568", ("127.0.0.1", 5568))
            sender.sendto(b"6454", ("127.0.0.1", 6454))
        wait_for(lambda: {5568, 6454} <= set(wire.ports), "the packets of the test are seen")
        # On loopback each packet is seen twice: as it goes out and as it comes in.
        self.assertEqual([wire.ports.count(port) for port in (5568, 6454)], [2, 2])
        self.assertGreater(len(wire.ports), 69)


if __name__ == "__main__":
    main()
