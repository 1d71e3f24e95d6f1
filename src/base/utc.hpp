#pragma once

#include <cstdint>
#include <string>

namespace panewalk::base {

/// "2026-11-25T17:08:21Z" (ISO 8601) for seconds since 1970-01-01T00:00:00Z, leap seconds not
/// counted. Years 0 to 9999 have four digits; `seconds` beyond them are cut to the nearest of
/// these.
std::string utc_text(std::int64_t seconds);

}  // namespace panewalk::base
