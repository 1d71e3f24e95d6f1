#include <algorithm>

#include "engine/engine.hpp"

// What each prop shows at an instant, painted over what its canvas held: only what differs costs.
namespace panewalk::engine {
namespace {

/// A cut between two pictures is softened into a fade: 0.3 s, common practice, no source.
constexpr Duration kFade = std::chrono::milliseconds{300};

}  // namespace

void Engine::forget_pictures() {
  pictures_.assign(pictures_.size(), Picture{});
  shown_pictures_.assign(shown_pictures_.size(), Picture{});
}

void Engine::touch(std::size_t prop, const Touched& touched) {
  touched_[prop].include(touched.pixels);
  touched_[hidden_of(prop)].include(touched.hidden);
}

void Engine::touch_all(std::size_t prop) {
  touch(prop, {.pixels = light::Extent::whole(wanted_.prop(prop).size()),
               .hidden = light::Extent::whole(wanted_.prop(hidden_of(prop)).size())});
}

bool Engine::is_touched(std::size_t prop) const {
  return !touched_[prop].empty() || !touched_[hidden_of(prop)].empty();
}

/// A prop whose controller has nothing to show keeps what it has, which is what is shown.
void Engine::paint(Instant now) {
  std::size_t next_lit = 0;
  for (std::size_t prop = 0; prop < plan_->props.size(); ++prop) {
    std::optional<std::size_t> lit;
    if (next_lit < look_->lit.size() && look_->lit[next_lit].prop == prop) lit = next_lit++;
    if (pending_[plan_->patch.props[prop].controller()]) paint_prop(prop, lit, now);
  }
}

void Engine::paint_prop(std::size_t prop, std::optional<std::size_t> lit, Instant now) {
  if (lit) {
    paint_beat(prop, *lit, now);
  } else {
    paint_black(prop);
  }
  if (now - look_since_ >= kFade) return;
  const double share =
      static_cast<double>((now - look_since_).count()) / static_cast<double>(kFade.count());
  for (const std::size_t stretch : {prop, hidden_of(prop)}) {
    light::fade_in(fade_from_.prop(stretch), wanted_.prop(stretch), share);
  }
  touch_all(prop);
  pictures_[prop] = {};
}

void Engine::paint_black(std::size_t prop) {
  if (pictures_[prop].of != Picture::Of::kBlack) {
    light::fill(wanted_.prop(prop), light::kBlack);
    light::fill(wanted_.prop(hidden_of(prop)), light::kBlack);
    pictures_[prop] = {.of = Picture::Of::kBlack};
  }
  if (shown_pictures_[prop].of != Picture::Of::kBlack) touch_all(prop);
}

void Engine::paint_beat(std::size_t prop, std::size_t lit, Instant now) {
  const Look::Lit& look = look_->lit[lit];
  const pattern::Beat beat = beat_of(lit, now);
  const auto pixels = wanted_.prop(prop);
  const auto hidden = wanted_.prop(hidden_of(prop));
  if (pictures_[prop].of == Picture::Of::kBeat) {
    look.repaint(pictures_[prop].beat, beat, pixels, hidden);
  } else {
    look.paint(beat, pixels, hidden);
  }
  pictures_[prop] = {.of = Picture::Of::kBeat, .beat = beat};
  std::optional<Touched> difference;
  if (shown_pictures_[prop].of == Picture::Of::kBeat) {
    difference = look.difference(shown_pictures_[prop].beat, beat);
  }
  if (difference) {
    touch(prop, *difference);
  } else {
    touch_all(prop);
  }
}

/// The limiter exchanged a prop that was touched as a whole, and copied of others what was touched.
void Engine::pass_on() {
  for (std::size_t prop = 0; prop < pictures_.size(); ++prop) {
    if (!touched_[prop].empty()) ++versions_[prop];
    if (touched_[prop] == light::Extent::whole(wanted_.prop(prop).size())) {
      std::swap(pictures_[prop], shown_pictures_[prop]);
    } else {
      shown_pictures_[prop] = pictures_[prop];
    }
  }
  for (std::size_t i = 0; i < touched_.size(); ++i) {
    unpacked_[i].include(touched_[i]);
    touched_[i] = {};
  }
}

}  // namespace panewalk::engine
