#pragma once

#include <string>

#include "check/bench.hpp"
#include "check/walk.hpp"

/// The JSON of bench checks and yard walks.
namespace panewalk::web {

std::string bench_body(const check::BenchState& state);
std::string walk_body(const check::WalkState& state);

}  // namespace panewalk::web
