#pragma once

#include <memory>
#include <optional>
#include <string>
#include <vector>

#include "cli/console.hpp"
#include "io/handle.hpp"
#include "io/session.hpp"

namespace panewalk::cli {

/// A session and the identity that it streams under, which is ours as long as it runs.
struct Running {
  io::Handle identity;
  std::unique_ptr<io::Session> session;
  packet::Cid cid;  ///< that it sends with
};
/// Starts a session under our name and lasting CID. Nothing, with the problems on standard error,
/// where that can't be.
std::optional<Running> start_session(std::shared_ptr<const engine::Plan> plan, io::Session::To to,
                                     Console& console, std::vector<io::PracticeFault> faults = {});

/// A line for each controller that has props: by which network card its packets leave, and who
/// chose it. "controller bench: E1.31 to 10.0.0.5:5568 by eth0 (10.0.0.2), the system's choice".
std::string ways_out(const engine::Plan& plan);

/// Sentences about what holds the light back or keeps packets from their place; none when all is
/// well.
std::vector<std::string> troubles(const io::Live& live, const engine::Plan& plan);

/// "corner top-left (2 of 4)" for a lit prop.
std::string caption(const engine::Look::Lit& lit, const engine::Status::Lit& playing);

/// Hazards to keep in mind when real props are lit.
inline constexpr const char* kCautions =
    "Caution: fuses, the right wire and GFCI/RCD protection keep you safe; the limits of this "
    "program "
    "don't.\n"
    "         Power off before you plug, cut or splice. Keep ladder and pipe 3 m (10 ft) from "
    "overhead "
    "lines.\n"
    "         Mains work and local codes are for a licensed electrician. Moving light can disturb "
    "people\n"
    "         who are sensitive to flashing: warn those who watch.\n";

}  // namespace panewalk::cli
