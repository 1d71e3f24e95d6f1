"""`panewalk wire`: the demo props by hand against the search, and random frames against networkx.

The figures of the slip-window are counted on its drawing: 63 pixels, joints A1 to C3, upright B in
the middle. The route in the file has a jump of 420 mm, one of 810 mm and a hop of 180 mm (see
110-map-of-the-slip-window.py). The odd joints are A2, B1, B3 and C2, so that one jump is needed
(Euler 1736), and the second stretch at the crossing B2 hops.
"""
import json
import os
import random
import re
import shutil
import subprocess
import unittest

import networkx

from running import PANEWALK, SOURCE, use_own_state_folder

SLIP_WINDOW = """\
slip-window: the route with the fewest splices
  (B3) C3 C1 A1 A3 B3 (B2) (A2)
  (C2) B2 (B1)

             splices  hops  jumps        wire     longest
in the file        3     1      2     1410 mm      810 mm
found              2     1      1      900 mm      720 mm

2 splices; no route of this frame has fewer.
Without 5 joints the frame falls into 8 pieces, and each joint has one pixel, which links two of
them at most: at least 8 − 5 = 3 stretches and 2 splices between them.
And none with 2 splices needs less wire.
"""


def wire(*arguments, status=0):
    done = subprocess.run([PANEWALK, "wire", *arguments], capture_output=True, text=True,
                          check=False, timeout=120)
    assert done.returncode == status, (done.returncode, done.stdout, done.stderr)
    return done.stdout if status == 0 else done.stderr


def wired(*arguments):
    return json.loads(wire(*arguments, "--as", "json"))


def demo(name):
    path = shutil.copy(os.path.join(SOURCE, "config", "props", name + ".json"), ".")
    return path


def text_of(path):
    with open(path, encoding="utf-8", newline="") as file:
        return file.read()


def put(path, text):
    with open(path, "w", encoding="utf-8", newline="") as file:
        file.write(text)
    return path


class DemoProps(unittest.TestCase):
    def test_the_slip_window_in_words(self):
        self.assertEqual(wire(demo("slip-window")), SLIP_WINDOW)

    def test_every_demo_prop_is_solved_and_proven(self):
        # splices and wire in the files: slip-window 3 and 1410 mm; loft-windows 11.
        found = {name: wired(demo(name)) for name in
                 ("slip-window", "loft-windows", "door-ring", "eaves-line", "gable-line")}
        self.assertEqual(found["slip-window"], {
            "route": ["(B3) C3 C1 A1 A3 B3 (B2) (A2)", "(C2) B2 (B1)"],
            "hops": 1, "jumps": 1, "jump_wire_mm": 900.0, "fewest_splices": 2, "proven": True})
        # Two windows of six panes: 2 · (6 − 1) stretches, one splice less.
        loft = found["loft-windows"]
        self.assertEqual(loft["hops"] + loft["jumps"], 9)
        self.assertEqual(loft["fewest_splices"], 9)
        self.assertTrue(loft["proven"])
        self.assertEqual(found["door-ring"]["route"], ["A (A)"])
        self.assertEqual(found["eaves-line"]["route"], ["A B"])
        self.assertEqual(found["gable-line"]["route"], ["A B C D"])


class Options(unittest.TestCase):
    def test_the_ends_are_kept(self):
        route = wired(demo("slip-window"), "--lead-in", "A3", "--lead-out", "C1")["route"]
        self.assertTrue(route[0].startswith("A3 "), route)
        self.assertTrue(route[-1].endswith(" C1"), route)

    def test_the_start_is_kept(self):
        route = wired(demo("slip-window"), "--keep-start")["route"]
        self.assertTrue(route[0].startswith("A3 "), route)

    def test_no_wire_is_longer_than_asked(self):
        answer = wired(demo("slip-window"), "--longest-jump", "50 cm")
        put("limited.json", re.sub(r'"route": \[.*\]', '"route": ' + json.dumps(answer["route"]),
                                   text_of("slip-window.json")))
        row = [line for line in wire("limited.json").splitlines() if line.startswith("in the file")]
        self.assertLessEqual(int(row[0].split()[-2]), 500)

    def test_what_can_not_be_is_refused(self):
        path = demo("slip-window")
        self.assertEqual(wire(path, "--lead-in", "D1", status=2),
                         '--lead-in: no joint is named "D1"; allowed: "A1", "B1", "C1", "A2", "B2", '
                         '"C2", "A3", "B3" or "C3"\n')
        self.assertEqual(wire(path, "--longest-jump", "10 cm", status=2),
                         "--longest-jump: no route of this frame has only hops and jumps of at most "
                         "0.10 m; a longer limit\n")
        self.assertIn("--lead-in excludes --keep-start",
                      wire(path, "--lead-in", "A1", "--keep-start", status=2))


class Writing(unittest.TestCase):
    def test_only_the_route_changes(self):
        path = demo("slip-window")
        before = text_of(path)
        wire(path, "--write")
        self.assertEqual(text_of(path), before.replace(
            '["A3 A1 C1 C3 (A3)", "(B3) B2 (B1)", "(A2) (B2)", "(B2) (C2)"]',
            '["(B3) C3 C1 A1 A3 B3 (B2) (A2)", "(C2) B2 (B1)"]'))
        again = wire(path).splitlines()
        self.assertEqual(again[5].split()[3:], again[6].split()[1:])

    def test_odd_blanks_and_line_ends_stay(self):
        line = ('\t{"prop":"rod" ,"wiring"\r\n:{ "spares":[ ],"route" :"fewest splices" },\r\n'
                '"sections":[{"line":{"from":["0 mm","0 mm"],"to":["1 m","0 mm"],"stations":5}}]}')
        path = put("rod.json", line)
        wire(path, "--write")
        self.assertEqual(text_of(path), line.replace('"fewest splices"', '["A B"]'))

    def test_a_missing_route_is_put_in(self):
        section = '"sections": [{ "line": { "from": ["0 mm", "0 mm"], "to": ["1 m", "0 mm"], ' \
                  '"stations": 5 } }]'
        path = put("rod.json", '{\n  "prop": "rod",\n  ' + section + "\n}\n")
        wire(path, "--write")
        self.assertEqual(text_of(path), '{\n  "prop": "rod",\n  ' + section +
                         ',\n  "wiring": { "route": ["A B"] }\n}\n')
        path = put("rod.json", '{ "prop": "rod", "wiring": {}, ' + section + " }")
        wire(path, "--write")
        self.assertEqual(text_of(path), '{ "prop": "rod", "wiring": { "route": ["A B"] }, ' +
                         section + " }")

    def test_a_file_with_faults_stays_as_it_is(self):
        for old, new in (("A3 A1", "A3 D1"), ('"90 mm"', "90")):
            path = demo("slip-window")
            faulty = put(path, text_of(path).replace(old, new))
            before = text_of(faulty)
            wire(faulty, "--write", status=3)
            self.assertEqual(text_of(faulty), before)


def frame_of(chance, tree):
    """Random joints and bars: the prop, and its stations as a graph of neighbours."""
    joints = [chr(ord("A") + i) for i in range(chance.randint(3, 9))]
    pairs = [(chance.choice(joints[:i]), joints[i]) for i in range(1, len(joints))]
    if not tree:
        pairs += [pair for pair in ((a, b) for b in joints for a in joints if a < b)
                  if pair not in pairs and chance.random() < 0.25]
    graph, bars = networkx.Graph(), []
    least = chance.choice((1, 2))
    for a, b in pairs:
        inside = [f"{a}-{b}/{i}" for i in range(1, chance.randint(least, 4) + 1)]
        networkx.add_path(graph, [a, *inside, b])
        bars.append({"from": a, "to": b, "stations": len(inside) + 2})
    places = chance.sample(range(40 * 40), len(joints))
    prop = {"prop": "web", "sections": [{"bars": {
        "joints": {joint: [f"{51 * (place % 40) + index} mm", f"{53 * (place // 40)} mm"]
                   for index, (joint, place) in enumerate(zip(joints, places))}, "bars": bars}}],
        "wiring": {"route": "fewest splices"}}
    put("web.json", json.dumps(prop))
    # Joints alone tell where each bar is gone along: with one place, both its sides may be hopped.
    return graph, networkx.Graph(pairs if least > 1 else [])


def most_links(graph):
    """Most edges with at most two at each node, by a matching (Tutte 1954): each node has two
    slots, each edge a pair of helpers that is matched in itself where the edge is not taken."""
    helped = networkx.Graph()
    for a, b in graph.edges:
        helped.add_edge(("half", a, b), ("half", b, a))
        for slot in range(2):
            helped.add_edge((a, slot), ("half", a, b))
            helped.add_edge((b, slot), ("half", b, a))
    matching = networkx.max_weight_matching(helped, maxcardinality=True)
    return len(matching) - graph.number_of_edges()


class AgainstNetworkx(unittest.TestCase):
    def check(self, graph, joints):
        answer = wired("web.json")
        splices = answer["hops"] + answer["jumps"]
        if answer["proven"]:
            self.assertEqual(splices, answer["fewest_splices"])
        self.assertGreaterEqual(splices, answer["fewest_splices"])
        # Each station but the last of a stretch has a link to the next.
        bound = max(0, graph.number_of_nodes() - most_links(graph) - 1)
        self.assertGreaterEqual(splices, bound)
        # A hop goes straight on over a joint: between jumps lie trails over the bars.
        odd = sum(degree % 2 for _, degree in joints.degree)
        self.assertGreaterEqual(answer["jumps"] + 1, odd / 2)
        return answer, bound

    def test_trees_have_as_many_stretches_as_a_matching_leaves(self):
        chance = random.Random(4)
        for _ in range(12):
            graph, joints = frame_of(chance, tree=True)
            answer, bound = self.check(graph, joints)
            self.assertTrue(answer["proven"], answer)
            self.assertEqual(answer["fewest_splices"], bound)

    def test_no_frame_has_fewer_than_a_matching_leaves(self):
        chance = random.Random(5)
        for _ in range(12):
            graph, joints = frame_of(chance, tree=False)
            answer, _ = self.check(graph, joints)
            self.assertTrue(answer["proven"], answer)


if __name__ == "__main__":
    use_own_state_folder()
    unittest.main()
