#pragma once

#include <algorithm>
#include <cmath>
#include <cstddef>
#include <limits>
#include <vector>

#include "light/colour.hpp"

/// Judges what the flash limiter shows. It shares nothing with the limiter: its own weights,
/// floating point, and the longest alternating sequence in every window instead of a running state.
namespace panewalk::test::judge {

using light::Colour;

struct Sample {
  double value = 0;   // sum over the pixels, full light 1 each
  double pixels = 0;  // of the props that count
};
struct Moment {
  double ms = 0;
  bool darkened = false;           // made by dark()
  std::vector<Sample> light, red;  // by prop; all lit props together come last
};

constexpr double kHair = 1e-9;  // far below one level of one pixel

inline double judged_light(Colour c) {  // ITU-R BT.709-6, item 3.2; white chip 1
  return (0.2126 * c.red + 0.7152 * c.green + 0.0722 * c.blue + c.white) / 255;
}

inline double judged_red(Colour c) {  // WCAG 2.0, red flash; white lights all three
  const double r = c.red + c.white;
  const double g = c.green + c.white;
  const double b = c.blue + c.white;
  if (r == 0 || r / (r + g + b) < 0.8 - kHair) return 0;
  return std::max(0.0, (r - g - b) / 255);
}

template <class Frame>
Moment seen(const Frame& frame, double ms, bool darkened) {
  Moment moment{ms, darkened, {}, {}};
  Sample all_light;
  Sample all_red;
  for (std::size_t i = 0; i < frame.props(); ++i) {
    const auto pixels = static_cast<double>(frame.prop(i).size());
    Sample light{0, pixels};
    Sample red{0, pixels};
    bool lit = false;
    for (const Colour colour : frame.prop(i)) {
      light.value += judged_light(colour);
      red.value += judged_red(colour);
      lit = lit || colour != light::kBlack;
    }
    moment.light.push_back(light);
    moment.red.push_back(red);
    all_light.value += light.value;
    all_red.value += red.value;
    if (lit) all_light.pixels = all_red.pixels += pixels;
  }
  moment.light.push_back(all_light);
  moment.red.push_back(all_red);
  return moment;
}

struct Signal {
  std::vector<double> ms;
  std::vector<bool> darkened;
  std::vector<Sample> samples;
  double share = 0;  // 0.10 of the light, 1/16 of the red
};

inline bool apart(const Signal& signal, std::size_t i, std::size_t j) {
  const Sample a = signal.samples[i];
  const Sample b = signal.samples[j];
  const double least = signal.share * std::max(a.pixels, b.pixels);
  return least > 0 && std::abs(a.value - b.value) >= least - kHair;
}

/// The most changes to and fro by a flash's worth that can be picked from frames first … last.
inline int most_changes(const Signal& signal, std::size_t first, std::size_t last) {
  std::vector<int> ends_up(last - first + 1);
  std::vector<int> ends_down(last - first + 1);
  int most = 0;
  for (std::size_t j = first; j <= last; ++j) {
    int& up = ends_up[j - first];
    int& down = ends_down[j - first];
    for (std::size_t i = first; i < j; ++i) {
      if (!apart(signal, i, j)) continue;
      if (signal.samples[j].value > signal.samples[i].value) {
        up = std::max(up, ends_down[i - first] + 1);
      } else {
        down = std::max(down, ends_up[i - first] + 1);
      }
    }
    most = std::max({most, up, down});
  }
  return most;
}

/// A flash is a pair of opposing changes (WCAG 2.2): at most three in any second, its end included.
inline bool at_most_three_flashes_a_second(const Signal& signal) {
  std::size_t last = 0;
  for (std::size_t first = 0; first < signal.ms.size(); ++first) {
    while (last + 1 < signal.ms.size() && signal.ms[last + 1] - signal.ms[first] <= 1000) ++last;
    if (most_changes(signal, first, last) / 2 > 3) return false;
  }
  return true;
}

/// Less than 360 ms hold one rise and one fall, and the end of a slow change before them.
inline bool at_most_one_flash_in_360_ms(const Signal& signal) {
  for (std::size_t first = 0; first < signal.ms.size(); ++first) {
    std::size_t last = first;
    while (last + 1 < signal.ms.size() && signal.ms[last + 1] - signal.ms[first] < 360 &&
           !signal.darkened[last + 1]) {
      ++last;
    }
    if (most_changes(signal, first, last) > 3) return false;
  }
  return true;
}

/// Turning points with every swing below `least` taken out, the smallest first.
inline std::vector<std::size_t> turning_points(const std::vector<double>& value, double least) {
  std::vector<std::size_t> points;
  for (std::size_t i = 0; i < value.size(); ++i) {
    if (points.size() >= 2) {
      const double before = value[points[points.size() - 2]];
      const double last = value[points.back()];
      if ((last > before && value[i] >= last) || (last < before && value[i] <= last)) {
        points.back() = i;
        continue;
      }
    }
    if (points.empty() || value[i] != value[points.back()]) points.push_back(i);
  }
  for (;;) {
    std::size_t at = 0;
    double smallest = std::numeric_limits<double>::infinity();
    for (std::size_t i = 0; i + 1 < points.size(); ++i) {
      const double swing = std::abs(value[points[i + 1]] - value[points[i]]);
      if (swing < smallest) smallest = swing, at = i;
    }
    if (smallest >= least - kHair) return points;
    const auto from = points.begin() + static_cast<std::ptrdiff_t>(at);
    if (at + 2 == points.size()) {
      points.pop_back();
    } else {
      points.erase(from, from + 2);
    }
  }
}

/// For a signal whose flash's worth stays the same: leading edges of rises at least 360 ms apart,
/// of falls too unless dark() made the fall.
inline bool edges_are_spaced(const Signal& signal) {
  const double least = signal.share * signal.samples.front().pixels;
  if (least == 0) return true;
  std::vector<double> value{1e9};  // so that the dark start is a turning point
  for (const Sample& sample : signal.samples) value.push_back(sample.value);
  const std::vector<std::size_t> points = turning_points(value, least);
  double last_rise = -1e9;
  double last_fall = -1e9;
  for (std::size_t p = 1; p + 1 < points.size(); ++p) {
    const bool rises = value[points[p + 1]] > value[points[p]];
    std::size_t edge = points[p];
    while (std::abs(value[edge] - value[points[p]]) < least - kHair) ++edge;
    const double ms = signal.ms[edge - 1];
    double& last = rises ? last_rise : last_fall;
    const bool exempt = !rises && signal.darkened[edge - 1];
    if (!exempt && ms - last < 360) return false;
    last = ms;
  }
  return true;
}

inline std::vector<Signal> signals_of(const std::vector<Moment>& moments) {
  std::vector<Signal> signals;
  for (std::size_t i = 0; i < moments.front().light.size(); ++i) {
    Signal light{{}, {}, {}, 0.1};
    Signal red{{}, {}, {}, 1.0 / 16};
    for (const Moment& moment : moments) {
      for (Signal* signal : {&light, &red}) {
        signal->ms.push_back(moment.ms);
        signal->darkened.push_back(moment.darkened);
      }
      light.samples.push_back(moment.light[i]);
      red.samples.push_back(moment.red[i]);
    }
    signals.push_back(light);
    signals.push_back(red);
  }
  return signals;
}

inline bool same_worth_throughout(const Signal& signal) {
  return std::ranges::all_of(signal.samples, [&](const Sample& sample) {
    return sample.pixels == signal.samples.front().pixels;
  });
}

}  // namespace panewalk::test::judge
