#include <algorithm>
#include <random>

#include "unit/engine/ticking.hpp"

// What is painted over what was there must be what is painted from nothing.
namespace panewalk::engine {
namespace {

std::vector<light::Colour> shown(const Engine& engine, std::size_t prop) {
  const auto pixels = engine.shown().prop(prop);
  return {pixels.begin(), pixels.end()};
}

std::vector<light::Colour> from_nothing(const Look& look, std::size_t lit, const Status& status) {
  pattern::Beat beat = look.lit[lit].beat(status.props[look.lit[lit].prop].beat);
  beat.into = status.props[look.lit[lit].prop].into;
  std::vector<light::Colour> pixels(status.sent.prop(look.lit[lit].prop).size());
  std::vector<light::Colour> hidden;
  look.lit[lit].paint(beat, pixels, hidden);
  return pixels;
}

pattern::PatternDescription several_steps() {
  pattern::PatternDescription pattern = test::walk_one_by_one();
  pattern.name = "several";
  std::get<pattern::MoveStep>(pattern.steps[0].action).tail = 3;
  pattern::Paint one;
  one.target = "pixels 3-9";
  one.colours = {pattern::ColourName::kGreen, pattern::ColourName::kBlue};
  one.by = pattern::By::kPixel;
  pattern::PulseStep pulse;
  pulse.paint = one;
  pulse.period = 3s;
  pattern.steps.push_back({.action = pulse, .hold = 4s, .say = ""});
  one.target = "runs";
  pattern.steps.push_back({.action = pattern::OneByOneStep{one}, .hold = 1s, .say = ""});
  one.target = "pixel 5";
  pattern.steps.push_back({.action = pattern::LightStep{{one}}, .hold = 1s, .say = ""});
  return pattern;
}

class RepaintTest : public EngineTest {
 protected:
  void look(const LightAsked& asked, Duration at) {
    look_ = std::make_shared<const Look>(compose(*plan_, asked).value());
    auto given = look_;
    engine_->light(given, kStart + at);
  }
  /// A frame; the pictures where nothing fades and nothing is held.
  void check(Duration at, Duration since_look) {
    static_cast<void>(tick(at));
    engine_->report(status_);
    if (since_look < 300ms || engine_->holds()) return;
    std::size_t lit = 0;
    for (std::size_t prop = 0; prop < plan_->props.size(); ++prop) {
      const bool is_lit = lit < look_->lit.size() && look_->lit[lit].prop == prop;
      const std::vector<light::Colour> expected =
          is_lit ? from_nothing(*look_, lit++, status_)
                 : std::vector<light::Colour>(status_.sent.prop(prop).size());
      ASSERT_TRUE(std::ranges::equal(status_.sent.prop(prop), expected)) << "told";
      ASSERT_EQ(shown(*engine_, prop), expected) << "prop " << prop << " at " << at.count();
      ++compared_;
    }
  }

  std::shared_ptr<const Look> look_;
  Status status_;
  int compared_ = 0;
};

TEST_F(RepaintTest, ShowsWhatIsPaintedFromNothingWhateverCameBefore) {
  make(test::plan_of({test::e131_controller("bench")},
                     {{.name = "gate", .pixels = 12},
                      {.name = "shed", .pixels = 7, .universe = 2},
                      {.name = "pier", .pixels = 200, .universe = 3}}));
  plan_->patterns.push_back(several_steps());
  status_ = engine_->make_status();
  // The same in every run: 400 looks and commands of 1.5 s each at most.
  std::mt19937 random{20261126};  // NOLINT(cert-msc51-cpp): so that a failure comes back
  const std::vector<std::vector<std::string>> props = {
      {"gate"}, {"gate", "pier"}, {"shed"}, {"gate", "shed", "pier"}};
  Duration at{};
  for (int i = 0; i < 400; ++i) {
    LightAsked asked{.props = props[random() % props.size()],
                     .pattern = random() % 4 == 0 ? "red" : "several",
                     .level = light::Level::of(random() % 2 == 0 ? 1 : 0.3)};
    if (random() % 3 == 0) asked.region = "pixels 2-6";
    if (random() % 5 == 0) engine_->dark();
    look(asked, at);
    const int frames = static_cast<int>(13 + random() % 48);
    for (int frame = 0; frame < frames; ++frame, at += 25ms) {
      if (random() % 16 == 0) engine_->step(StepAsked::kNext, kStart + at);
      if (random() % 32 == 0) engine_->step(StepAsked::kOn, kStart + at);
      check(at, frame * Duration{25ms});
      if (HasFatalFailure()) return;
    }
  }
  EXPECT_GT(compared_, 10'000);
}

}  // namespace
}  // namespace panewalk::engine
