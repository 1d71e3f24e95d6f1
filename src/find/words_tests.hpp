#pragma once

#include <optional>
#include <string>

#include "practice/fault.hpp"

namespace panewalk::find {

/// The test that tells whether it is a fault of this kind, with a meter, a spare pixel or a look
/// at a setting; `one` where it has one place or value only.
std::string test_for(const practice::Subject& subject, practice::FaultKind kind,
                     const std::optional<practice::Fault>& one);

}  // namespace panewalk::find
