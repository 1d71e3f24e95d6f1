#pragma once

#include <cstdint>
#include <memory>
#include <optional>
#include <string>
#include <vector>

#include "cli/console.hpp"
#include "io/practice_faults.hpp"

namespace panewalk::cli {

/// What each --fault says: "PROP:FAULT", "PROP:FAULT=VALUE" or "PROP:surprise", which hides one
/// that can be seen under the prop's cap and on its supply; the seed says which. All problems at
/// once.
base::Result<std::vector<io::PracticeFault>> read_faults(
    const std::shared_ptr<const engine::Plan>& plan, const std::vector<std::string>& texts,
    std::uint64_t seed);

/// The same at random. Nothing, with the problems on standard error, where one is wrong.
std::optional<std::vector<io::PracticeFault>> read_faults(
    const std::shared_ptr<const engine::Plan>& plan, const std::vector<std::string>& texts,
    Console& console);

/// "Faults in the yard: slip-window:data-open=17, lantern:surprise.\n", as asked; "" without any.
std::string faults_asked(const std::vector<std::string>& texts);

/// For --help.
inline constexpr const char* kFaultWords =
    "Faults of the practice yard: data-open=17, power-open=17, pixel-dark=17, "
    "pixel-colour=17:red,\n"
    "pixel-stuck=17:white, colour-order=RGB, run-reversed=2, runs-swapped=1:2, pixel-skipped=17,\n"
    "pixel-extra=17, joint-late=B2, mirrored, turned, nulls=1, start-channel=3, packing=512,\n"
    "universe-missing=2, universe-shifted=1, count-short=50, leads-exchanged=PROP, no-response,\n"
    "sag=40, none; surprise hides one and tells nobody which.";

}  // namespace panewalk::cli
