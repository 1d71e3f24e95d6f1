#include "engine/settled.hpp"

#include "base/check.hpp"
#include "engine/engine.hpp"

namespace panewalk::engine {
namespace {

/// By then a picture has faded in, and no flash limit holds the next one (at most 0.64 s).
constexpr Duration kStandsStill = std::chrono::seconds{2};

std::vector<light::Colour> by_slot(const light::SafeFrame& frame, std::size_t prop,
                                   std::size_t props, const std::vector<std::size_t>& slots) {
  std::vector<light::Colour> colours(slots.size());
  std::size_t next = 0;
  for (const light::Colour colour : frame.prop(prop)) colours[slots[next++]] = colour;
  for (const light::Colour colour : frame.prop(props + prop)) colours[slots[next++]] = colour;
  return colours;
}

}  // namespace

std::vector<std::vector<light::Colour>> settled(const std::shared_ptr<const Plan>& plan,
                                                const Look& look) {
  std::vector<std::vector<light::Colour>> all;
  const Look::Lit& lit = look.lit.front();
  if (lit.pictures.colours.empty()) return all;
  const std::vector<std::size_t> slots = plan->canvas_slots(lit.prop);
  Engine engine{plan, {.cid = packet::Cid::of({}), .source_name = {}, .reroute = {}}};
  Instant now{};
  engine.start(now);
  auto shared = std::make_shared<const Look>(look);
  engine.light(shared, now);
  engine.step(StepAsked::kHold, now);
  for (std::size_t i = 0; i < lit.beats(); ++i) {
    now += kStandsStill;
    if (i > 0) engine.step(StepAsked::kNext, now);
    static_cast<void>(engine.tick(now));
    PANEWALK_CHECK(!engine.holds());
    all.push_back(by_slot(engine.shown(), lit.prop, plan->props.size(), slots));
  }
  return all;
}

}  // namespace panewalk::engine
