#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

#include <algorithm>
#include <cmath>
#include <numeric>

#include "sheet/cut_list.hpp"
#include "sheet/packing.hpp"
#include "support/frames.hpp"

namespace panewalk::sheet {
namespace {

using base::Millimetres;

std::vector<Millimetres> as_lengths(const std::vector<int>& whole) {
  std::vector<Millimetres> all;
  for (const int length : whole) all.push_back(Millimetres::of(length));
  return all;
}

/// First-fit decreasing in whole millimetres, written apart from the packer: a stick is what it
/// holds.
std::size_t first_fit_decreasing(std::vector<int> lengths, int stock, int kerf) {
  std::sort(lengths.rbegin(), lengths.rend());
  std::vector<std::vector<int>> sticks;
  const auto used = [kerf](const std::vector<int>& stick) {
    return std::accumulate(stick.begin(), stick.end(), 0) +
           kerf * (static_cast<int>(stick.size()) - 1);
  };
  for (const int length : lengths) {
    bool placed = false;
    for (auto& stick : sticks) {
      stick.push_back(length);
      if (used(stick) <= stock) {
        placed = true;
        break;
      }
      stick.pop_back();
    }
    if (!placed) sticks.push_back({length});
  }
  return sticks.size();
}

/// All ways to put pieces into at most `sticks` sticks, with no cleverness.
bool fits_into(const std::vector<int>& lengths, std::size_t piece, std::vector<int>& free,
               int kerf) {
  if (piece == lengths.size()) return true;
  for (int& room : free) {
    if (room < lengths[piece] + kerf) continue;
    room -= lengths[piece] + kerf;
    if (fits_into(lengths, piece + 1, free, kerf)) return true;
    room += lengths[piece] + kerf;
  }
  return false;
}

struct Order {
  std::vector<int> lengths;
  int stock = 0, kerf = 0;
};

Order some_order(std::size_t most_pieces) {
  Order order;
  order.stock = *rc::gen::inRange(300, 3049);
  order.kerf = *rc::gen::inRange(0, 5);
  const int stock = order.stock;
  order.lengths =
      *rc::gen::resize(static_cast<int>(most_pieces),
                       rc::gen::container<std::vector<int>>(rc::gen::inRange(1, stock + 1)));
  return order;
}

RC_GTEST_PROP(Packing, IsNeverWorseThanFirstFitDecreasingNorBelowTheVolume, ()) {
  const Order order = some_order(60);
  const auto lengths = as_lengths(order.lengths);
  const Packing packing = pack(lengths, Millimetres::of(order.stock), Millimetres::of(order.kerf));
  RC_ASSERT(packing.sticks.size() <= first_fit_decreasing(order.lengths, order.stock, order.kerf));
  const long long volume = std::accumulate(order.lengths.begin(), order.lengths.end(), 0LL);
  RC_ASSERT(static_cast<long long>(packing.sticks.size()) * order.stock >= volume);
  RC_ASSERT(packing.sticks.size() >= packing.bound);
}

RC_GTEST_PROP(Packing, HoldsEachPieceOnceAndNoStickTooMuch, ()) {
  const Order order = some_order(60);
  const auto lengths = as_lengths(order.lengths);
  const Packing packing = pack(lengths, Millimetres::of(order.stock), Millimetres::of(order.kerf));
  std::vector<int> times(order.lengths.size(), 0);
  for (const auto& stick : packing.sticks) {
    RC_ASSERT(!stick.empty());
    int used = -order.kerf;
    for (const std::size_t piece : stick) {
      used += order.lengths[piece] + order.kerf;
      ++times[piece];
    }
    RC_ASSERT(used <= order.stock);
  }
  RC_ASSERT(std::all_of(times.begin(), times.end(), [](int count) { return count == 1; }));
}

RC_GTEST_PROP(Packing, ThatIsProvenIsTheBestThereIs, ()) {
  const Order order = some_order(8);
  RC_PRE(order.lengths.size() <= 8U);
  const Packing packing =
      pack(as_lengths(order.lengths), Millimetres::of(order.stock), Millimetres::of(order.kerf));
  RC_ASSERT(packing.proven);
  if (packing.sticks.size() < 2) return;
  std::vector<int> free(packing.sticks.size() - 1, order.stock + order.kerf);
  RC_ASSERT(!fits_into(order.lengths, 0, free, order.kerf));
}

RC_GTEST_PROP(CutList, LosesNoLength, ()) {
  const int across = *rc::gen::inRange(2, 9);
  const int down = *rc::gen::inRange(2, 9);
  std::vector<int> uprights;
  for (int i = 2; i < across; ++i) {
    if (*rc::gen::arbitrary<bool>()) uprights.push_back(i);
  }
  std::vector<int> levels;
  for (int i = 2; i < down; ++i) {
    if (*rc::gen::arbitrary<bool>()) levels.push_back(i);
  }
  const auto frame = test::frame_of({test::section(
      test::window(test::pitch(across, *rc::gen::inRange(20, 200)),
                   test::pitch(down, *rc::gen::inRange(20, 200)), uprights, levels))});
  prop::PipeDescription pipe;
  pipe.take_off = Millimetres::of(*rc::gen::inRange(0, 40));
  pipe.stock = Millimetres::of(*rc::gen::inRange(150, 3000));
  const CutList cuts = cut_list(frame, pipe);
  double bars = 0;
  for (const prop::Bar& bar : frame.bars()) bars += bar.length.value();
  double pieces = 0;
  std::size_t holes = 0;
  for (const Piece& piece : cuts.pieces) {
    RC_ASSERT(piece.length <= pipe.stock + Millimetres::of(1e-6));
    pieces += piece.length.value();
    holes += piece.holes.size();
    for (const Hole& hole : piece.holes) RC_ASSERT(hole.at > Millimetres::of(0));
  }
  RC_ASSERT(std::abs(pieces + cuts.in_fittings.value() - cuts.beyond.value() - bars) < 1e-6);
  RC_ASSERT(holes + cuts.drilled_fittings.size() <= frame.pixel_count());
}

}  // namespace
}  // namespace panewalk::sheet
