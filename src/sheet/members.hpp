#pragma once

#include <string>
#include <vector>

#include "prop/frame.hpp"

namespace panewalk::sheet {

/// A pipe before it is cut: bars that follow each other in line.
struct Member {
  struct Place {
    base::StationIndex station;
    base::Millimetres at;  ///< along the bars, from the joint `from`
  };
  base::JointIndex from, to;
  base::Millimetres length;
  std::vector<Place> places;  ///< both joints included; of a closed one only the first
  bool closed = false;
  bool bent = false;
};

/// Every bar of every section but those of points, once.
std::vector<Member> members(const prop::Frame& frame);

/// Whether a pipe goes on through this joint: two bars that meet in line, or an arc's.
bool passes_through(const prop::Frame& frame, base::JointIndex joint);

/// "90° elbow", "tee", "cross", "end cap", "three-way fitting"; "" where none is needed.
std::string fitting_at(const prop::Frame& frame, base::JointIndex joint);

}  // namespace panewalk::sheet
