#include "wiring/pieces.hpp"

#include <algorithm>
#include <set>

namespace panewalk::wiring {
namespace {

using base::StationIndex;

/// The pixels as a graph, with some joints taken out of it.
class Pixels {
 public:
  explicit Pixels(const prop::Frame& frame)
      : frame_{frame}, out_(frame.stations().size()), piece_(frame.stations().size()) {}

  [[nodiscard]] bool carries(StationIndex i) const { return frame_[i].carries_pixel; }
  [[nodiscard]] bool is_out(StationIndex i) const { return out_[i.value()]; }
  void set_out(StationIndex i, bool out) { out_[i.value()] = out; }
  [[nodiscard]] std::size_t piece_of(StationIndex i) const { return piece_[i.value()]; }

  /// Pixels that run to this one, each once.
  [[nodiscard]] std::set<StationIndex> beside(StationIndex i) const {
    std::set<StationIndex> all;
    for (const prop::Neighbour& next : frame_.neighbours(i)) {
      if (carries(next.station) && next.station != i) all.insert(next.station);
    }
    return all;
  }

  /// Numbers the pieces that are left, from 1.
  std::size_t count_pieces() {
    std::fill(piece_.begin(), piece_.end(), 0);
    std::size_t count = 0;
    for (std::size_t i = 0; i < piece_.size(); ++i) {
      const StationIndex start = StationIndex::of(i);
      if (!carries(start) || is_out(start) || piece_[i] != 0) continue;
      ++count;
      std::vector<StationIndex> open{start};
      piece_[i] = count;
      while (!open.empty()) {
        const StationIndex here = open.back();
        open.pop_back();
        for (const prop::Neighbour& next : frame_.neighbours(here)) {
          const std::size_t at = next.station.value();
          if (!carries(next.station) || is_out(next.station) || piece_[at] != 0) continue;
          piece_[at] = count;
          open.push_back(next.station);
        }
      }
    }
    return count;
  }

 private:
  const prop::Frame& frame_;
  std::vector<bool> out_;
  std::vector<std::size_t> piece_;  // by station; 0 for what is out or empty
};

}  // namespace

PiecesBound pieces_bound(const prop::Frame& frame) {
  Pixels pixels{frame};
  std::vector<std::size_t> part(frame.stations().size());
  const std::size_t parts = pixels.count_pieces();
  for (std::size_t i = 0; i < part.size(); ++i) part[i] = pixels.piece_of(StationIndex::of(i));

  std::vector<StationIndex> out;
  for (const prop::Joint& joint : frame.joints()) {
    if (!pixels.carries(joint.station) || pixels.beside(joint.station).size() < 3) continue;
    pixels.set_out(joint.station, true);
    out.push_back(joint.station);
  }
  // A joint whose return joins at most one piece to it is better left in.
  constexpr std::size_t kMostTried = 400;
  for (bool changed = out.size() <= kMostTried; changed;) {
    changed = false;
    pixels.count_pieces();
    for (std::size_t i = 0; i < out.size(); ++i) {
      std::set<std::size_t> around;
      for (const StationIndex next : pixels.beside(out[i])) {
        if (!pixels.is_out(next)) around.insert(pixels.piece_of(next));
      }
      if (around.size() > 1) continue;
      pixels.set_out(out[i], false);
      out.erase(out.begin() + static_cast<std::ptrdiff_t>(i));
      changed = true;
      break;
    }
  }
  // A part that is no worse off whole counts as one piece.
  pixels.count_pieces();
  std::vector<std::set<std::size_t>> pieces_in(parts + 1);
  std::vector<std::size_t> joints_in(parts + 1);
  for (std::size_t i = 0; i < part.size(); ++i) {
    const std::size_t piece = pixels.piece_of(StationIndex::of(i));
    if (piece != 0) pieces_in[part[i]].insert(piece);
  }
  for (const StationIndex joint : out) ++joints_in[part[joint.value()]];
  PiecesBound bound;
  for (std::size_t p = 1; p <= parts; ++p) {
    const bool whole = pieces_in[p].size() < joints_in[p] + 2;
    bound.pieces += whole ? 1 : pieces_in[p].size();
    bound.joints += whole ? 0 : joints_in[p];
  }
  return bound;
}

}  // namespace panewalk::wiring
