"""What tshark, a dissector that we did not write, makes of a recording.

Known of tshark 4.0.17: an E1.31 data packet with fewer than 6 slots is shown as malformed though it is
right; sync and discovery packets are not decoded; `acn.dmx.data` is display text, so slots are taken
from `udp.payload`. It decodes and does not judge: lengths, counts and timing are for the test.
"""
import subprocess

E131_DATA_HEADER = 126  # octets before the first slot; E1.31-2018 Table 4-1

# E1.31 is off until both the heuristic and its DMX part are turned on; Art-Net is on. Both are found
# by their content, so any port will do.
OPTIONS = ["-n", "-o", "acn.dmx_enable:TRUE", "--enable-heuristic", "acn"]


def rows(path, fields, only=None):
    """One dict a packet; a field that a packet has several times has its values joined by commas."""
    command = ["tshark", *OPTIONS, "-r", path, "-T", "fields", "-E", "separator=/t",
               "-E", "occurrence=a", "-E", "aggregator=,"]
    if only:
        command += ["-Y", only]
    for field in fields:
        command += ["-e", field]
    done = subprocess.run(command, capture_output=True, text=True, timeout=60, check=False)
    if done.returncode != 0:
        raise RuntimeError(f"tshark: {done.stderr.strip()}")
    return [dict(zip(fields, line.split("\t"))) for line in done.stdout.splitlines()]


def e131(path):
    """The E1.31 data packets: numbers as int, slots as bytes."""
    fields = {"universe": "acn.dmx.universe", "sequence": "acn.dmx.seq_number",
              "priority": "acn.dmx.priority", "options": "acn.dmx.options", "count": "acn.dmx.count",
              "start_code": "acn.dmx.start_code2"}
    found = rows(path, [*fields.values(), "acn.dmx.source_name", "acn.cid", "udp.payload"],
                 "acn.dmx.universe")
    return [{**{name: int(row[field], 0) for name, field in fields.items()},
             "source_name": row["acn.dmx.source_name"], "cid": row["acn.cid"],
             "slots": bytes.fromhex(row["udp.payload"])[E131_DATA_HEADER:]} for row in found]


def artdmx(path):
    """The ArtDmx packets: numbers as int, slots as bytes."""
    fields = {"universe": "artnet.output.universe", "sequence": "artnet.output.sequence",
              "physical": "artnet.output.physical", "length": "artnet.output.length"}
    found = rows(path, [*fields.values(), "udp.payload"], "artnet.output.universe")
    return [{**{name: int(row[field], 0) for name, field in fields.items()},
             "slots": bytes.fromhex(row["udp.payload"])[18:]} for row in found]


def complaints(path):
    """What tshark itself finds wrong, a row a packet that it has something against."""
    return rows(path, ["frame.number", "_ws.expert.message"], "_ws.expert || _ws.malformed")
