#include "sheet/packing.hpp"

#include <algorithm>
#include <cmath>
#include <numeric>

#include "base/check.hpp"

namespace panewalk::sheet {
namespace {

constexpr double kRounding = 1e-6;     // mm
constexpr std::size_t kSearched = 80;  // pieces; more are left as first-fit decreasing packs them
constexpr int kMostSteps = 300'000;

/// Each piece has its cut with it, and a stick one cut more than it is long: so the last is free.
class Packer {
 public:
  Packer(const std::vector<base::Millimetres>& pieces, base::Millimetres stock,
         base::Millimetres kerf)
      : room_{(stock + kerf).value()}, order_(pieces.size()) {
    std::iota(order_.begin(), order_.end(), std::size_t{0});
    std::stable_sort(order_.begin(), order_.end(),
                     [&pieces](std::size_t a, std::size_t b) { return pieces[a] > pieces[b]; });
    for (const std::size_t index : order_) {
      PANEWALK_CHECK(pieces[index] <= stock + base::Millimetres::of(kRounding));
      takes_.push_back((pieces[index] + kerf).value());
    }
    rest_.resize(takes_.size() + 1, 0);
    for (std::size_t i = takes_.size(); i > 0; --i) rest_[i - 1] = rest_[i] + takes_[i - 1];
  }

  Packing pack() {
    Packing packing;
    packing.bound = sticks_for(rest_.front());
    best_ = first_fit();
    best_sticks_ = sticks_of(best_);
    bool ended = true;
    if (best_sticks_ > packing.bound && takes_.size() <= kSearched) {
      bound_ = packing.bound;
      stick_of_.assign(takes_.size(), 0);
      search(0);
      ended = steps_ < kMostSteps;
    } else {
      ended = best_sticks_ == packing.bound;
    }
    packing.proven = ended || best_sticks_ == packing.bound;
    packing.sticks.resize(best_sticks_);
    for (std::size_t i = 0; i < best_.size(); ++i) packing.sticks[best_[i]].push_back(order_[i]);
    return packing;
  }

 private:
  [[nodiscard]] std::size_t sticks_for(double length) const {
    return static_cast<std::size_t>(std::ceil((length - kRounding) / room_));
  }
  static std::size_t sticks_of(const std::vector<std::size_t>& stick_of) {
    return stick_of.empty() ? 0 : *std::max_element(stick_of.begin(), stick_of.end()) + 1;
  }

  [[nodiscard]] std::vector<std::size_t> first_fit() const {
    std::vector<double> free;
    std::vector<std::size_t> stick_of;
    for (const double takes : takes_) {
      const auto fits = std::find_if(free.begin(), free.end(),
                                     [takes](double room) { return takes <= room + kRounding; });
      stick_of.push_back(static_cast<std::size_t>(fits - free.begin()));
      if (fits == free.end()) {
        free.push_back(room_ - takes);
      } else {
        *fits -= takes;
      }
    }
    return stick_of;
  }

  // Depth first, the longest pieces first; false once nothing better can be.
  bool search(std::size_t piece) {
    if (++steps_ >= kMostSteps) return false;
    if (piece == takes_.size()) {
      best_ = stick_of_;
      best_sticks_ = free_.size();
      return best_sticks_ > bound_;
    }
    const double still_free = std::accumulate(free_.begin(), free_.end(), 0.0);
    const double over = rest_[piece] - still_free;
    const std::size_t more = over > kRounding ? sticks_for(over) : 0;
    if (free_.size() + more >= best_sticks_) return true;
    for (std::size_t stick = 0; stick < free_.size(); ++stick) {
      if (takes_[piece] > free_[stick] + kRounding) continue;
      const auto begin = free_.begin();
      const auto here = begin + static_cast<std::ptrdiff_t>(stick);
      if (std::find(begin, here, *here) != here) continue;  // one just as free was tried
      const double before = free_[stick];
      free_[stick] -= takes_[piece];
      stick_of_[piece] = stick;
      if (!search(piece + 1)) return false;
      free_[stick] = before;
    }
    if (free_.size() + 1 < best_sticks_) {
      free_.push_back(room_ - takes_[piece]);
      stick_of_[piece] = free_.size() - 1;
      if (!search(piece + 1)) return false;
      free_.pop_back();
    }
    return true;
  }

  double room_;
  std::vector<std::size_t> order_;
  std::vector<double> takes_;  // mm, the longest first
  std::vector<double> rest_;   // of a piece and all after it
  std::vector<std::size_t> best_, stick_of_;
  std::vector<double> free_;
  std::size_t best_sticks_ = 0, bound_ = 0;
  int steps_ = 0;
};

}  // namespace

Packing pack(const std::vector<base::Millimetres>& pieces, base::Millimetres stock,
             base::Millimetres kerf) {
  if (pieces.empty()) return {.sticks = {}, .bound = 0, .proven = true};
  return Packer{pieces, stock, kerf}.pack();
}

base::Millimetres leftover(const std::vector<base::Millimetres>& pieces,
                           const std::vector<std::size_t>& stick, base::Millimetres stock,
                           base::Millimetres kerf) {
  base::Millimetres left = stock + kerf;
  for (const std::size_t piece : stick) left = left - pieces[piece] - kerf;
  return std::max(left - kerf, base::Millimetres::of(0));
}

}  // namespace panewalk::sheet
