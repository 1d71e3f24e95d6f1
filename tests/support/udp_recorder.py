#!/usr/bin/env python3
"""Records UDP datagrams in a pcap file that tshark reads. It needs no right to capture.

As a program:
  udp_recorder.py --out FILE [--port P] [--bind ADDRESS] [--join GROUP]… [--seconds S] [--count N]
                  [--room OCTETS]

Port 0, the default, is a free one; the first line printed is {"listening": port}. It ends by SIGTERM
or SIGINT, after S seconds or N datagrams, and then prints {"recorded": n}.

In a test:
  with Recording("out.pcap") as recording: …send to recording.port…
  for datagram in read_pcap("out.pcap"): …
"""
import argparse
import dataclasses
import json
import os
import select
import signal
import socket
import struct
import subprocess
import sys
import time

MAGIC_NANOSECONDS = 0xA1B23C4D
LINKTYPE_RAW_IP = 101
SO_TIMESTAMPNS = 35  # Linux, asm-generic/socket.h; Python has no name for these two
SO_RCVBUFFORCE = 33
IP_PKTINFO = 8  # Linux, linux/in.h


@dataclasses.dataclass(frozen=True)
class Datagram:
    """One datagram; the time is in nanoseconds since 1970, by the kernel's stamp at its arrival."""

    time: int
    source: tuple
    destination: tuple
    payload: bytes


class PcapWriter:
    """Writes datagrams as raw IPv4 packets with nanosecond stamps."""

    def __init__(self, path):
        self.file = open(path, "wb")
        self.file.write(struct.pack("=IHHiIII", MAGIC_NANOSECONDS, 2, 4, 0, 0, 65535, LINKTYPE_RAW_IP))

    def write(self, datagram):
        """Adds one datagram; its UDP checksum is left 0, which IPv4 allows (RFC 768)."""
        (source, source_port), (destination, destination_port) = datagram.source, datagram.destination
        payload = datagram.payload
        length = 28 + len(payload)
        ip_header = struct.pack(
            "!BBHHHBBH4s4s", 0x45, 0, length, 0, 0, 64, socket.IPPROTO_UDP, 0,
            socket.inet_aton(source), socket.inet_aton(destination))
        udp_header = struct.pack("!HHHH", source_port, destination_port, 8 + len(payload), 0)
        seconds, fraction = divmod(datagram.time, 1_000_000_000)
        self.file.write(struct.pack("=IIII", seconds, fraction, length, length))
        self.file.write(ip_header + udp_header + payload)

    def close(self):
        self.file.close()


def read_pcap(path):
    """Reads what PcapWriter wrote."""
    with open(path, "rb") as file:
        data = file.read()
    magic, linktype = struct.unpack_from("=I16xI", data)
    if magic != MAGIC_NANOSECONDS or linktype != LINKTYPE_RAW_IP:
        raise ValueError(f"{path} is not a recording of udp_recorder.py")
    datagrams = []
    at = 24
    while at < len(data):
        seconds, fraction, length = struct.unpack_from("=III", data, at)
        packet = data[at + 16:at + 16 + length]
        source_port, destination_port = struct.unpack_from("!HH", packet, 20)
        datagrams.append(Datagram(
            seconds * 1_000_000_000 + fraction,
            (socket.inet_ntoa(packet[12:16]), source_port),
            (socket.inet_ntoa(packet[16:20]), destination_port),
            packet[28:]))
        at += 16 + length
    return datagrams


def open_socket(address, port, groups, room=0):
    """A bound socket whose datagrams carry the time and place of their arrival. `room` is octets for
    what waits, beyond what the system gives; only root of the network namespace may ask for it."""
    listener = socket.socket(socket.AF_INET, socket.SOCK_DGRAM)
    listener.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
    listener.setsockopt(socket.SOL_SOCKET, socket.SO_RCVBUF, 8 << 20)
    if room:
        listener.setsockopt(socket.SOL_SOCKET, SO_RCVBUFFORCE, room)
    listener.setsockopt(socket.SOL_SOCKET, SO_TIMESTAMPNS, 1)
    listener.setsockopt(socket.IPPROTO_IP, IP_PKTINFO, 1)
    listener.bind((address, port))
    for group in groups:
        listener.setsockopt(
            socket.IPPROTO_IP, socket.IP_ADD_MEMBERSHIP,
            socket.inet_aton(group) + socket.inet_aton("127.0.0.1"))
    return listener


def receive(listener):
    """One datagram that has arrived already."""
    payload, notes, _, source = listener.recvmsg(65535, 256)
    stamp, destination = time.time_ns(), listener.getsockname()[0]
    for level, kind, data in notes:
        if (level, kind) == (socket.SOL_SOCKET, SO_TIMESTAMPNS):
            seconds, fraction = struct.unpack("=qq", data[:16])
            stamp = seconds * 1_000_000_000 + fraction
        elif (level, kind) == (socket.IPPROTO_IP, IP_PKTINFO):
            destination = socket.inet_ntoa(data[8:12])
    return Datagram(stamp, source, (destination, listener.getsockname()[1]), payload)


class Recording:
    """Records in a process of its own until the `with` block ends."""

    def __init__(self, path, port=0, bind="127.0.0.1", join=(), seconds=60, room=0, inside=()):
        command = [*inside, sys.executable, os.path.abspath(__file__), "--out", path, "--port",
                   str(port), "--bind", bind, "--seconds", str(seconds), "--room", str(room)]
        for group in join:
            command += ["--join", group]
        self.path = path
        self.process = subprocess.Popen(command, stdout=subprocess.PIPE, text=True)
        first = self.process.stdout.readline()
        if not first:
            raise RuntimeError(f"udp_recorder.py did not start on {bind}:{port}")
        self.port = json.loads(first)["listening"]

    def __enter__(self):
        return self

    def __exit__(self, *_):
        self.stop()

    def stop(self):
        """Ends the recording; what had arrived by now is in the file."""
        self.process.send_signal(signal.SIGTERM)
        self.process.communicate(timeout=60)

    def datagrams(self):
        """What was recorded; only once it has ended."""
        return read_pcap(self.path)


def main():
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("--out", required=True)
    parser.add_argument("--port", type=int, default=0)
    parser.add_argument("--bind", default="127.0.0.1")
    parser.add_argument("--join", action="append", default=[])
    parser.add_argument("--seconds", type=float, default=60)
    parser.add_argument("--count", type=int)
    parser.add_argument("--room", type=int, default=0)
    options = parser.parse_args()

    # A signal writes into this pipe, so that the wait below ends and nothing is lost half-way.
    wake_read, wake_write = os.pipe()
    os.set_blocking(wake_write, False)
    signal.set_wakeup_fd(wake_write)
    for number in (signal.SIGTERM, signal.SIGINT):
        signal.signal(number, lambda *_: None)

    listener = open_socket(options.bind, options.port, options.join, options.room)
    writer = PcapWriter(options.out)
    print(json.dumps({"listening": listener.getsockname()[1]}), flush=True)
    end = time.monotonic() + options.seconds
    recorded = 0
    ending = False
    while options.count is None or recorded < options.count:
        wait = 0 if ending else max(0.0, end - time.monotonic())
        ready, _, _ = select.select([listener] if ending else [listener, wake_read], [], [], wait)
        if listener in ready:
            writer.write(receive(listener))
            recorded += 1
        elif ending or not ready:
            break
        else:
            ending = True  # take what has arrived already, then stop
    writer.close()
    print(json.dumps({"recorded": recorded}), flush=True)


if __name__ == "__main__":
    main()
