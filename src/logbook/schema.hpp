#pragma once

#include <span>
#include <string>

#include "base/result.hpp"
#include "logbook/database.hpp"

namespace panewalk::logbook {

/// "PnWk", in PRAGMA application_id: says that the file is ours.
inline constexpr std::int64_t kApplicationId = 0x506e576b;

/// What makes schema n + 1 of schema n; element 0 makes the first one in an empty file. One that
/// was released is never changed.
std::span<const char* const> migrations();

/// Brings the file to the newest of `steps`, or finds that it is there. Refuses, and leaves as it
/// is, what is damaged, of another program or of a newer schema.
Refusal prepare_schema(Database& database, const std::string& path, Access access,
                       std::span<const char* const> steps);

}  // namespace panewalk::logbook
