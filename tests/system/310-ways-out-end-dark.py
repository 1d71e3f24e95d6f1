"""Every way out that a program can notice leaves the receivers dark and told of the end.

Expected: ANSI E1.31-2018 6.2.6, three packets with Stream_Terminated, and 6.2.5, a sequence number
that goes on by one in each universe; Art-Net 4, ArtDmx: Sequence 1 to 255, without the 0.
"""
import ctypes
import fcntl
import os
import platform
import pty
import resource
import signal
import struct
import subprocess
import termios
import time
import unittest

import tshark
import udp_recorder
from running import (PANEWALK, PATIENCE, Daemon, Program, Receiver, controller, main, make_site,
                     prop, show_end, wait_for)

LIBC = ctypes.CDLL(None)
SYS_TGKILL = {"x86_64": 234, "aarch64": 131}[platform.machine()]  # Linux, asm/unistd.h


def no_core_file():
    resource.setrlimit(resource.RLIMIT_CORE, (0, 0))


def takes_no_more(terminal):
    """Whether what nobody reads from the terminal has stopped growing."""
    def waiting():
        return struct.unpack("i", fcntl.ioctl(terminal, termios.FIONREAD, b"\0\0\0\0"))[0]
    before = waiting()
    time.sleep(1)
    return before > 1000 and waiting() == before


def take(terminal):
    """For a process that leads a session: the terminal is its own, and its loss is a SIGHUP."""
    return lambda: fcntl.ioctl(terminal, termios.TIOCSCTTY, 0)


class WaysOut(unittest.TestCase):
    def setUp(self):
        self.e131 = Receiver()
        self.artnet = Receiver()
        self.addCleanup(self.e131.close)
        self.addCleanup(self.artnet.close)
        # The double window takes no light in these tests: its universe is sent too, black.
        self.site = make_site(
            "site",
            [controller("bench", "e131", f"127.0.0.1:{self.e131.port}"),
             controller("yard", "artnet", f"127.0.0.1:{self.artnet.port}")],
            [prop("slip-window", "bench", 1), prop("loft-windows", "bench", 2),
             prop("gable-line", "yard", 10)])

    def everything(self):
        return self.e131.light() + self.artnet.light()

    def lit(self, universe):
        return lambda: any(not p.black for p in self.everything() if p.universe == universe)

    def serve_lit(self, **popen):
        daemon = Daemon(self.site, preexec_fn=popen.pop("preexec_fn", no_core_file), **popen)
        self.addCleanup(daemon.__exit__)
        daemon.light("slip-window", "gable-line")
        wait_for(self.lit(1), "universe 1 is lit")
        wait_for(self.lit(10), "Port-Address 10 is lit")
        # Enough for a sequence to show how it goes.
        wait_for(lambda: len(self.e131.light(1)) >= 20 and len(self.artnet.light(10)) >= 20,
                 "20 packets in each")
        return daemon

    def check_sequences(self):
        for universe in (1, 2):
            numbers = [p.sequence for p in self.e131.light(universe)]
            self.assertEqual([(a + 1) % 256 for a in numbers[:-1]], numbers[1:])
        numbers = [p.sequence for p in self.artnet.light(10)]
        self.assertNotIn(0, numbers)
        self.assertEqual([a % 255 + 1 for a in numbers[:-1]], numbers[1:])

    def check_farewell(self, universes=(1, 2), artnet=(10,)):
        """Black, then three terminated packets, then nothing; in Art-Net the black alone."""
        wait_for(lambda: all(sum(p.ended for p in self.e131.light(u)) >= 3 for u in universes),
                 "three terminated packets in each universe")
        self.e131.close()
        self.artnet.close()
        for universe in universes:
            packets = self.e131.light(universe)
            self.assertEqual([(p.ended, p.black) for p in packets[-4:]],
                             [(False, True), (True, True), (True, True), (True, True)], universe)
            self.assertFalse(any(p.ended for p in packets[:-3]))
        for address in artnet:
            self.assertTrue(self.artnet.light(address)[-1].black)
        self.check_sequences()

    def check_signal(self, number, expected):
        daemon = self.serve_lit()
        self.assertEqual(show_end(daemon.end(number)), expected)
        self.check_farewell()
        return daemon

    def test_interrupt(self):
        daemon = self.check_signal(signal.SIGINT, "exit 0")
        self.assertEqual(daemon.lines["out"][-1], "Dark, and the streams are ended.")
        self.assertEqual(daemon.err(), "")

    def test_terminate_and_what_another_decoder_says(self):
        self.check_signal(signal.SIGTERM, "exit 0")
        writer = udp_recorder.PcapWriter("end.pcap")
        for datagram in self.e131.datagrams:
            writer.write(datagram)
        writer.close()
        packets = [p for p in tshark.e131("end.pcap") if p["universe"] == 1]
        # Table 6-3: bit 6 of the options.
        self.assertEqual([p["options"] for p in packets[-4:]], [0, 0x40, 0x40, 0x40])
        self.assertEqual(tshark.complaints("end.pcap"), [])

    def test_abort(self):
        self.check_signal(signal.SIGABRT, "SIGABRT")

    def test_segmentation_fault(self):
        self.check_signal(signal.SIGSEGV, "SIGSEGV")

    def test_a_crash_of_each_thread(self):
        for which in (0, 1, 2):
            with self.subTest(thread=which):
                daemon = self.serve_lit()
                threads = sorted(int(name) for name in os.listdir(f"/proc/{daemon.pid}/task"))
                self.assertEqual(len(threads), 3, "that control, stream and listen")
                start = len(self.e131.datagrams)
                LIBC.syscall(SYS_TGKILL, daemon.pid, threads[which], int(signal.SIGSEGV))
                self.assertEqual(show_end(daemon.end()), "SIGSEGV")
                for universe in (1, 2):
                    wait_for(lambda u=universe: sum(
                        p.ended for p in self.e131.light(u, start)) == 3, "three terminated")
                    self.assertEqual([(p.ended, p.black) for p in
                                      self.e131.light(universe, start)[-4:]],
                                     [(False, True), (True, True), (True, True), (True, True)])
                self.assertTrue(self.artnet.light(10)[-1].black)

    def test_impatient_interrupts(self):
        daemon = self.serve_lit()
        while daemon.process.poll() is None:
            daemon.signal(signal.SIGINT)
        self.check_farewell()
        self.assertEqual(show_end(daemon.end()), "exit 0")

    def test_quit_from_the_keyboard(self):
        self.check_signal(signal.SIGQUIT, "exit 0")

    def test_terminal_is_lost_and_input_came_from_elsewhere(self):
        ours, theirs = pty.openpty()
        daemon = self.serve_lit(preexec_fn=take(theirs))
        os.close(theirs)
        os.close(ours)
        self.assertEqual(show_end(daemon.end()), "exit 0")
        self.check_farewell()

    def test_terminate_while_the_terminal_takes_no_more(self):
        ours, theirs = pty.openpty()
        self.addCleanup(os.close, ours)
        light = subprocess.Popen(
            [PANEWALK, "light", self.site, "slip-window", "chase"], stdin=theirs, stdout=theirs,
            stderr=theirs, preexec_fn=take(theirs), start_new_session=True)
        self.addCleanup(light.wait)
        self.addCleanup(light.kill)
        os.close(theirs)
        wait_for(self.lit(1), "universe 1 is lit")
        wait_for(lambda: takes_no_more(ours), "its output is held up")
        light.terminate()
        self.assertEqual(show_end(light.wait(timeout=PATIENCE)), "exit 0")
        self.check_farewell()

    def test_terminal_of_serve_is_lost(self):
        ours, theirs = pty.openpty()
        daemon = self.serve_lit(stdin=theirs, preexec_fn=take(theirs))
        os.close(theirs)
        os.close(ours)
        self.assertEqual(show_end(daemon.end()), "exit 0")
        self.check_farewell()

    def test_terminal_of_light_is_lost_with_all_its_output(self):
        ours, theirs = pty.openpty()
        light = subprocess.Popen(
            [PANEWALK, "light", self.site, "slip-window", "chase"], stdin=theirs, stdout=theirs,
            stderr=theirs, preexec_fn=take(theirs), start_new_session=True)
        self.addCleanup(light.kill)
        os.close(theirs)
        shown = b""
        while b"\x1b[" not in shown or not self.lit(1)():
            shown += os.read(ours, 65536)
        os.close(ours)
        self.assertEqual(show_end(light.wait(timeout=PATIENCE)), "exit 0")
        self.check_farewell()

    def test_reader_of_light_goes_away(self):
        with subprocess.Popen(
                ["bash", "-c",
                 '"$0" light "$1" slip-window chase | head -1; echo "${PIPESTATUS[0]}"', PANEWALK,
                 self.site],
                stdout=subprocess.PIPE, stdin=subprocess.DEVNULL, text=True) as shell:
            self.addCleanup(shell.kill)
            out, _ = shell.communicate(timeout=PATIENCE)
        self.assertEqual(out, "slip-window: West window over the slipway, four panes\n0\n")
        self.check_farewell()

    def test_time_of_light_is_over(self):
        with Program("light", self.site, "slip-window", "chase", "--seconds", "1") as light:
            self.assertEqual(show_end(light.end()), "exit 0")
        self.assertEqual(light.lines["out"][-1], "Dark, and the streams are ended.")
        self.assertTrue(self.lit(1)())
        self.check_farewell()

    def test_dark_is_black_and_kept_alive(self):
        daemon = self.serve_lit()
        self.assertEqual(daemon.post("/api/dark"), {"asked": "dark"})
        wait_for(lambda: daemon.get("/api/light")["mode"] == "dark", "the mode is dark")
        wait_for(lambda: self.e131.light(1)[-1].black and self.artnet.light(10)[-1].black, "black")
        from_here = len(self.e131.datagrams), len(self.artnet.datagrams)
        # E1.31-2018 6.7.1: a receiver takes 2.5 s without a packet for the end.
        wait_for(lambda: len(self.e131.light(1, from_here[0])) >= 6 and
                 len(self.artnet.light(10, from_here[1])) >= 6, "six more packets")
        kept = self.e131.light(1, from_here[0]) + self.artnet.light(10, from_here[1])
        self.assertTrue(all(p.black and not p.ended for p in kept))
        for packets in (self.e131.light(1), self.artnet.light(10)):
            gaps = [(b.time - a.time) / 1e9 for a, b in zip(packets, packets[1:])]
            self.assertLess(max(gaps), 2.5)
        daemon.light("slip-window")
        wait_for(lambda: not self.e131.light(1)[-1].black, "it lights again")
        self.assertEqual(show_end(daemon.end(signal.SIGTERM)), "exit 0")
        self.check_farewell()

    def test_release_is_silent_until_light_is_asked_for(self):
        daemon = self.serve_lit()
        self.assertEqual(daemon.post("/api/release"), {"asked": "release"})
        wait_for(lambda: all(sum(p.ended for p in self.e131.light(u)) == 3 for u in (1, 2)),
                 "three terminated packets in each universe")
        wait_for(lambda: daemon.get("/api/light")["mode"] == "silent", "the mode is silent")
        for universe in (1, 2):
            self.assertEqual([(p.ended, p.black) for p in self.e131.light(universe)[-4:]],
                             [(False, True), (True, True), (True, True), (True, True)])
        self.assertTrue(self.artnet.light(10)[-1].black)
        before = len(self.everything())
        # More than two times the 1 s in which a kept universe is heard at the latest.
        with self.assertRaises(AssertionError):
            wait_for(lambda: len(self.everything()) > before, "silence", seconds=2.5)
        daemon.light("gable-line", pattern="colour-roll")
        wait_for(lambda: not self.artnet.light(10)[-1].black, "it lights again")
        self.check_sequences()
        self.assertEqual(show_end(daemon.end(signal.SIGINT)), "exit 0")

    def test_nothing_is_said_at_the_end_where_nothing_was_lit(self):
        with Daemon(self.site) as daemon:
            self.assertEqual(show_end(daemon.end(signal.SIGTERM)), "exit 0")
        self.assertEqual(self.everything(), [])


if __name__ == "__main__":
    main()
