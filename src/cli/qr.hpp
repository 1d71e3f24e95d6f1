#pragma once

#include <string>
#include <vector>

namespace panewalk::cli {

/// The text as a QR code (ISO/IEC 18004, error correction M) with its quiet zone of 4 modules all
/// round, two rows of modules a line: ' ', '▀', '▄', '█', ink where a module is dark. Empty where
/// the text is too long for any (2331 octets).
std::vector<std::string> qr_in_blocks(const std::string& text);

/// Columns that a line of it takes; 0 for none.
std::size_t qr_columns(const std::vector<std::string>& blocks);

}  // namespace panewalk::cli
