#include "web/join.hpp"

#include <gtest/gtest.h>

#include <set>

namespace panewalk::web {
namespace {

using namespace std::chrono_literals;

constexpr Instant kStart{1000s};
constexpr const char* kCode = "7KWM4TQX";
using Verdict = Join::Verdict;

TEST(JoinCode, IsMadeOfTheLettersThatTheOctetsName) {
  // 26 letters: 0 and 26 are both the first; 234 and above would make the first ones likelier.
  const std::uint8_t octets[] = {0, 26, 255, 234, 25, 233, 8, 7, 1, 51, 3};
  EXPECT_EQ(make_code(octets), "22YYA93Y");
}

TEST(JoinCode, IsNoneWhereTheOctetsDontSuffice) {
  const std::uint8_t octets[] = {0, 1, 2, 3, 4, 5, 6, 255, 255};
  EXPECT_EQ(make_code(octets), std::nullopt);
}

TEST(JoinCode, HasNoLettersThatLookAlike) {
  EXPECT_EQ(kCodeLetters.size(), 26U);
  EXPECT_EQ(std::set<char>(kCodeLetters.begin(), kCodeLetters.end()).size(), 26U);
  EXPECT_EQ(kCodeLetters.find_first_of("01OILBGSUZ"), std::string_view::npos);
}

TEST(JoinCode, IsPrintedInTwoGroups) { EXPECT_EQ(grouped(kCode), "7KWM-4TQX"); }

TEST(JoinToken, HasEveryBit) {
  EXPECT_EQ(to_token({0x00, 0x01, 0x0f, 0x10, 0xff, 0xa5, 0x5a, 0x80, 7, 8, 9, 10, 11, 12, 13, 14}),
            "00010f10ffa55a800708090a0b0c0d0e");
}

TEST(Join, TakesTheCodeHoweverItIsTyped) {
  Join join{kCode};
  for (const char* typed :
       {"7KWM4TQX", "7KWM-4TQX", "7kwm-4tqx", " 7 k w m 4 t q x ", "7KW-M4T-QX"}) {
    EXPECT_EQ(join.attempt(typed, "192.0.2.7", kStart).verdict, Verdict::kRight) << typed;
  }
}

TEST(Join, TakesNothingElse) {
  for (const char* typed : {"", "-", "7KWM4TQ", "7KWM4TQXX", "7KWM4TQY", "8KWM4TQX", "7KWM_4TQX",
                            "7KWM\t4TQX", "XQT4MWK7"}) {
    Join join{kCode};
    EXPECT_EQ(join.attempt(typed, "192.0.2.7", kStart).verdict, Verdict::kWrong) << typed;
  }
}

TEST(Join, LooksAtFiveWrongCodesAMinuteFromAnAddress) {
  Join join{kCode};
  for (int i = 0; i < 5; ++i) {
    EXPECT_EQ(join.attempt("no", "192.0.2.7", kStart + i * 10s).verdict, Verdict::kWrong);
  }
  const auto sixth = join.attempt(kCode, "192.0.2.7", kStart + 41s);
  EXPECT_EQ(sixth.verdict, Verdict::kTooMany);
  EXPECT_EQ(sixth.wait, 19s);
  EXPECT_EQ(join.attempt(kCode, "192.0.2.8", kStart + 41s).verdict, Verdict::kRight);
  EXPECT_EQ(join.attempt(kCode, "192.0.2.7", kStart + 60s - 1ns).verdict, Verdict::kTooMany);
  EXPECT_EQ(join.attempt("no", "192.0.2.7", kStart + 60s).verdict, Verdict::kWrong);
  // The second of the five is ten seconds younger.
  EXPECT_EQ(join.attempt(kCode, "192.0.2.7", kStart + 60s).wait, 10s);
  EXPECT_EQ(join.attempt(kCode, "192.0.2.7", kStart + 70s).verdict, Verdict::kRight);
}

TEST(Join, LooksAtTwentyWrongCodesAMinuteFromAll) {
  Join join{kCode};
  for (int i = 0; i < 20; ++i) {
    const std::string from = "192.0.2." + std::to_string(i);
    EXPECT_EQ(join.attempt("no", from, kStart + i * 1s).verdict, Verdict::kWrong);
  }
  const auto more = join.attempt(kCode, "192.0.2.99", kStart + 20s);
  EXPECT_EQ(more.verdict, Verdict::kTooMany);
  EXPECT_EQ(more.wait, 40s);
  EXPECT_EQ(join.attempt(kCode, "192.0.2.99", kStart + 60s).verdict, Verdict::kRight);
}

TEST(Join, DoesNotCountTriesThatItDidNotLookAt) {
  Join join{kCode};
  for (int i = 0; i < 5; ++i) static_cast<void>(join.attempt("no", "192.0.2.7", kStart));
  for (int i = 1; i < 60; ++i) {
    EXPECT_EQ(join.attempt("no", "192.0.2.7", kStart + i * 1s).verdict, Verdict::kTooMany);
  }
  EXPECT_EQ(join.attempt(kCode, "192.0.2.7", kStart + 60s).verdict, Verdict::kRight);
}

TEST(Join, KnowsASessionByItsCookieAmongOthers) {
  Join join{kCode};
  join.admit("aaaa", kStart);
  for (const char* cookie : {"panewalk=aaaa", "lamp=1; panewalk=aaaa", "panewalk=aaaa; lamp=1",
                             "panewalk=bbbb; panewalk=aaaa", "panewalk=aaaa;lamp=1"}) {
    EXPECT_EQ(join.session_of(cookie, kStart), "aaaa") << cookie;
  }
  for (const char* cookie :
       {"", "panewalk", "panewalk=", "panewalk=aaa", "panewalk=aaaaa", "panewalk=AAAA",
        "Panewalk=aaaa", "xpanewalk=aaaa", "lamp=panewalk=aaaa", "panewalk=\"aaaa\"", "aaaa", ";;;",
        "panewalk=aaab"}) {
    EXPECT_EQ(join.session_of(cookie, kStart), std::nullopt) << cookie;
  }
}

TEST(Join, EndsASessionAfterTwelveHoursIdle) {
  Join join{kCode};
  join.admit("aaaa", kStart);
  EXPECT_TRUE(join.session_of("panewalk=aaaa", kStart + 12h - 1ns));
  EXPECT_TRUE(join.session_of("panewalk=aaaa", kStart + 23h));
  join.keep("aaaa", kStart + 30h);
  EXPECT_TRUE(join.session_of("panewalk=aaaa", kStart + 41h));
  EXPECT_FALSE(join.session_of("panewalk=aaaa", kStart + 53h));
  join.keep("aaaa", kStart + 53h);
  EXPECT_FALSE(join.session_of("panewalk=aaaa", kStart + 53h));
}

TEST(Join, ForgetsASessionThatLeaves) {
  Join join{kCode};
  join.admit("aaaa", kStart);
  join.admit("bbbb", kStart);
  join.forget("aaaa");
  join.forget("");
  EXPECT_FALSE(join.session_of("panewalk=aaaa", kStart));
  EXPECT_TRUE(join.session_of("panewalk=bbbb", kStart));
}

TEST(Join, KeepsSixtyFourSessionsAndLetsTheLongestIdleGo) {
  Join join{kCode};
  const auto token = [](int i) { return "token-" + std::to_string(i); };
  for (int i = 0; i < 64; ++i) join.admit(token(i), kStart + i * 1s);
  EXPECT_TRUE(join.session_of("panewalk=token-0", kStart + 100s));
  join.admit("one more", kStart + 101s);
  EXPECT_TRUE(join.session_of("panewalk=token-0", kStart + 102s));
  EXPECT_FALSE(join.session_of("panewalk=token-1", kStart + 102s));
  EXPECT_TRUE(join.session_of("panewalk=token-2", kStart + 102s));
  EXPECT_TRUE(join.session_of("panewalk=one more", kStart + 102s));
}

}  // namespace
}  // namespace panewalk::web
