"""Another network namespace at the other end of veth cables, for tests that run in one of their own."""
import contextlib
import ctypes
import dataclasses
import os
import socket
import subprocess

from packet_tap import PacketTap
from running import Receiver, wait_for

CLONE_NEWNET = 0x40000000  # Linux, linux/sched.h; Python has it from 3.12 on
ETH_P_IP = 0x0800
LIBC = ctypes.CDLL(None, use_errno=True)


def ip(*arguments, inside=()):
    subprocess.run([*inside, "ip", *arguments], check=True)


class FarNetwork:
    """Where the controllers stand."""

    def __init__(self):
        self.holder = subprocess.Popen(["unshare", "--net", "sleep", "600"])
        self.inside = ["nsenter", "--net", "--target", str(self.holder.pid)]
        wait_for(lambda: os.readlink(f"/proc/{self.holder.pid}/ns/net") !=
                 os.readlink("/proc/self/ns/net"), "the other namespace")

    def connect(self, card, address, far_card, far_address):
        """A card here and one there, joined by a cable."""
        ip("link", "add", card, "type", "veth", "peer", "name", far_card, "netns",
           str(self.holder.pid))
        self.bring_up(card, address, far_card, far_address)

    def bring_up(self, card, address, far_card, far_address):
        ip("address", "add", f"{address}/24", "brd", "+", "dev", card)
        ip("link", "set", card, "up")
        ip("address", "add", f"{far_address}/24", "dev", far_card, inside=self.inside)
        ip("link", "set", far_card, "up", inside=self.inside)

    @contextlib.contextmanager
    def entered(self):
        """A socket belongs to the namespace in which it was made."""
        ours = os.open("/proc/self/ns/net", os.O_RDONLY)
        theirs = os.open(f"/proc/{self.holder.pid}/ns/net", os.O_RDONLY)
        try:
            if LIBC.setns(theirs, CLONE_NEWNET) != 0:
                raise OSError(ctypes.get_errno(), "setns")
            yield
        finally:
            LIBC.setns(ours, CLONE_NEWNET)
            os.close(ours)
            os.close(theirs)

    def receiver(self, address, port=0):
        with self.entered():
            return Receiver(port, address)

    def tap(self, card):
        with self.entered():
            return Tap(card)

    def close(self):
        self.holder.kill()
        self.holder.wait()


@dataclasses.dataclass(frozen=True)
class Packet:
    """RFC 791 and RFC 768."""

    service: int
    hops: int
    source: str
    to: str
    port: int
    payload: bytes


class Tap(PacketTap):
    """Every UDP packet that comes in by a card, with its header."""

    def __init__(self, card):
        self.packets = []
        packets = socket.socket(socket.AF_PACKET, socket.SOCK_DGRAM, socket.htons(ETH_P_IP))
        packets.bind((card, ETH_P_IP))
        super().__init__(packets)

    def take(self, packet):
        header = (packet[0] & 15) * 4
        if packet[9] != socket.IPPROTO_UDP:
            return
        self.packets.append(Packet(
            packet[1], packet[8], socket.inet_ntoa(packet[12:16]), socket.inet_ntoa(packet[16:20]),
            int.from_bytes(packet[header + 2:header + 4], "big"), packet[header + 8:]))

    def to(self, address, start=0):
        return [p for p in self.packets[start:] if p.to == address]
