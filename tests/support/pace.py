"""Whether the frames of a universe that is sent every frame came at their times."""

PERIOD = 25  # milliseconds: 40 frames a second
WAY = 2  # milliseconds that a packet may take to its receiver's stamp


def gaps_of(packets):
    """Milliseconds between packets that follow each other."""
    return [(after.time - before.time) / 1e6 for before, after in zip(packets, packets[1:])]


def frames_not_sent(packets):
    """A frame that is late comes at once and the next in time again, so that only whole periods count."""
    return sum(max(0, int((gap - WAY) // PERIOD) - 1) for gap in gaps_of(packets))


def check_pace(test, packets, missed, sequence=True, most=1 / 8):
    """`missed` is what the daemon told of these frames: each one that did not come, and no burst after it.
    `most` is the share that may be missing where the machine has other things to do."""
    test.assertGreater(len(packets), 40)
    test.assertLessEqual(missed, most * (len(packets) + missed))
    test.assertLessEqual(frames_not_sent(packets), missed, max(gaps_of(packets)))
    passed = (packets[-1].time - packets[0].time) / 1e6
    # A burst that makes up for a halt would hide in the count of packets alone.
    test.assertLessEqual(len(packets) + frames_not_sent(packets), passed / PERIOD + 2)
    test.assertGreaterEqual(len(packets) + missed, passed / PERIOD - 2)
    if sequence:  # ANSI E1.31-2018 6.2.5
        numbers = [packet.sequence for packet in packets]
        test.assertEqual([(number + 1) % 256 for number in numbers[:-1]], numbers[1:])


def told(packets):
    """In words, for whoever reads the test's output."""
    gaps = sorted(gaps_of(packets))
    passed = (packets[-1].time - packets[0].time) / 1e9
    return (f"{len(packets)} frames in {passed:.1f} s, {(len(packets) - 1) / passed:.2f} a second, gap median "
            f"{gaps[len(gaps) // 2]:.2f} ms, 99 % within {gaps[len(gaps) * 99 // 100]:.2f}, longest {gaps[-1]:.1f}")
