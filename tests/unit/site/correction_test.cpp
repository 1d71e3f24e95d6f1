#include "site/correction.hpp"

#include <gtest/gtest.h>

#include "site/told.hpp"
#include "support/site_files.hpp"

namespace panewalk::site {
namespace {

/// "data-open=17" as the fault of a prop; the difference without its two head lines and the lines
/// around, then the sentence. Of a refusal its line.
class Mended {
 public:
  Mended(const test::SiteFiles& files, const std::string& path, const std::string& prop,
         const std::string& fault) {
    auto loaded = load(path, files.sources());
    if (!loaded) {
      ADD_FAILURE() << to_line(loaded.error().front());
      return;
    }
    const Site site = std::move(loaded).value();
    const std::size_t index = *site.plan->find_prop(prop);
    const auto read = practice::read_fault(subject_of(*site.plan, index), fault);
    if (!read) {
      ADD_FAILURE() << to_line(read.error());
      return;
    }
    auto offered = corrected(site, index, read.value());
    if (!offered) {
      refusal = to_line(offered.error().front());
      return;
    }
    correction = std::move(offered).value();
    EXPECT_EQ(correction.before, files.text(correction.file));
    EXPECT_NE(correction.after, correction.before);
  }

  /// The file, its lines that differ, the sentence.
  [[nodiscard]] std::string text() const {
    if (!refusal.empty()) return refusal + '\n';
    std::string text = correction.file + '\n';
    std::size_t line = 0;
    for (std::size_t at = 0; at < correction.difference.size(); ++line) {
      const std::size_t end = correction.difference.find('\n', at) + 1;
      const char mark = correction.difference[at];
      if (line > 1 && (mark == '-' || mark == '+')) {
        text += correction.difference.substr(at, end - at);
      }
      at = end;
    }
    return text + correction.why + (correction.in_controller ? " Or the controller.\n" : "\n");
  }

  Correction correction;
  std::string refusal;
};

std::string mended(const std::string& prop, const std::string& fault) {
  return Mended{test::boathouse(), "boathouse.json", prop, fault}.text();
}

TEST(Correction, ComesAsAWholeDifference) {
  const Mended mended{test::boathouse(), "boathouse.json", "slip-window", "run-reversed=1"};
  EXPECT_EQ(mended.correction.difference,
            R"_(--- props/slip-window.json
+++ props/slip-window.json (corrected)
@@ -12,7 +12,7 @@
         "levels": [7]
       } }
   ],
-  "wiring": { "route": ["A3 A1 C1 C3 (A3)", "(B3) B2 (B1)", "(A2) (B2)", "(B2) (C2)"] },
+  "wiring": { "route": ["(A3) C3 C1 A1 A3", "(B3) B2 (B1)", "(A2) (B2)", "(B2) (C2)"] },
   "pixel": { "order": "GRB", "channels": 3, "volts": 12, "full_white": "45 mA", "idle": "1 mA" },
   "power": { "wire": "18 AWG", "feeds": ["lead-in", "tie-back"] }
 }
)_");
  EXPECT_EQ(mended.correction.file, "props/slip-window.json");
  EXPECT_EQ(mended.correction.why, "Run 1 begins at its other end now.");
  EXPECT_FALSE(mended.correction.in_controller);
}

TEST(Correction, OfTheColourOrder) {
  EXPECT_EQ(mended("slip-window", "colour-order=BRG"), R"_(props/slip-window.json
-  "pixel": { "order": "GRB", "channels": 3, "volts": 12, "full_white": "45 mA", "idle": "1 mA" },
+  "pixel": { "order": "BRG", "channels": 3, "volts": 12, "full_white": "45 mA", "idle": "1 mA" },
The colours of its pixels come in the order BRG now. Or the controller.
)_");
}

TEST(Correction, OfARunReversedMovesTheSparesInIt) {
  EXPECT_EQ(mended("gable-line", "run-reversed=1"), R"_(props/gable-line.json
-  "wiring": { "route": ["A B C D"], "spares": [{ "after": 27, "count": 1 }] },
+  "wiring": { "route": ["D C B A"], "spares": [{ "after": 21, "count": 1 }] },
Run 1 begins at its other end now.
)_");
}

// Round a ring of one joint the data goes with the angle, so that a whole turn the other way is
// two runs.
TEST(Correction, OfARingReversedWritesTheRouteAnew) {
  EXPECT_EQ(mended("door-ring", "run-reversed=1"), R"_(props/door-ring.json
-  "wiring": { "route": ["A (A)"] },
+  "wiring": { "route": ["A-A/27 A-A/1", "A"] },
Run 1 begins at its other end now.
)_");
}

TEST(Correction, OfRunsSwappedChangesTheTwo) {
  EXPECT_EQ(mended("loft-windows", "runs-swapped=2:5"), R"_(props/loft-windows.json
-      "L.A4 L.A1 L.C1 L.C4 (L.A4)", "(L.B4) (L.B1)", "(L.A2) (L.B2)", "(L.B2) (L.C2)",
-      "(L.A3) (L.B3)", "(L.B3) (L.C3)",
+      "L.A4 L.A1 L.C1 L.C4 (L.A4)", "(L.A3) (L.B3)", "(L.A2) (L.B2)", "(L.B2) (L.C2)",
+      "(L.B4) (L.B1)", "(L.B3) (L.C3)",
Runs 2 and 5 are in exchanged order now.
)_");
}

TEST(Correction, OfAJointLateTakesItAtTheLaterPass) {
  EXPECT_EQ(mended("slip-window", "joint-late=B2"), R"_(props/slip-window.json
-  "wiring": { "route": ["A3 A1 C1 C3 (A3)", "(B3) B2 (B1)", "(A2) (B2)", "(B2) (C2)"] },
+  "wiring": { "route": ["A3 A1 C1 C3 (A3)", "(B3) (B2) (B1)", "(A2) B2", "(B2) (C2)"] },
Run 3 takes B2 now, when the data meets it again.
)_");
  EXPECT_EQ(mended("slip-window", "joint-late=B3"), R"_(props/slip-window.json
-  "wiring": { "route": ["A3 A1 C1 C3 (A3)", "(B3) B2 (B1)", "(A2) (B2)", "(B2) (C2)"] },
+  "wiring": { "route": ["A3 A1 C1 C3 (B3) (A3)", "B3 B2 (B1)", "(A2) (B2)", "(B2) (C2)"] },
Run 2 takes B3 now, when the data meets it again.
)_");
}

TEST(Correction, OfAMirroredPropExchangesLeftAndRight) {
  EXPECT_EQ(mended("slip-window", "mirrored"), R"_(props/slip-window.json
-  "wiring": { "route": ["A3 A1 C1 C3 (A3)", "(B3) B2 (B1)", "(A2) (B2)", "(B2) (C2)"] },
+  "wiring": { "route": ["C3 C1 A1 A3 (C3)", "(B3) B2 (B1)", "(C2) (B2)", "(B2) (A2)"] },
Left and right are exchanged in its wiring now.
)_");
  EXPECT_EQ(mended("loft-windows", "mirrored"), R"_(props/loft-windows.json
-      "L.A4 L.A1 L.C1 L.C4 (L.A4)", "(L.B4) (L.B1)", "(L.A2) (L.B2)", "(L.B2) (L.C2)",
-      "(L.A3) (L.B3)", "(L.B3) (L.C3)",
-      "R.A4 R.A1 R.C1 R.C4 (R.A4)", "(R.B4) (R.B1)", "(R.C2) (R.B2)", "(R.B2) (R.A2)",
-      "(R.A3) (R.B3)", "(R.B3) (R.C3)"
+      "R.C4 R.C1 R.A1 R.A4 (R.C4)", "(R.B4) (R.B1)", "(R.C2) (R.B2)", "(R.B2) (R.A2)",
+      "(R.C3) (R.B3)", "(R.B3) (R.A3)",
+      "L.C4 L.C1 L.A1 L.A4 (L.C4)", "(L.B4) (L.B1)", "(L.A2) (L.B2)", "(L.B2) (L.C2)",
+      "(L.C3) (L.B3)", "(L.B3) (L.A3)"
Left and right are exchanged in its wiring now.
)_");
}

TEST(Correction, OfATurnedPropSaysHowItHangs) {
  EXPECT_EQ(mended("eaves-line", "turned"), R"_(boathouse.json
-      "place": ["0 m", "-2.4 m"], "level": "50 %" }
+      "place": ["0 m", "-2.4 m"], "level": "50 %", "hung": "turned" }
It hangs turned now, upside down.
)_");
}

TEST(Correction, OfAPixelTooManyIsASpare) {
  EXPECT_EQ(mended("slip-window", "pixel-extra=17"), R"_(props/slip-window.json
-  "wiring": { "route": ["A3 A1 C1 C3 (A3)", "(B3) B2 (B1)", "(A2) (B2)", "(B2) (C2)"] },
+  "wiring": { "route": ["A3 A1 C1 C3 (A3)", "(B3) B2 (B1)", "(A2) (B2)", "(B2) (C2)"],
+              "spares": [{ "after": 17, "count": 1 }] },
There is a spare pixel after pixel 17 at A1-B1/4 now; the controller has 1 pixel more to drive.
)_");
  EXPECT_EQ(mended("gable-line", "pixel-extra=27"), R"_(props/gable-line.json
-  "wiring": { "route": ["A B C D"], "spares": [{ "after": 27, "count": 1 }] },
+  "wiring": { "route": ["A B C D"], "spares": [{ "after": 27, "count": 2 }] },
There is a spare pixel after pixel 27 at C now; the controller has 1 pixel more to drive.
)_");
  EXPECT_EQ(mended("gable-line", "pixel-extra=5"), R"_(props/gable-line.json
-  "wiring": { "route": ["A B C D"], "spares": [{ "after": 27, "count": 1 }] },
+  "wiring": { "route": ["A B C D"], "spares": [{ "after": 27, "count": 1 },
+                                               { "after": 5, "count": 1 }] },
There is a spare pixel after pixel 5 at A-B/4 now; the controller has 1 pixel more to drive.
)_");
}

TEST(Correction, OfAPixelSkippedIsAnEmptyPlace) {
  EXPECT_EQ(mended("loft-windows", "pixel-skipped=70"), R"_(props/loft-windows.json
-      } }
+      },
+      "empty": ["A2-A3/2"] }
R.A2-A3/2 is listed as empty now; the data passes it.
)_");
  EXPECT_EQ(mended("gable-line", "pixel-skipped=22"), R"_(props/gable-line.json
-        "stations": [22, 6, 22] } }
+        "stations": [22, 6, 22] }, "empty": ["B"] }
-  "wiring": { "route": ["A B C D"], "spares": [{ "after": 27, "count": 1 }] },
+  "wiring": { "route": ["A B C D"], "spares": [{ "after": 26, "count": 1 }] },
B is listed as empty now; the data passes it.
)_");
}

TEST(Correction, OfADarkPixelIsForWhenItIsCutOut) {
  EXPECT_EQ(mended("door-ring", "pixel-dark=28"), R"_(props/door-ring.json
-    { "arc": { "centre": ["30 cm", "30 cm"], "radius": "30 cm", "from": "90 deg", "to": "450 deg", "stations": 28 } }
+    { "arc": { "centre": ["30 cm", "30 cm"], "radius": "30 cm", "from": "90 deg", "to": "450 deg", "stations": 28 },
+      "empty": ["A-A/27"] }
A-A/27 is listed as empty now; cut its pixel out and join the data past it.
)_");
}

TEST(Correction, OfNulls) {
  EXPECT_EQ(mended("slip-window", "nulls=2"), R"_(boathouse.json
-      "place": ["0 m", "0 m"], "level": "30 %" },
+      "place": ["0 m", "0 m"], "level": "30 %", "nulls": 2 },
It has 2 null pixels before pixel 1 now; the controller has 2 pixels more to drive. Or the controller.
)_");
  EXPECT_EQ(mended("gable-line", "nulls=0"), R"_(boathouse.json
-    { "file": "props/gable-line.json", "controller": "yard", "output": 1, "universe": 10, "nulls": 1,
+    { "file": "props/gable-line.json", "controller": "yard", "output": 1, "universe": 10, "nulls": 0,
It has no null pixels before pixel 1 now. Or the controller.
)_");
}

TEST(Correction, OfTheStartChannelWhereTheSiteCanSayIt) {
  EXPECT_EQ(mended("gable-line", "start-channel=4"), R"_(boathouse.json
-      "place": ["2.1 m", "-3.6 m"], "level": "50 %" },
+      "place": ["2.1 m", "-3.6 m"], "level": "50 %", "channel": 5 },
It begins at channel 5 now. Or the controller.
)_");
  EXPECT_EQ(mended("slip-window", "start-channel=1"),
            "boathouse.json can't say so: /props/0/channel: a start at channel 2 splits the last "
            "pixel of the universe; set the start channel at the controller to 1\n");
  EXPECT_EQ(mended("slip-window", "start-channel=-3"),
            "boathouse.json can't say so: /props/0/channel: -2 is out of range; set the start "
            "channel at the controller to 1\n");
}

TEST(Correction, OfThePacking) {
  EXPECT_EQ(mended("eaves-line", "packing=510"), R"_(boathouse.json
-      "channels_per_universe": 512, "supply": { "volts": 12, "amps": 15 } }
+      "channels_per_universe": 510, "supply": { "volts": 12, "amps": 15 } }
Universes of controller "yard" hold 510 channels now. Or the controller.
)_");
  EXPECT_EQ(mended("slip-window", "packing=512"),
            "it makes no difference to this prop; set the controller to 510 channels a universe\n");
}

TEST(Correction, OfAUniverseShifted) {
  EXPECT_EQ(mended("slip-window", "universe-shifted=3"), R"_(boathouse.json
-    { "file": "props/slip-window.json", "controller": "bench", "output": 1, "universe": 1,
+    { "file": "props/slip-window.json", "controller": "bench", "output": 1, "universe": 4,
It begins in universe 4 now. Or the controller.
)_");
  EXPECT_EQ(mended("slip-window", "universe-shifted=1"),
            "boathouse.json can't say so: /props/1/universe: \"loft-windows\" takes universe 2 "
            "channels 1 to 189, which \"slip-window\" takes too (/props/0/universe); set the first "
            "universe at the controller to 1\n");
}

TEST(Correction, OfLeadsExchangedExchangesThePlaces) {
  EXPECT_EQ(mended("slip-window", "leads-exchanged=gable-line"), R"_(boathouse.json
-    { "file": "props/slip-window.json", "controller": "bench", "output": 1, "universe": 1,
-      "place": ["0 m", "0 m"], "level": "30 %" },
+    { "file": "props/slip-window.json", "controller": "yard", "output": 1, "universe": 10,
+      "place": ["0 m", "0 m"], "level": "30 %", "nulls": 1 },
-    { "file": "props/gable-line.json", "controller": "yard", "output": 1, "universe": 10, "nulls": 1,
+    { "file": "props/gable-line.json", "controller": "bench", "output": 1, "universe": 1,
"slip-window" and "gable-line" have exchanged their places at the controllers now. Or the controller.
)_");
}

TEST(Correction, IsRefusedWithWhatElseIsToBeDone) {
  const auto refusal = [](const std::string& fault) {
    return Mended{test::boathouse(), "boathouse.json", "slip-window", fault}.refusal;
  };
  EXPECT_EQ(refusal("none"), "nothing is wrong with the description; leave the files as they are");
  EXPECT_EQ(refusal("data-open=17"),
            "no description mends a break in the data; mend the wire after pixel 17 at A1-B1/4, or "
            "exchange that pixel or the next");
  EXPECT_EQ(refusal("pixel-colour=17:red"),
            "no description mends a pixel; exchange pixel 17 at A1-B1/4");
  EXPECT_EQ(refusal("pixel-stuck=17:red"),
            "no description mends a pixel; exchange pixel 17 at A1-B1/4");
  EXPECT_EQ(refusal("universe-missing=1"),
            "no description makes a universe arrive; look at the controller and the network for "
            "universe 1");
  EXPECT_EQ(refusal("count-short=50"),
            "the description has all the pixels already; set the count at the controller to 63");
  EXPECT_EQ(refusal("no-response"),
            "no description makes a prop answer; look at its power, its fuse, its lead and the "
            "network");
  EXPECT_EQ(refusal("sag=40"),
            "no description feeds the far end; feed it at its far end too, or lower its \"level\" "
            "in the site file");
  EXPECT_EQ(Mended(test::boathouse(), "boathouse.json", "gable-line", "power-open=9").refusal,
            "no description mends a break in the power; mend the power wires after pixel 9 at "
            "A-B/8");
}

// What stands in the way elsewhere in the file is said as the loader says it.
TEST(Correction, IsRefusedWhereTheFileWouldHaveAFault) {
  EXPECT_EQ(
      mended("eaves-line", "pixel-skipped=100"),
      "props/eaves-line.json can't say so: /power/feeds/2/at: \"A-B/99\" has no pixel; put in "
      "pixel 100 at A-B/99\n");
}

}  // namespace
}  // namespace panewalk::site
