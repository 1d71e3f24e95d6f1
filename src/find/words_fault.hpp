#pragma once

#include <cstdint>
#include <string>
#include <vector>

#include "practice/fault.hpp"

/// What a fault is, in sentences.
namespace panewalk::find {

/// The pixel to mark on the drawing, 0 where there is none; for a count the last one driven, for a
/// joint its own.
std::int32_t pixel_of_fault(const practice::Subject& subject, const practice::Fault& fault);

/// The last pixel that the fault leaves light to look at: all of them where it hides none.
std::int32_t last_with_light(const practice::Subject& subject, const practice::Fault& fault);

/// What is wrong and where, seen from both sides.
std::string what_is_wrong(const practice::Subject& subject, const practice::Fault& fault,
                          bool bright);

/// The parts that it can be, in data order.
std::vector<std::string> suspects_of(const practice::Subject& subject,
                                     const practice::Fault& fault);

}  // namespace panewalk::find
