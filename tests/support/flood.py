#!/usr/bin/env python3
"""flood.py HOST SECONDS RATE [UNICAST]: hostile packets at a daemon's ports 5568 and 6454, RATE a second.

In turn: E1.31 data of ever new sources to universe 1, ArtDmx and ArtPollReply of ever new names to HOST,
cut and random datagrams. UNICAST sends the data to HOST too and not to its group. Prints "on", then how many
were sent.
"""
import os
import random
import socket
import sys
import time

PART = 50  # packets between two looks at the clock
E131, ARTNET = 5568, 6454
ROOT = b"\0\x10\0\0ASC-E1.17\0\0\0\x72\x6e\0\0\0\4"  # ANSI E1.31-2018 Table 4-1
FRAME = b"\x72\x58\0\0\0\2" + b"flood".ljust(64, b"\0") + b"\xc8\0\0"
LEVELS = b"\x72\x0b\2\xa1\0\0\0\1\2\1\0" + bytes(512)


def data(number):
    return ROOT + os.urandom(16) + FRAME + bytes([number & 255, 0, 0, 1]) + LEVELS


def poll_reply():
    """Art-Net 4, ArtPollReply."""
    return (b"Art-Net\0\x00\x21" + os.urandom(4) + b"\x36\x19" + bytes(10) + os.urandom(18 + 64 + 64) +
            b"\x00\x01\x80" + bytes(64))


def packets(number, group, host, dice):
    """(payload, where to), a kind in turn."""
    kind = number % 5
    if kind == 0:
        return data(number), (group, E131)
    if kind == 1:
        return b"Art-Net\0\0\x50\0\x0e" + os.urandom(4) + b"\2\0" + bytes(512), (host, ARTNET)
    if kind == 2:
        return poll_reply(), (host, ARTNET)
    if kind == 3:
        whole = data(number)
        return whole[:dice.randrange(len(whole))], (host, E131)
    return os.urandom(dice.randrange(600)), (host, dice.choice((E131, ARTNET)))


def main():
    host, seconds, rate = sys.argv[1], float(sys.argv[2]), float(sys.argv[3])
    group = host if sys.argv[4:] else "239.255.0.1"
    made = socket.socket(socket.AF_INET, socket.SOCK_DGRAM)
    dice = random.Random(5568)
    print("on", flush=True)
    begin, sent = time.monotonic(), 0
    while time.monotonic() - begin < seconds:
        for _ in range(PART):
            payload, to = packets(sent, group, host, dice)
            try:
                made.sendto(payload, to)
            except OSError:  # refused, or the link is down
                pass
            sent += 1
        time.sleep(max(0, begin + sent / rate - time.monotonic()))
    print(sent, flush=True)


if __name__ == "__main__":
    main()
