#pragma once

#include <vector>

#include "find/question.hpp"
#include "support/find_props.hpp"

namespace panewalk::test {

/// What a builder sees who looks at every station; none of the finder's shortcuts.
class Onlooker {
 public:
  Onlooker(const Case& prop, const practice::Fault& fault, const practice::Fault& second = {});

  [[nodiscard]] find::Sighting look(const find::Question& question) const;
  /// The answer with something wrong about it: one station missed, added or taken for another, one
  /// colour mistaken, a place a few pixels off or anywhere, yes for no.
  [[nodiscard]] find::Sighting err(const find::Question& question, find::Sighting right,
                                   Random& random) const;

 private:
  [[nodiscard]] std::vector<light::Colour> shown(const practice::AsBuilt& built,
                                                 const find::Picture& picture) const;
  [[nodiscard]] bool same(const find::Question& question) const;
  [[nodiscard]] std::vector<bool> lit_stations(const find::Question& question) const;

  const Case& prop_;
  practice::Fault fault_;
  practice::AsBuilt built_, sound_;
};

}  // namespace panewalk::test
