#include "io/line_input.hpp"

#include <gtest/gtest.h>
#include <unistd.h>

#include <array>

namespace panewalk::io {
namespace {

using Line = std::optional<std::string>;

class LineInputTest : public testing::Test {
 protected:
  LineInputTest() { EXPECT_EQ(::pipe(ends_.data()), 0); }
  ~LineInputTest() override {
    ::close(ends_[0]);
    close_it();
  }

  void type(const std::string& text) {
    ASSERT_EQ(::write(ends_[1], text.data(), text.size()), static_cast<ssize_t>(text.size()));
  }
  void close_it() {
    if (ends_[1] >= 0) ::close(ends_[1]);
    ends_[1] = -1;
  }
  [[nodiscard]] int reading_end() const { return ends_[0]; }

 private:
  std::array<int, 2> ends_{-1, -1};
};

TEST_F(LineInputTest, GivesWholeLinesAndWaitsForTheRestOfOne) {
  LineInput input{reading_end()};
  type("yes\nA1 B");
  EXPECT_TRUE(input.take());
  EXPECT_EQ(input.next(), Line{"yes"});
  EXPECT_EQ(input.next(), std::nullopt);
  type("2\r\n\n");
  EXPECT_TRUE(input.take());
  EXPECT_EQ(input.next(), Line{"A1 B2"});
  EXPECT_EQ(input.next(), Line{""});
  EXPECT_EQ(input.next(), std::nullopt);
  EXPECT_FALSE(input.ended());
}

TEST_F(LineInputTest, GivesWhatTheInputEndedIn) {
  LineInput input{reading_end()};
  type("no");
  close_it();
  EXPECT_TRUE(input.take());
  EXPECT_EQ(input.next(), std::nullopt);
  EXPECT_FALSE(input.take());
  EXPECT_TRUE(input.ended());
  EXPECT_EQ(input.next(), Line{"no"});
  EXPECT_EQ(input.next(), std::nullopt);
}

TEST_F(LineInputTest, KeepsTheBeginningOfALineThatIsTooLong) {
  LineInput input{reading_end()};
  const std::string part(4096, 'x');
  for (int i = 0; i < 20; ++i) {
    type(part);
    EXPECT_TRUE(input.take());
  }
  type("\nyes\n");
  EXPECT_TRUE(input.take());
  EXPECT_EQ(input.next(), Line{std::string(LineInput::kLongest, 'x')});
  EXPECT_EQ(input.next(), Line{"yes"});
}

TEST_F(LineInputTest, ABrokenOneIsAtItsEnd) {
  LineInput input{-1};
  EXPECT_FALSE(input.take());
  EXPECT_TRUE(input.ended());
  EXPECT_EQ(input.next(), std::nullopt);
}

}  // namespace
}  // namespace panewalk::io
