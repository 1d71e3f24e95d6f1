#include <algorithm>
#include <cmath>
#include <utility>

#include "patch/patcher.hpp"
#include "patch/places.hpp"

/// The part of Patcher that looks at what one output drives.
namespace panewalk::patch {
namespace {

using base::quoted;
using std::to_string;

/// Seconds that one frame of these chips takes on the data line, without the reset.
double line_time(const PatchedProp& prop, std::size_t chips) {
  return 8.0 * static_cast<double>(prop.format.order.channels() * chips) /
         prop.format.bits_per_second;
}

std::string milliseconds(double seconds) {
  const long tenths = std::lround(seconds * 10'000);
  return to_string(tenths / 10) + '.' + to_string(tenths % 10) + " ms";
}

}  // namespace

std::vector<Patcher::Chain> Patcher::chains() const {
  std::vector<Chain> chains;
  for (std::size_t i = 0; i < props_.size(); ++i) {
    if (!controller_of_[i] || props_[i].map == nullptr) continue;
    const std::optional<int> output = props_[i].placement.output;
    const auto same = std::find_if(chains.begin(), chains.end(), [&](const Chain& chain) {
      return output && chain.controller == *controller_of_[i] && chain.output == output;
    });
    if (same != chains.end()) {
      same->props.push_back(i);
    } else {
      chains.push_back(Chain{*controller_of_[i], output, {i}});
    }
  }
  return chains;
}

void Patcher::check_chains() {
  for (const Chain& chain : chains()) {
    if (same_speed(chain)) check_length(chain);
  }
}

// Chips of three and of four channels may share a data line: each takes its own bits off the
// front and passes the rest on. Chips of different speed can't: one clock rate drives the whole
// line.
bool Patcher::same_speed(const Chain& chain) {
  const PatchedProp& first = props_[chain.props.front()];
  bool same = true;
  for (const std::size_t index : chain.props) {
    const PatchedProp& prop = props_[index];
    if (prop.format.bits_per_second == first.format.bits_per_second) continue;
    same = false;
    const auto bits = [](const PatchedProp& of) {
      return quoted(of.name) + " takes " + to_string(std::lround(of.format.bits_per_second)) +
             " bits a second";
    };
    problems_.push_back(
        problem(prop_place(index, "output"),
                bits(prop) + ", but " + bits(first) + " on the same output of " +
                    quoted(controllers_[chain.controller].name),
                "chips of different speed can't share a data line; use another output"));
  }
  return same;
}

void Patcher::check_length(const Chain& chain) {
  const ControllerDescription& controller = controllers_[chain.controller];
  const PatchedProp& first = props_[chain.props.front()];
  std::size_t chips = 0;
  double seconds = 0;
  PixelFormat format = first.format;
  bool one_width = true;
  std::vector<std::string> parts;
  for (const std::size_t index : chain.props) {
    const PatchedProp& prop = props_[index];
    const std::size_t count = static_cast<std::size_t>(std::max(prop.placement.nulls, 0)) +
                              prop.map->size() + static_cast<std::size_t>(prop.map->spare_count());
    chips += count;
    seconds += line_time(prop, count);
    format.reset = std::max(format.reset, prop.format.reset);
    one_width = one_width && prop.format.order.channels() == first.format.order.channels();
    parts.push_back(quoted(prop.name) + " " + to_string(count));
  }
  seconds += std::chrono::duration<double>(format.reset).count();
  const int rate = controller.frames_per_second;
  const bool fits = one_width ? chips <= most_chips(format, rate) : seconds * rate <= 1 + 1e-9;
  if (fits) return;
  const bool shared = chain.props.size() > 1;
  std::string what = shared ? "output " + to_string(*chain.output) + " of " +
                                  quoted(controller.name) + " has " + to_string(chips) +
                                  " chips in one chain (" + base::listed(parts) + ")"
                            : quoted(first.name) + " has " + to_string(chips) +
                                  " chips in one chain on " + quoted(controller.name);
  std::string remedy = one_width ? "at most " + to_string(most_chips(format, rate)) + " at " +
                                       to_string(rate) + " per second"
                                 : "they take " + milliseconds(seconds) + " a frame, at most " +
                                       milliseconds(1.0 / rate) + " at " + to_string(rate) +
                                       " per second";
  const int slower = static_cast<int>(std::floor(1 / seconds + 1e-9));
  if (slower >= 1) remedy += ", or a rate of at most " + to_string(slower) + " per second";
  const std::size_t last = chain.props.back();
  problems_.push_back(problem(chain.output ? prop_place(last, "output") : prop_place(last),
                              std::move(what), std::move(remedy)));
}

}  // namespace panewalk::patch
