#include "config/units.hpp"

#include <gtest/gtest.h>

namespace panewalk::config {
namespace {

using namespace std::chrono_literals;

double millimetres(std::string_view text) {
  const auto length = parse_length(text);
  return length ? length->value() : -1e9;
}

TEST(Units, ReadLengths) {
  EXPECT_EQ(millimetres("80 mm"), 80);
  EXPECT_EQ(millimetres("30 cm"), 300);
  EXPECT_EQ(millimetres("30.1 cm"), 301);
  EXPECT_EQ(millimetres("1.2 m"), 1200);
  EXPECT_EQ(millimetres("1.001 m"), 1001);
  EXPECT_EQ(millimetres("0 mm"), 0);
  EXPECT_EQ(millimetres("007 mm"), 7);
}

// 1 in = 25.4 mm, 1 ft = 304.8 mm: NIST SP 811 (2008), appendix B.8.
TEST(Units, ReadInchesAndFeetWithoutRoundingErrors) {
  EXPECT_EQ(millimetres("3 in"), 76.2);
  EXPECT_EQ(millimetres("3.5 in"), 88.9);
  EXPECT_EQ(millimetres("3 1/2 in"), 88.9);
  EXPECT_EQ(millimetres("1/2 in"), 12.7);
  EXPECT_EQ(millimetres("0.1 in"), 2.54);
  EXPECT_EQ(millimetres("-3 in"), -76.2);
  EXPECT_EQ(millimetres("-1 1/4 in"), -31.75);
  EXPECT_EQ(millimetres("4 ft"), 1219.2);
  EXPECT_EQ(millimetres("1/3 ft"), 101.6);
}

TEST(Units, RefuseLengthsOfAnotherForm) {
  for (const char* const text : {"",           " ",
                                 "mm",         " mm",
                                 "80",         "80mm",
                                 "80  mm",     "80 mm ",
                                 " 80 mm",     "80 MM",
                                 "80 yd",      "+3 mm",
                                 ".5 in",      "5. in",
                                 "1,5 m",      "1e3 mm",
                                 "--3 mm",     "3/0 in",
                                 "1/02 in",    "3 1/2",
                                 "1 2 3/4 in", "3  1/2 in",
                                 "1/2/3 in",   "/2 in",
                                 "1/ in",      "1234567890 mm",
                                 "inf mm",     "nan mm",
                                 "0x10 mm",    "- mm",
                                 "-",          "3 -1/2 in",
                                 "1.5/2 in",   "12345/2 in",
                                 "80 mm in"}) {
    EXPECT_FALSE(parse_length(text).has_value()) << text;
  }
}

TEST(Units, ReadAnglesAndLevels) {
  EXPECT_EQ(parse_angle("90 deg")->value(), 90);
  EXPECT_EQ(parse_angle("-22.5 deg")->value(), -22.5);
  EXPECT_FALSE(parse_angle("90"));
  EXPECT_FALSE(parse_angle("90 °"));
  EXPECT_EQ(parse_level("30 %"), 0.3);
  EXPECT_EQ(parse_level("7 %"), 0.07);
  EXPECT_EQ(parse_level("12.5 %"), 0.125);
  EXPECT_EQ(parse_level("-1 %"), -0.01);
  EXPECT_FALSE(parse_level("30%"));
  EXPECT_FALSE(parse_level("0.3"));
}

TEST(Units, ReadWholeRates) {
  EXPECT_EQ(parse_rate("40 per second"), 40);
  EXPECT_FALSE(parse_rate("40.5 per second"));
  EXPECT_FALSE(parse_rate("-1 per second"));
  EXPECT_FALSE(parse_rate("40 Hz"));
  EXPECT_FALSE(parse_rate("40"));
}

TEST(Units, ReadTimes) {
  EXPECT_EQ(parse_duration("2 s"), 2s);
  EXPECT_EQ(parse_duration("1500 ms"), 1500ms);
  EXPECT_EQ(parse_duration("10 min"), 10min);
  EXPECT_EQ(parse_duration("0.1 min"), 6s);
  EXPECT_EQ(parse_duration("300 us"), 300us);
  EXPECT_EQ(parse_duration("300 µs"), 300us);
  EXPECT_EQ(parse_duration("1.25 us"), 1250ns);
  EXPECT_FALSE(parse_duration("-2 s"));
  EXPECT_FALSE(parse_duration("2 h"));
  EXPECT_FALSE(parse_duration("2"));
  EXPECT_EQ(parse_duration("999999999 min"), base::Duration{9'000'000'000'000'000'000});
}

TEST(Units, ReadElectricalAmounts) {
  EXPECT_EQ(parse_current("45 mA")->value(), 0.045);
  EXPECT_EQ(parse_current("5 A")->value(), 5);
  EXPECT_FALSE(parse_current("45 ma"));
  EXPECT_FALSE(parse_current("-1 A"));
  EXPECT_EQ(parse_bit_rate("800 kHz"), 800'000);
  EXPECT_FALSE(parse_bit_rate("800 KHz"));
  EXPECT_EQ(parse_resistance("5 mohm")->value(), 0.005);
  EXPECT_EQ(parse_resistance("0.005 ohm")->value(), 0.005);
  EXPECT_FALSE(parse_resistance("5 Mohm"));
  EXPECT_EQ(parse_temperature("20 C")->value(), 20);
  EXPECT_EQ(parse_temperature("-7.5 °C")->value(), -7.5);
  EXPECT_FALSE(parse_temperature("20 F"));
}

TEST(Units, ReadWireSizes) {
  EXPECT_EQ(parse_wire("18 AWG"), (power::Wire{power::Wire::Awg{18}}));
  EXPECT_EQ(parse_wire("0.75 mm2"), (power::Wire{power::Wire::SquareMillimetres{0.75}}));
  EXPECT_EQ(parse_wire("0.75 mm²"), (power::Wire{power::Wire::SquareMillimetres{0.75}}));
  EXPECT_FALSE(parse_wire("18.5 AWG"));
  EXPECT_FALSE(parse_wire("18"));
  EXPECT_FALSE(parse_wire("0.75 mm"));
}

TEST(Units, AreWrittenAsTheyAreRead) {
  EXPECT_EQ(length_text(base::Millimetres::of(88.9)), "88.9 mm");
  EXPECT_EQ(angle_text(base::Degrees::of(-22.5)), "-22.5 deg");
  EXPECT_EQ(level_text(0.07), "7 %");
  EXPECT_EQ(level_text(1), "100 %");
  EXPECT_EQ(rate_text(40), "40 per second");
  EXPECT_EQ(duration_text(10min), "10 min");
  EXPECT_EQ(duration_text(90s), "90 s");
  EXPECT_EQ(duration_text(1500ms), "1500 ms");
  EXPECT_EQ(duration_text(300us), "300 us");
  EXPECT_EQ(duration_text(1250ns), "1.25 us");
  EXPECT_EQ(current_text(base::Amps::of(0.045)), "45 mA");
  EXPECT_EQ(current_text(base::Amps::of(5)), "5 A");
  EXPECT_EQ(bit_rate_text(800'000), "800 kHz");
  EXPECT_EQ(wire_text({power::Wire::Awg{18}}), "18 AWG");
  EXPECT_EQ(wire_text({power::Wire::SquareMillimetres{0.75}}), "0.75 mm2");
  EXPECT_EQ(temperature_text(base::Celsius::of(-7.5)), "-7.5 C");
  EXPECT_EQ(resistance_text(base::Ohms::of(0.005)), "5 mohm");
}

TEST(Units, WriteDecimalsWithoutAnExponent) {
  EXPECT_EQ(decimal(0), "0");
  EXPECT_EQ(decimal(1e-7), "0.0000001");
  EXPECT_EQ(decimal(123456789), "123456789");
  EXPECT_EQ(decimal(0.1), "0.1");
  EXPECT_EQ(decimal(-12.75), "-12.75");
  EXPECT_EQ(decimal(0.3, 2), "30");
  EXPECT_EQ(decimal(1200, -3), "1.2");
  EXPECT_EQ(decimal(5e20), "500000000000000000000");
}

}  // namespace
}  // namespace panewalk::config
