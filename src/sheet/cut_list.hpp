#pragma once

#include <string>
#include <vector>

#include "prop/description.hpp"
#include "prop/frame.hpp"
#include "sheet/packing.hpp"

namespace panewalk::sheet {

using base::Millimetres;

/// Pipe beyond the last pixel of a free end, so that its hole does not split it: 1 in (common
/// practice, no source).
inline constexpr Millimetres kBeyondFreeEnd = Millimetres::of(25.4);

/// How far a pipe goes into a fitting: 0.688, 0.719, 0.875 in for half-inch, three-quarter and one
/// inch pipe (ASTM D2466; the last two from memory).
Millimetres socket_depth(Millimetres outside);

struct Hole {
  std::string station;
  Millimetres at;           ///< of its middle, along the pipe from the marked end
  bool in_fitting = false;  ///< its middle lies inside the socket: drill both together
};

enum class PipeEnd {
  kFitting,   ///< in the socket of a fitting
  kCap,       ///< free, with a cap
  kCoupling,  ///< goes on in the next piece
};

/// One piece of pipe.
struct Piece {
  std::string name;  ///< "A1-A2": marked at the end of the joint named first
  Millimetres length;
  PipeEnd marked_end = PipeEnd::kFitting, other_end = PipeEnd::kFitting;
  bool bent = false;  ///< the length is along its middle line
  std::vector<Hole> holes;
};

/// Pieces that are cut and drilled alike.
struct PieceKind {
  std::string id;                   ///< "P1", the longest first
  std::vector<std::size_t> pieces;  ///< indices
};

struct Fittings {
  std::string kind;                 ///< "90° elbow", "tee", "cross", "end cap", "coupling" …
  std::vector<std::string> joints;  ///< or pieces, for couplings
};

struct CutList {
  std::vector<Piece> pieces;
  std::vector<PieceKind> kinds;
  std::vector<Fittings> fittings;
  std::vector<std::string> drilled_fittings;  ///< joints whose pixel sits in the fitting
  /// Bars whose fittings leave no pipe between them.
  std::vector<std::string> too_short;
  std::vector<std::string> without_pipe;  ///< sections that are only points
  Packing packing;                        ///< of `pieces`
  /// Bars end to end, as described: all pieces + `in_fittings` − `beyond`.
  Millimetres along_bars;
  Millimetres in_fittings;  ///< all take-offs
  Millimetres beyond;       ///< all free ends
};

/// Pipe from joint to joint. Where two bars meet in line no fitting is needed, and one pipe goes
/// on; what is longer than the stock is parted midway between two stations.
CutList cut_list(const prop::Frame& frame, const prop::PipeDescription& pipe);

}  // namespace panewalk::sheet
