#pragma once

#include "config/site_file.hpp"
#include "config/text.hpp"

namespace panewalk::config {

/// What a site file says, every member checked for form, left-out ones at their default. All
/// problems, with line and column. Whether the props' channels fit is patch's business.
base::Result<SiteFile> describe_site(const Tree& tree);

/// The same, but what is sound comes along with what is wrong: a faulty member has a stand-in, and
/// a problem's pointer tells which.
struct PartialSite {
  SiteFile file;
  base::Problems problems;
};
PartialSite read_site(const Tree& tree);

/// "10.0.0.5", "10.0.0.5:5568", for E1.31 also "multicast". Nothing for another form, and for what
/// is no address of one receiver (0.x.x.x, 224.0.0.0 and above; RFC 1122 section 3.2.1.3, RFC
/// 5771).
std::optional<patch::Address> parse_address(std::string_view text, patch::Protocol protocol);

std::string address_text(const patch::Address& address);
/// "10.0.0.5".
std::string host_text(const std::array<std::uint8_t, 4>& host);

}  // namespace panewalk::config
