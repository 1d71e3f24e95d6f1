#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <string_view>

namespace panewalk::base {

/// "2026-11-25T17:08:21Z" (ISO 8601) for seconds since 1970-01-01T00:00:00Z, leap seconds not
/// counted. Years 0 to 9999 have four digits; `seconds` beyond them are cut to the nearest of
/// these.
std::string utc_text(std::int64_t seconds);

/// The first second of a day written as "2026-11-25", counted as above; nothing for what is no day
/// of the years 0 to 9999.
std::optional<std::int64_t> read_utc_day(std::string_view text);

}  // namespace panewalk::base
