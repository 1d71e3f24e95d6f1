#include "find/finder.hpp"

#include <gtest/gtest.h>

#include "support/fault_subject.hpp"

namespace panewalk::find {
namespace {

using practice::FaultKind;
using test::LineSubject;

/// Answers as somebody would who errs at one question only.
class Play {
 public:
  Play(const LineSubject& line, const std::string& fault)
      : subject_{line.subject}, sound_{practice::as_described(subject_)} {
    wrong_.fault = practice::read_fault(subject_, fault).value();
    wrong_.built = practice::with_fault(subject_, sound_, wrong_.fault);
  }

  [[nodiscard]] Sighting look(const Question& question) const {
    return Sight{subject_, sound_, question}.of(wrong_);
  }

  Finding search(Finder& finder, int lie_at = 0) const {
    while (!finder.done()) {
      Sighting seen = look(finder.question());
      if (finder.number() == lie_at) seen = lie(finder.question(), seen);
      finder.answer(seen);
    }
    return finder.finding();
  }

 private:
  [[nodiscard]] Sighting lie(const Question& question, Sighting seen) const {
    switch (question.ask) {
      case Ask::kSame:
      case Ask::kHold: return Sighting::of(1 - seen.values[0]);
      case Ask::kOther: return Sighting::of(1);
      case Ask::kLastLit: return Sighting::of(std::max(0, seen.values[0] - 2));
      case Ask::kColours:
        seen.values[0] = static_cast<std::int16_t>((seen.values[0] + 1) % 8);
        return seen;
      case Ask::kWhere: {
        if (seen.count == 0) return Sighting::of(0);
        --seen.count;
        seen.values[seen.count] = 0;
        return seen;
      }
    }
    return seen;
  }

  practice::Subject subject_;
  practice::AsBuilt sound_;
  Hypothesis wrong_;
};

std::string named(const LineSubject& line, const Finding& finding) {
  return practice::to_text(line.subject, finding.likeliest.fault);
}

TEST(Finder, NamesABreakAndEverythingThatLooksLikeIt) {
  const LineSubject line{40};
  Finder finder{line.subject, {}};
  const Finding finding = Play{line, "data-open=17"}.search(finder);
  EXPECT_EQ(named(line, finding), "data-open=17");
  std::vector<std::string> alike;
  for (std::size_t i = 0; i < finding.look_alike; ++i) {
    alike.push_back(practice::to_text(line.subject, finding.also_possible[i].fault));
  }
  std::sort(alike.begin(), alike.end());
  EXPECT_EQ(alike, (std::vector<std::string>{"count-short=17", "power-open=17"}));
  // Only a table of estimates tells the three apart, so none of them is called sure.
  EXPECT_LT(finding.likeliest.certainty, 0.9);
  double together = finding.likeliest.certainty;
  for (std::size_t i = 0; i < finding.look_alike; ++i) {
    together += finding.also_possible[i].certainty;
  }
  EXPECT_GT(together, 0.98);
}

TEST(Finder, SaysThatNothingIsWrongWhereNothingIs) {
  const LineSubject line{40};
  Finder finder{line.subject, {}};
  EXPECT_EQ(named(line, Play{line, "none"}.search(finder)), "none");
}

/// What is found where a colour order is wrong besides.
std::string found_beside_an_order(const std::string& other) {
  const LineSubject line{40};
  const practice::AsBuilt sound = practice::as_described(line.subject);
  const auto fault = [&](const std::string& text) {
    return practice::read_fault(line.subject, text).value();
  };
  Hypothesis both{.fault = fault(other)};
  both.built =
      practice::with_fault(line.subject, practice::with_fault(line.subject, sound, both.fault),
                           fault("colour-order=GRB"));
  Finder finder{line.subject, {}};
  while (!finder.done()) finder.answer(Sight{line.subject, sound, finder.question()}.of(both));
  const Possible found = finder.finding().likeliest;
  return practice::to_text(line.subject, found.fault) + " and " +
         practice::to_text(line.subject, found.second);
}

TEST(Finder, NamesAWrongColourOrderBesideAnotherFault) {
  EXPECT_EQ(found_beside_an_order("data-open=17"), "data-open=17 and colour-order=GRB");
  EXPECT_EQ(found_beside_an_order("pixel-skipped=9"), "pixel-skipped=9 and colour-order=GRB");
  EXPECT_EQ(found_beside_an_order("pixel-extra=30"), "pixel-extra=30 and colour-order=GRB");
  EXPECT_EQ(found_beside_an_order("run-reversed=1"), "run-reversed=1 and colour-order=GRB");
}

TEST(Finder, DoesNotCallLeadsExchangedOnOneAnswer) {
  const LineSubject line{40};
  Finder finder{line.subject, {.experience = {.place = Place::kYard, .mended = {}}}};
  const Play play{line, "no-response"};
  bool erred = false;
  while (!finder.done()) {
    const bool errs = !erred && finder.question().ask == Ask::kOther;
    erred = erred || errs;
    finder.answer(errs ? Sighting::of(1) : play.look(finder.question()));
  }
  EXPECT_TRUE(erred);
  EXPECT_NE(named(line, finder.finding()), "leads-exchanged=other");
}

TEST(Finder, AsksTheSameAgainFromTheSameAnswers) {
  const LineSubject line{40};
  Finder one{line.subject, {}};
  Finder other{line.subject, {}};
  const Play play{line, "pixel-extra=9"};
  while (!one.done()) {
    ASSERT_FALSE(other.done());
    EXPECT_EQ(one.question().shown, other.question().shown);
    EXPECT_EQ(one.question().pictures, other.question().pictures);
    const Sighting seen = play.look(one.question());
    one.answer(seen);
    other.answer(seen);
  }
  EXPECT_TRUE(other.done());
}

TEST(Finder, GoesOnWhereTheBuilderIsUnsure) {
  const LineSubject line{40};
  Finder finder{line.subject, {}};
  Sighting unsure;
  unsure.unsure = true;
  const std::string first = finder.question().shown;
  finder.answer(unsure);
  ASSERT_FALSE(finder.done());
  EXPECT_NE(finder.question().shown, first);
  EXPECT_EQ(named(line, Play{line, "data-open=17"}.search(finder)), "data-open=17");
}

TEST(Finder, NoticesAnAnswerThatDoesNotFit) {
  const LineSubject line{40};
  Finder finder{line.subject, {}};
  const Finding finding = Play{line, "data-open=17"}.search(finder, 1);
  EXPECT_EQ(named(line, finding), "data-open=17");
  EXPECT_EQ(finding.misfits, (std::vector<int>{1}));
}

TEST(Finder, NeverAsksForMoreThanTwelveStations) {
  const LineSubject line{90};
  for (const char* fault : {"none", "pixel-dark=50", "pixel-extra=30", "start-channel=1"}) {
    Finder finder{line.subject, {}};
    const Play play{line, fault};
    while (!finder.done()) {
      const Sighting seen = play.look(finder.question());
      if (finder.question().ask == Ask::kWhere) {
        EXPECT_LE(seen.count, 12) << finder.question().shown;
      }
      finder.answer(seen);
    }
  }
}

TEST(Finder, LearnsFromWhatWasMendedHere) {
  const LineSubject line{40};
  const auto faults = practice::all_faults(line.subject);
  const auto of_kind = [&](const Experience& known) {
    const auto prior = prior_of(line.subject, faults, known);
    double sum = 0;
    for (std::size_t i = 0; i < faults.size(); ++i) {
      if (faults[i].kind == FaultKind::kPixelDark) sum += prior[i];
    }
    return sum;
  };
  const Experience learned{.place = Place::kYard, .mended = {FaultKind::kPixelDark}};
  EXPECT_GT(of_kind(learned), of_kind({.place = Place::kYard}));
}

// Rényi-Ulam: the least number of yes-or-no questions that finds one of n with one wrong answer
// allowed, n <= 2^q / (q + 1) for even n; A. Pelc, Theor. Comput. Sci. 270 (2002) 71-109. Our
// questions have more answers, so they must never need more.
struct UlamCase {
  int pixels;
  int most;
};
class WithOneLie : public testing::TestWithParam<UlamCase> {};

TEST_P(WithOneLie, NeedsNoMoreQuestionsThanYesAndNoWould) {
  const auto [pixels, most] = GetParam();
  const LineSubject line{pixels};
  const Finder begun{line.subject, {}};
  for (const int last : {3, pixels / 2 + 1}) {
    const std::string fault = "data-open=" + std::to_string(last);
    const Play play{line, fault};
    for (int lie_at = 0; lie_at <= 4; ++lie_at) {
      Finder finder = begun;
      const Finding finding = play.search(finder, lie_at);
      EXPECT_EQ(named(line, finding), fault) << "lie at " << lie_at;
      EXPECT_LE(finding.questions, most) << fault << ", lie at " << lie_at;
    }
  }
}

INSTANTIATE_TEST_SUITE_P(RenyiUlam, WithOneLie,
                         testing::Values(UlamCase{50, 9}, UlamCase{100, 11}, UlamCase{200, 12}));

}  // namespace
}  // namespace panewalk::find
