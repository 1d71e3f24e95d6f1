#include "base/quantity.hpp"

#include <gtest/gtest.h>

#include <concepts>
#include <type_traits>
#include <unordered_set>

namespace panewalk::base {
namespace {

template <class A, class B>
concept Adds = requires(A a, B b) {
  a + b;
};
template <class A, class B>
concept Subtracts = requires(A a, B b) {
  a - b;
};
template <class A, class B>
concept Multiplies = requires(A a, B b) {
  a* b;
};
template <class A, class B>
concept Divides = requires(A a, B b) {
  a / b;
};
template <class A, class B>
concept Compares = requires(A a, B b) {
  a < b;
};
template <class A, class B>
concept Equals = requires(A a, B b) {
  a == b;
};
template <class A>
concept StepsInPlace = requires(A a) {
  ++a;
};

// An amount adds to its own kind, scales by a bare number, and divides to a bare number.
static_assert(Adds<Millimetres, Millimetres> && Subtracts<Millimetres, Millimetres>);
static_assert(Multiplies<Millimetres, double> && Multiplies<double, Millimetres>);
static_assert(Divides<Millimetres, double> && Divides<Millimetres, Millimetres>);
static_assert(std::same_as<decltype(Millimetres{} / Millimetres{}), double>);
static_assert(Compares<Millimetres, Millimetres>);

// Nothing else.
static_assert(!Adds<Millimetres, double> && !Adds<double, Millimetres>);
static_assert(!Adds<Millimetres, Degrees> && !Subtracts<Volts, Amps>);
static_assert(!Multiplies<Millimetres, Millimetres> && !Multiplies<Volts, Amps>);
static_assert(!Divides<Volts, Amps> && !Divides<double, Ohms>);
static_assert(!Compares<Millimetres, double> && !Compares<Millimetres, Degrees>);
static_assert(!Equals<Volts, Celsius> && !Equals<Volts, double>);
static_assert(!std::is_convertible_v<double, Millimetres> &&
              !std::is_constructible_v<Millimetres, double>);
static_assert(!std::is_convertible_v<Millimetres, double>);
static_assert(!std::is_convertible_v<Millimetres, Degrees> &&
              !std::is_constructible_v<Millimetres, Degrees>);

// A place in a row compares and steps, and is no number.
static_assert(Compares<PixelIndex, PixelIndex> && Equals<PixelIndex, PixelIndex>);
static_assert(!Adds<PixelIndex, PixelIndex> && !Adds<PixelIndex, int>);
static_assert(!Subtracts<PixelIndex, PixelIndex> && !Multiplies<PixelIndex, int>);
static_assert(!StepsInPlace<PixelIndex>);
static_assert(!std::is_constructible_v<PixelIndex, int> &&
              !std::is_constructible_v<PixelIndex, std::uint32_t>);

// A station and a pixel never mix: only the map turns one into the other.
static_assert(!Compares<StationIndex, PixelIndex> && !Equals<StationIndex, PixelIndex>);
static_assert(!std::is_convertible_v<StationIndex, PixelIndex> &&
              !std::is_constructible_v<PixelIndex, StationIndex>);
static_assert(!Equals<JointIndex, StationIndex> && !Equals<BarIndex, SectionIndex>);

TEST(Quantity, AddsSubtractsAndScales) {
  EXPECT_EQ((Millimetres::of(80) + Millimetres::of(2.5)).value(), 82.5);
  EXPECT_EQ((Millimetres::of(80) - Millimetres::of(100)).value(), -20);
  EXPECT_EQ((-Volts::of(12)).value(), -12);
  EXPECT_EQ((Amps::of(0.5) * 3).value(), 1.5);
  EXPECT_EQ((3 * Amps::of(0.5)).value(), 1.5);
  EXPECT_EQ((Ohms::of(9) / 4).value(), 2.25);
  EXPECT_EQ(Millimetres::of(900) / Millimetres::of(90), 10);
}

TEST(Quantity, AddsInPlaceAndStartsAtNothing) {
  Millimetres wire;
  EXPECT_EQ(wire.value(), 0);
  wire += Millimetres::of(420);
  wire += Millimetres::of(810);
  EXPECT_EQ(wire.value(), 1230);
}

TEST(Quantity, ComparesByAmount) {
  EXPECT_LT(Celsius::of(-40), Celsius::of(20));
  EXPECT_GE(Volts::of(12), Volts::of(12));
  EXPECT_NE(Degrees::of(0), Degrees::of(360));
}

TEST(Ordinal, StepsByOneAndLeavesTheOldOneAlone) {
  const PixelIndex pixel = PixelIndex::of(63);
  EXPECT_EQ(pixel.next().value(), 64U);
  EXPECT_EQ(pixel.value(), 63U);
  EXPECT_LT(pixel, pixel.next());
}

TEST(Ordinal, CanBeKeptInASet) {
  const std::unordered_set<StationIndex> stations{StationIndex::of(3), StationIndex::of(3),
                                                  StationIndex::of(4)};
  EXPECT_EQ(stations.size(), 2U);
  EXPECT_EQ(stations.count(StationIndex::of(4)), 1U);
}

TEST(Point, AddsSubtractsAndScalesBothCoordinates) {
  const Point a{Millimetres::of(3), Millimetres::of(-4)};
  const Point b{Millimetres::of(10), Millimetres::of(20)};
  EXPECT_EQ(a + b, (Point{Millimetres::of(13), Millimetres::of(16)}));
  EXPECT_EQ(a - b, (Point{Millimetres::of(-7), Millimetres::of(-24)}));
  EXPECT_EQ(a * 2, (Point{Millimetres::of(6), Millimetres::of(-8)}));
}

TEST(Point, DistanceIsStraightAndTheSameBothWays) {
  // 3-4-5 and 8-15-17: right triangles with whole sides.
  const Point a{Millimetres::of(100), Millimetres::of(100)};
  const Point b{Millimetres::of(103), Millimetres::of(104)};
  const Point c{Millimetres::of(92), Millimetres::of(115)};
  EXPECT_DOUBLE_EQ(distance(a, b).value(), 5);
  EXPECT_DOUBLE_EQ(distance(b, a).value(), 5);
  EXPECT_DOUBLE_EQ(distance(a, c).value(), 17);
  EXPECT_EQ(distance(a, a).value(), 0);
}

}  // namespace
}  // namespace panewalk::base
