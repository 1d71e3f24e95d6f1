#include <gtest/gtest.h>

#include "props.hpp"

namespace panewalk::pattern::test {
namespace {

TEST(RegionWords, AreRefusedWhenNoPropCouldHaveThem) {
  const Prop prop = slip_window();
  EXPECT_EQ(prop.pixels("runn 2"), "\"runn 2\" is no region; did you mean \"run\"?\n");
  EXPECT_EQ(prop.pixels("center"), "\"center\" is no region; did you mean \"centre\"?\n");
  const std::string allowed =
      "; allowed: all, outline, inside, corners, corner top-left, crossings, centre, cross, "
      "pane A1, upright B, level 2, bar A1-B1, section W, run 2, splice 1, seam 1, pixel 17, "
      "pixels 10-20 or universe 2\n";
  EXPECT_EQ(prop.pixels("shutter"), "\"shutter\" is no region" + allowed);
  EXPECT_EQ(prop.pixels(""), "\"\" is no region" + allowed);
  EXPECT_EQ(prop.pixels(" all"), "\" all\" is no region" + allowed);
  EXPECT_EQ(prop.pixels("W.all"), "\"W.all\" is no region" + allowed);
  EXPECT_EQ(prop.pixels("corner middle"),
            "\"middle\" is no corner; allowed: \"top-left\", \"top-right\", \"bottom-right\" or "
            "\"bottom-left\"\n");
  EXPECT_EQ(prop.pixels("corner top-lft"),
            "\"top-lft\" is no corner; did you mean \"top-left\"?\n");
}

TEST(RegionWords, AreRefusedWhenTheRestHasNotItsForm) {
  const Prop prop = slip_window();
  EXPECT_EQ(prop.pixels("corner"),
            "\"corner\" does not say which; write it like \"corner top-left\"\n");
  EXPECT_EQ(prop.pixels("section "),
            "\"section \" does not say which; write it like \"section W\"\n");
  EXPECT_EQ(prop.pixels("all 3"), "\"all 3\" says too much; write it like \"all\"\n");
  EXPECT_EQ(prop.pixels("all "), "\"all \" says too much; write it like \"all\"\n");
  EXPECT_EQ(prop.pixels("pane 3"),
            "\"pane 3\" does not name a joint of a window; write it like \"pane A1\"\n");
  EXPECT_EQ(prop.pixels("pane a1"),
            "\"pane a1\" does not name a joint of a window; write it like \"pane A1\"\n");
  EXPECT_EQ(prop.pixels("upright 2"),
            "\"upright 2\" does not name an upright by its letter; write it like \"upright B\"\n");
  EXPECT_EQ(prop.pixels("level B"),
            "\"level B\" does not give a number from 1; write it like \"level 2\"\n");
  EXPECT_EQ(prop.pixels("bar A1"), "\"bar A1\" does not say which; write it like \"bar A1-B1\"\n");
  for (const char* words :
       {"run", "run x", "run 0", "run 01", "run -1", "run 2.5", "run  2", "run 99999999999"}) {
    EXPECT_EQ(
        prop.pixels(words),
        "\"" + std::string{words} + "\" does not give a number from 1; write it like \"run 2\"\n");
  }
  EXPECT_EQ(prop.pixels("pixels 5"),
            "\"pixels 5\" does not give two numbers from 1; write it like \"pixels 10-20\"\n");
  EXPECT_EQ(prop.pixels("pixels 20-10"),
            "\"pixels 20-10\" runs backwards; write it like \"pixels 10-20\"\n");
}

TEST(RegionWords, AreRefusedWhenThisPropLacksThem) {
  const Prop prop = slip_window();
  EXPECT_EQ(prop.pixels("run 9"), "this prop has no run 9; it has \"run 1\" to \"run 4\"\n");
  EXPECT_EQ(prop.pixels("splice 4"),
            "this prop has no splice 4; it has \"splice 1\" to \"splice 3\"\n");
  EXPECT_EQ(prop.pixels("seam 1"), "this prop has no seam 1; it has no seams\n");
  EXPECT_EQ(prop.pixels("universe 3"), "this prop has no universe 3; it has only \"universe 1\"\n");
  EXPECT_EQ(prop.pixels("pixel 64"),
            "this prop has no pixel 64; it has \"pixel 1\" to \"pixel 63\"\n");
  EXPECT_EQ(prop.pixels("pixels 60-70"),
            "this prop has no pixels 60-70; it has \"pixel 1\" to \"pixel 63\"\n");
  EXPECT_EQ(prop.pixels("pane C1"),
            "this prop has no pane C1; it has \"pane A1\", \"pane B1\", \"pane A2\" and \"pane "
            "B2\"\n");
  EXPECT_EQ(prop.pixels("upright D"),
            "this prop has no upright D; it has \"upright A\", \"upright B\" and \"upright C\"\n");
  EXPECT_EQ(prop.pixels("level 4"),
            "this prop has no level 4; it has \"level 1\", \"level 2\" and \"level 3\"\n");
  EXPECT_EQ(prop.pixels("section Q"), "this prop has no section Q; it has only section \"W\"\n");
  EXPECT_EQ(star().pixels("bar N-E"),
            "this prop has no bar N-E; it has \"bar Hub-N\", \"bar Hub-E\", \"bar Hub-S\" and "
            "\"bar Hub-W\"\n");
  EXPECT_EQ(ring().pixels("pane A1"), "this prop has no pane A1; it has no window, so no panes\n");
  EXPECT_EQ(ring().pixels("splice 1"), "this prop has no splice 1; it has no splices\n");
  EXPECT_EQ(ring().pixels("run 2"), "this prop has no run 2; it has only \"run 1\"\n");
  EXPECT_EQ(ring().pixels("section W"),
            "this prop has no section W; it has one section without a name; \"all\" is the whole "
            "of it\n");
}

TEST(RegionWords, AreCutShortWhereTheListIsLong) {
  EXPECT_EQ(pair().pixels("bar L.A1-C1"),
            "this prop has no bar L.A1-C1; it has \"bar L.A1-B1\", \"bar L.B1-C1\", "
            "\"bar L.A2-B2\", \"bar L.B2-C2\", \"bar L.A3-B3\", \"bar L.B3-C3\", "
            "\"bar L.A4-B4\", \"bar L.B4-C4\", \"bar L.A1-A2\", \"bar L.A2-A3\", "
            "\"bar L.A3-A4\", \"bar L.B1-B2\" and 22 more\n");
}

TEST(RegionWords, MustNameTheSectionWhereThereAreSeveral) {
  const Prop prop = pair();
  EXPECT_EQ(prop.pixels("pane A1"),
            "\"pane A1\" does not say in which section; write \"pane L.A1\" or \"pane R.A1\"\n");
  EXPECT_EQ(prop.pixels("bar A1-B1"),
            "\"bar A1-B1\" does not say in which section; write \"bar L.A1-B1\" or \"bar "
            "R.A1-B1\"\n");
  EXPECT_EQ(prop.pixels("both.outline"),
            "this prop has no section both; allowed: \"L\" or \"R\"\n");
  EXPECT_EQ(prop.pixels("section both"),
            "this prop has no section both; allowed: \"L\" or \"R\"\n");
}

TEST(RegionWords, HaveNoSectionWhereThereIsOne) {
  const Prop prop = slip_window();
  EXPECT_EQ(prop.pixels("W.outline"),
            "this prop has one section, so its places have no section in front; write "
            "\"outline\"\n");
  EXPECT_EQ(prop.pixels("corner W.top-left"),
            "this prop has one section, so its places have no section in front; write \"corner "
            "top-left\"\n");
  EXPECT_EQ(prop.pixels("pane W.A1"),
            "this prop has one section, so its places have no section in front; write \"pane "
            "A1\"\n");
}

TEST(RegionWords, AreNoFamily) {
  const Prop prop = slip_window();
  EXPECT_EQ(prop.pixels("runs"),
            "\"runs\" is a family, not one region; it has \"run 1\" to \"run 4\"\n");
  EXPECT_EQ(prop.pixels("seams"), "\"seams\" is a family, not one region; it has no seams\n");
}

TEST(RegionWords, HaveAFormWhateverTheProp) {
  for (const std::string& form : region_forms()) EXPECT_TRUE(well_formed(form)) << form;
  for (const char* words : {"panes", "runs", "splices", "seams", "bars", "uprights", "levels",
                            "sections", "universes", "pixels"}) {
    EXPECT_TRUE(is_family(words)) << words;
    EXPECT_TRUE(well_formed(words)) << words;
  }
  for (const char* words : {"pane AB12", "pane W.A1", "left half.outline", "corner W.top-right",
                            "pixels 1-1", "bar Hub-N", "section left half"}) {
    EXPECT_TRUE(well_formed(words)) << words;
    EXPECT_FALSE(is_family(words)) << words;
  }
  for (const char* words : {"", "pane", "pane A", "corner", "corners 2", "pixels 2-1", "run",
                            "universe", "Panes", ".outline", "joint A1"}) {
    EXPECT_FALSE(well_formed(words)) << words;
  }
}

}  // namespace
}  // namespace panewalk::pattern::test
