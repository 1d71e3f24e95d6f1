#include "sheet/cut_list.hpp"

#include <algorithm>
#include <cmath>
#include <map>
#include <optional>

#include "sheet/members.hpp"

namespace panewalk::sheet {
namespace {

using prop::Frame;

constexpr double kAlike = 0.05;     // mm: nobody cuts finer
constexpr double kRounding = 1e-6;  // mm
constexpr double kShortest = 150;   // mm: a rest that is worth a coupling, where it can be had

Piece turned_round(Piece piece, const std::string& name) {
  std::reverse(piece.holes.begin(), piece.holes.end());
  for (Hole& hole : piece.holes) hole.at = piece.length - hole.at;
  std::swap(piece.marked_end, piece.other_end);
  piece.name = name;
  return piece;
}

bool holes_before(const Piece& a, const Piece& b) {
  for (std::size_t i = 0; i < a.holes.size(); ++i) {
    const double gap = (a.holes[i].at - b.holes[i].at).value();
    if (std::abs(gap) > kAlike) return gap < 0;
  }
  return false;
}

bool alike(const Piece& a, const Piece& b) {
  if (std::abs((a.length - b.length).value()) > kAlike || a.bent != b.bent ||
      a.marked_end != b.marked_end || a.other_end != b.other_end ||
      a.holes.size() != b.holes.size()) {
    return false;
  }
  return std::equal(a.holes.begin(), a.holes.end(), b.holes.begin(),
                    [](const Hole& one, const Hole& other) {
                      return std::abs((one.at - other.at).value()) <= kAlike &&
                             one.in_fitting == other.in_fitting;
                    });
}

class CutLister {
 public:
  CutLister(const Frame& frame, const prop::PipeDescription& pipe) : frame_{frame}, pipe_{pipe} {}

  CutList list() {
    for (const prop::Section& section : frame_.sections()) {
      if (section.kind == prop::ShapeKind::kPoints) {
        list_.without_pipe.push_back(section.name.empty() ? "the whole prop"
                                                          : "section " + section.name);
      }
    }
    for (const Member& member : members(frame_)) add(member);
    count_fittings();
    std::stable_sort(list_.pieces.begin(), list_.pieces.end(), [](const Piece& a, const Piece& b) {
      return (a.length - b.length).value() > kAlike;
    });
    find_kinds();
    std::vector<Millimetres> lengths;
    for (const Piece& piece : list_.pieces) lengths.push_back(piece.length);
    list_.packing = pack(lengths, pipe_.stock, pipe_.kerf);
    return std::move(list_);
  }

 private:
  [[nodiscard]] PipeEnd end_at(base::JointIndex joint) const {
    return frame_[joint].bars.size() == 1 ? PipeEnd::kCap : PipeEnd::kFitting;
  }

  /// How far the pipe begins after its joint; less than 0 where it goes beyond.
  Millimetres start_at(PipeEnd end) {
    if (end == PipeEnd::kFitting) {
      list_.in_fittings += pipe_.take_off;
      return pipe_.take_off;
    }
    list_.beyond += kBeyondFreeEnd;
    return -kBeyondFreeEnd;
  }

  void add(const Member& member) {
    list_.along_bars += member.length;
    const std::string first = frame_[member.from].name;
    const std::string last = frame_[member.to].name;
    if (member.closed) {
      // Parted midway between the first station and the one before it.
      const Millimetres gap = member.length - member.places.back().at;
      part(member, first + " and round", -(gap / 2), member.length - gap / 2, PipeEnd::kCoupling,
           PipeEnd::kCoupling);
      return;
    }
    const PipeEnd marked = end_at(member.from);
    const PipeEnd other = end_at(member.to);
    const Millimetres begin = start_at(marked);
    const Millimetres end = member.length - start_at(other);
    if (end - begin <= Millimetres::of(kRounding)) {
      list_.too_short.push_back(first + "-" + last);
      list_.in_fittings += end - begin;  // so that the sum still tells how far apart joints are
      return;
    }
    part(member, first + "-" + last, begin, end, marked, other);
  }

  /// Where a pipe that is too long is parted: the farthest midway that the stock reaches.
  [[nodiscard]] Millimetres parting(const Member& member, Millimetres from, Millimetres end) const {
    const Millimetres reach = from + pipe_.stock;
    std::optional<Millimetres> best;
    for (std::size_t i = 1; i < member.places.size(); ++i) {
      const Millimetres midway = (member.places[i - 1].at + member.places[i].at) / 2;
      if (midway <= from || midway > reach) continue;
      if (best && end - midway < Millimetres::of(kShortest)) break;
      best = midway;
    }
    return best.value_or(reach);
  }

  void part(const Member& member, const std::string& name, Millimetres begin, Millimetres end,
            PipeEnd marked, PipeEnd other) {
    std::vector<Millimetres> cuts{begin};
    while (end - cuts.back() > pipe_.stock + Millimetres::of(kRounding)) {
      cuts.push_back(parting(member, cuts.back(), end));
    }
    const std::size_t parts = cuts.size();
    cuts.push_back(end);
    for (std::size_t i = 0; i < parts; ++i) {
      Piece piece{.name = name,
                  .length = cuts[i + 1] - cuts[i],
                  .marked_end = i == 0 ? marked : PipeEnd::kCoupling,
                  .other_end = i + 1 == parts ? other : PipeEnd::kCoupling,
                  .bent = member.bent,
                  .holes = {}};
      if (parts > 1) {
        piece.name += " part " + std::to_string(i + 1) + " of " + std::to_string(parts);
        if (i > 0) couplings_.push_back(name);
      }
      drill(member, cuts[i], piece);
      const bool could_turn = parts == 1 && !member.closed;
      if (could_turn) {
        Piece turned = turned_round(piece, frame_[member.to].name + "-" + frame_[member.from].name);
        if (holes_before(turned, piece)) piece = std::move(turned);
      }
      list_.pieces.push_back(std::move(piece));
    }
    if (member.closed) couplings_.push_back(name);
  }

  void drill(const Member& member, Millimetres begin, Piece& piece) const {
    const Millimetres socket = socket_depth(pipe_.outside);
    for (const Member::Place& place : member.places) {
      if (!frame_[place.station].carries_pixel) continue;
      const Millimetres at = place.at - begin;
      if (at.value() <= kRounding || (piece.length - at).value() <= kRounding) continue;
      const bool in_first = piece.marked_end != PipeEnd::kCap && at < socket;
      const bool in_last = piece.other_end != PipeEnd::kCap && piece.length - at < socket;
      piece.holes.push_back({frame_[place.station].name, at, in_first || in_last});
    }
  }

  void count_fittings() {
    std::map<std::string, std::vector<std::string>> all;
    for (std::size_t i = 0; i < frame_.joints().size(); ++i) {
      const auto index = base::JointIndex::of(i);
      const prop::Joint& joint = frame_[index];
      if (frame_[joint.section].kind == prop::ShapeKind::kPoints) continue;
      const std::string kind = fitting_at(frame_, index);
      if (kind.empty()) continue;
      all[kind].push_back(joint.name);
      if (kind != "end cap" && frame_[joint.station].carries_pixel) {
        list_.drilled_fittings.push_back(joint.name);
      }
    }
    if (!couplings_.empty()) all["coupling"] = couplings_;
    for (auto& [kind, joints] : all) list_.fittings.push_back({kind, std::move(joints)});
  }

  void find_kinds() {
    for (std::size_t i = 0; i < list_.pieces.size(); ++i) {
      const auto same =
          std::find_if(list_.kinds.begin(), list_.kinds.end(), [this, i](const PieceKind& kind) {
            return alike(list_.pieces[kind.pieces.front()], list_.pieces[i]);
          });
      if (same != list_.kinds.end()) {
        same->pieces.push_back(i);
      } else {
        list_.kinds.push_back({"P" + std::to_string(list_.kinds.size() + 1), {i}});
      }
    }
  }

  const Frame& frame_;
  const prop::PipeDescription& pipe_;
  CutList list_;
  std::vector<std::string> couplings_;
};

}  // namespace

Millimetres socket_depth(Millimetres outside) {
  constexpr double kInch = 25.4;
  if (outside < Millimetres::of(24)) return Millimetres::of(0.688 * kInch);
  if (outside < Millimetres::of(30)) return Millimetres::of(0.719 * kInch);
  return Millimetres::of(0.875 * kInch);
}

CutList cut_list(const Frame& frame, const prop::PipeDescription& pipe) {
  return CutLister{frame, pipe}.list();
}

}  // namespace panewalk::sheet
