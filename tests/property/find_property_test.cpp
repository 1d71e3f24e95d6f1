#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

#include "find/candidates.hpp"
#include "find/finder.hpp"
#include "support/find_props.hpp"
#include "support/onlooker.hpp"

namespace panewalk::find {
namespace {

const std::vector<test::Case>& props() {
  static const std::vector<test::Case> all = [] {
    std::vector<test::Case> cases = test::demo_props();
    test::Random random{7};
    for (int i = 1; i <= 6; ++i) cases.push_back(test::random_window(random, i));
    return cases;
  }();
  return all;
}

struct Drawn {
  const test::Case& prop;
  practice::Fault fault;
};
Drawn draw() {
  const auto& prop = props()[*rc::gen::inRange<std::size_t>(0, props().size())];
  const auto faults = practice::all_faults(prop.subject);
  return {prop, faults[*rc::gen::inRange<std::size_t>(0, faults.size())]};
}

/// The finder's sight takes short cuts; a builder who looks at every station takes none.
RC_GTEST_PROP(Sight, AgreesWithALookAtEveryStation, ()) {
  const Drawn drawn = draw();
  const practice::AsBuilt sound = practice::as_described(drawn.prop.subject);
  const Hypothesis wrong{.fault = drawn.fault,
                         .second = {},
                         .built = practice::with_fault(drawn.prop.subject, sound, drawn.fault)};
  const test::Onlooker onlooker{drawn.prop, drawn.fault};
  const auto all = single_faults(drawn.prop.subject, {});
  std::vector<Weighted> likely;
  for (const Hypothesis& each : all) likely.push_back({&each, each.prior});
  const auto round = *rc::gen::inRange<std::size_t>(0, 5);
  for (const Question& question :
       candidates(drawn.prop.subject, likely, drawn.prop.bright, round)) {
    const Sight sight{drawn.prop.subject, sound, question};
    RC_ASSERT(sight.of(wrong) == onlooker.look(question));
  }
}

/// Some hundred milliseconds each in a debug build: `./run bench find` plays thousands.
TEST(Finder, NamesTheFaultOrThoseThatNoLightTellsFromIt) {
  test::Random random{20'261'126};
  constexpr int kSearches = 24;
  for (int i = 0; i < kSearches; ++i) {
    const auto last = static_cast<std::int32_t>(props().size()) - 1;
    const test::Case& prop = props()[static_cast<std::size_t>(test::pick(random, 0, last))];
    const auto faults = practice::all_faults(prop.subject);
    const auto most = static_cast<std::int32_t>(faults.size()) - 1;
    const practice::Fault fault = faults[static_cast<std::size_t>(test::pick(random, 0, most))];
    const test::Onlooker onlooker{prop, fault};
    Finder finder{prop.subject, {.experience = {}, .bright = prop.bright}};
    while (!finder.done()) finder.answer(onlooker.look(finder.question()));
    const Finding finding = finder.finding();
    bool named = finding.likeliest.fault == fault;
    for (std::size_t k = 0; k < finding.look_alike; ++k) {
      named = named || finding.also_possible[k].fault == fault;
    }
    EXPECT_TRUE(named) << prop.name << ' ' << practice::to_text(prop.subject, fault);
    EXPECT_LE(finding.questions, 14);
  }
}

}  // namespace
}  // namespace panewalk::find
