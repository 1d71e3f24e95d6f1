"""Sites of many universes: long lines of pixels."""
import json
import os

PIXELS_A_UNIVERSE = 170  # of three channels, which take 510 of the 512
MOST_UNIVERSES_A_LINE = 4  # a chain of more pixels could not follow 40 frames a second


def share(universes, controllers):
    """How many universes each controller has: as even as whole numbers allow."""
    return [(i + 1) * universes // controllers - i * universes // controllers
            for i in range(controllers)]


def lines(universes, controllers):
    """The props: (controller, first universe, universes) of each, the controllers by index."""
    first = 1
    for index, count in enumerate(share(universes, controllers)):
        for done in range(0, count, MOST_UNIVERSES_A_LINE):
            part = min(MOST_UNIVERSES_A_LINE, count - done)
            yield index, first, part
            first += part


def make_large_site(folder, addresses, universes, rate=40, **more):
    """Writes a site whose controllers have those addresses and, in order, the universes from 1 on;
    returns its path and the names of its props. `more` is for every controller.

    Its pattern "thirds" stands still: red, green, blue in turn from the first pixel of each line
    on. "tide" changes every universe from frame to frame.
    """
    os.makedirs(os.path.join(folder, "patterns"), exist_ok=True)
    controllers = [{"name": f"bench-{index + 1}", "protocol": "e131", "address": address,
                    "rate": f"{rate} per second", **more}
                   for index, address in enumerate(addresses)]
    props = []
    for controller, first, count in lines(universes, len(addresses)):
        name = f"line-{first}"
        pixels = count * PIXELS_A_UNIVERSE
        line = {"from": ["0 mm", "0 mm"], "to": [f"{5 * (pixels - 1)} mm", "0 mm"],
                "stations": pixels}
        write(folder, f"{name}.json", {"format": 1, "prop": name, "sections": [{"line": line}],
                                       "wiring": {"route": ["A B"]}, "pixel": {"order": "RGB"}})
        props.append({"file": f"{name}.json", "controller": f"bench-{controller + 1}",
                      "universe": first})
    write(folder, "site.json", {"format": 1, "site": "boathouse", "controllers": controllers,
                                "props": props})
    write(folder, "patterns/thirds.json", {
        "pattern": "thirds", "purpose": "Every pixel lit", "look_for": "Red, green, blue.",
        "steps": [{"light": [{"region": "all", "colours": ["red", "green", "blue"],
                              "by": "pixel"}], "hold": "until confirmed"}]})
    write(folder, "patterns/tide.json", {
        "pattern": "tide", "purpose": "Everything changes", "look_for": "A slow pulse.",
        "steps": [{"pulse": "all", "colour": "white", "period": "2 s",
                   "hold": "until confirmed"}]})
    names = [os.path.splitext(one["file"])[0] for one in props]
    return os.path.join(folder, "site.json"), names


def write(folder, name, value):
    with open(os.path.join(folder, name), "w", encoding="utf-8") as file:
        json.dump(value, file)
