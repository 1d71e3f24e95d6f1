#include <gtest/gtest.h>
#include <sys/types.h>

#include <ctime>

namespace {

// Debian 12's armhf has 32 bits here unless asked: the last second would be 2038-01-19T03:14:07Z.
// feature_test_macros(7), _TIME_BITS and _FILE_OFFSET_BITS.
TEST(WideTime, GoesBeyond2038OnEveryProcessor) {
  EXPECT_EQ(sizeof(std::time_t), 8U);
  EXPECT_EQ(sizeof(off_t), 8U);
}

}  // namespace
