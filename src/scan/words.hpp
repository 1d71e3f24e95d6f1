#pragma once

#include <cstdint>
#include <set>
#include <string>
#include <string_view>
#include <vector>

#include "base/instant.hpp"
#include "packet/address.hpp"
#include "patch/description.hpp"

namespace panewalk::scan {

/// A text off the wire in double quotes, at most `most` columns of a terminal and then "…". What
/// could steer a terminal or turn the text around (C0, C1, bidirectional and invisible characters)
/// is written as \u009b, quotes and backslashes with a backslash; what is not UTF-8 as "?".
std::string shown(std::string_view text, std::size_t most = 40);

/// "10.0.0.9".
std::string dotted(packet::Ipv4 address);

/// Ascending numbers as "1 to 3, 7 and 9"; at most eight stretches, then "and 12 more".
std::string ranges(const std::vector<std::uint16_t>& ascending);

/// "universe 3", "Port-Addresses 9 and 10".
std::string numbered(patch::Protocol protocol, const std::vector<std::uint16_t>& ascending);

/// " by eth0 and wlan0", or nothing where the card is not known.
std::string by_cards(const std::set<std::string>& cards);

/// "1 packet", "4 packets".
std::string counted(std::uint64_t count, std::string_view one, std::string_view many);

/// "12.0 s"
std::string seconds_text(base::Duration time);
/// "1.2 %", "below 0.1 %", for a share of 0 to 1.
std::string percent(double share);

/// Text broken between words into lines of at most `columns`; each but the first begins with
/// `hang` blanks, the first with `indent`. A longer word is broken. Ends with a newline.
std::string wrapped(std::string_view text, std::size_t indent, std::size_t hang,
                    std::size_t columns);

}  // namespace panewalk::scan
