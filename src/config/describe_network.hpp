#pragma once

#include <array>
#include <optional>
#include <string>
#include <string_view>

#include "config/reader.hpp"
#include "patch/description.hpp"

/// The part of a site file that says how packets leave this machine.
namespace panewalk::config {

/// The member "network" of the site.
patch::Network read_network(const Value& value);

/// The name of a network card (as Linux takes it, but in ASCII) or its IPv4 address. Digits and
/// dots alone are an address, so that a mistyped one is no name.
std::string read_interface(const Value& value);

/// With E1.31 the synchronization address, with Art-Net the word "broadcast"; without a known
/// protocol either. Nothing, with a problem, for anything else.
std::optional<patch::Sync> read_sync(const Value& value, std::optional<patch::Protocol> protocol);

/// The four numbers of the IPv4 address of one machine (not 0.x.x.x, nor 224.0.0.0 and above; RFC
/// 1122 section 3.2.1.3, RFC 5771) at the start of `text`; moves `text` past them.
std::optional<std::array<std::uint8_t, 4>> take_host(std::string_view& text);
/// Digits without a leading zero, at most `most`; moves `text` past them.
std::optional<int> take_number(std::string_view& text, int most);

}  // namespace panewalk::config
