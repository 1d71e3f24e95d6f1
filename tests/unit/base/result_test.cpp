#include "base/result.hpp"

#include <gtest/gtest.h>

#include <memory>
#include <stdexcept>
#include <string>

namespace panewalk::base {
namespace {

Result<int> half(int whole) {
  if (whole % 2 != 0) return Problems{{.what = "odd"}};
  return whole / 2;
}

/// Turns a found bug into an exception while it lives.
class BugsThrow {
 public:
  BugsThrow()
      : before_{set_bug_handler(
            [](const char*, int, const char* fact) { throw std::logic_error{fact}; })} {}
  ~BugsThrow() { set_bug_handler(before_); }
  BugsThrow(const BugsThrow&) = delete;
  BugsThrow& operator=(const BugsThrow&) = delete;

 private:
  BugHandler before_;
};

TEST(Result, HoldsAValueOrWhyThereIsNone) {
  const auto good = half(8);
  ASSERT_TRUE(good.ok());
  EXPECT_TRUE(static_cast<bool>(good));
  EXPECT_EQ(good.value(), 4);

  const auto bad = half(7);
  ASSERT_FALSE(bad.ok());
  EXPECT_FALSE(static_cast<bool>(bad));
  ASSERT_EQ(bad.error().size(), 1U);
  EXPECT_EQ(bad.error()[0].what, "odd");
}

TEST(Result, GivesAwayWhatItHolds) {
  Result<std::unique_ptr<int>, std::string> good{std::make_unique<int>(7)};
  const std::unique_ptr<int> taken = std::move(good).value();
  EXPECT_EQ(*taken, 7);
  Result<int, std::string> bad{std::string{"why"}};
  const std::string why = std::move(bad).error();
  EXPECT_EQ(why, "why");
}

TEST(Result, AskingForTheWrongOneIsABug) {
  const BugsThrow bugs_throw;
  EXPECT_THROW(static_cast<void>(half(7).value()), std::logic_error);
  EXPECT_THROW(static_cast<void>(half(8).error()), std::logic_error);
  const auto bad = half(7);
  EXPECT_THROW(static_cast<void>(bad.value()), std::logic_error);
}

TEST(ResultDeathTest, ABugNamesItsPlaceAndAborts) {
  EXPECT_DEATH(static_cast<void>(half(7).value()), "panewalk: bug at .*result\\.hpp:.*ok");
}

}  // namespace
}  // namespace panewalk::base
