#pragma once

#include <cstddef>
#include <optional>
#include <span>
#include <vector>

#include "base/quantity.hpp"

namespace panewalk::power {

using base::Ohms;

/// The resistors of a chain fed from one supply: one node a pixel, one link between neighbours, a
/// tap from the supply to each node that is fed, and perhaps a brace between the first and the last
/// node. In volts below the supply ("drop"), so that nothing is lost to cancellation.
struct Ladder {
  struct Tap {
    std::size_t node = 0;  ///< from 0
    Ohms ohms;             ///< both conductors
    bool operator==(const Tap&) const = default;
  };
  std::vector<Ohms> links;  ///< links[i] joins node i and i + 1
  std::vector<Tap> taps;    ///< one or more
  std::optional<Ohms> brace;

  [[nodiscard]] std::size_t nodes() const { return taps.empty() ? 0 : links.size() + 1; }
};

/// Wire of no length: a nano-ohm, so that each node keeps a voltage of its own. At 20 A 20 nV.
inline constexpr Ohms kLeastOhms = Ohms::of(1e-9);
[[nodiscard]] double siemens(Ohms ohms);

/// The conductances of a ladder, factored: L D Lᵀ of a tridiagonal matrix whose last row is full,
/// in O(n). Solving allocates nothing.
class Factored {
 public:
  Factored() = default;
  /// At least one node.
  explicit Factored(const Ladder& ladder);

  /// Factors again with `less[i]` siemens taken from the diagonal of node i (a load whose current
  /// grows as its voltage falls). False where the matrix is no longer positive definite: there is
  /// no stable solution. Allocates nothing.
  bool refactor(std::span<const double> less);

  /// Amps drawn at each node in, volts of drop out.
  void solve(std::span<double> values) const;

  [[nodiscard]] std::size_t nodes() const { return diagonal_.size(); }
  /// Siemens of the ladder, at each node.
  [[nodiscard]] std::span<const double> diagonal() const { return diagonal_; }

 private:
  std::vector<double> diagonal_;  // of the ladder itself
  std::vector<double> link_;      // siemens
  double brace_ = 0;
  std::vector<double> pivot_;  // D
  std::vector<double> down_;   // L: node i + 1 on node i; the last entry is unused
  std::vector<double> last_;   // L: the last node on node i, beside down_
};

}  // namespace panewalk::power
