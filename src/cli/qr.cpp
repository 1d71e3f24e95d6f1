#include "cli/qr.hpp"

#include <qrencode.h>

#include <algorithm>
#include <memory>

namespace panewalk::cli {
namespace {

/// ISO/IEC 18004, quiet zone: 4 modules wide.
constexpr int kQuiet = 4;

}  // namespace

std::vector<std::string> qr_in_blocks(const std::string& text) {
  const std::unique_ptr<QRcode, decltype(&QRcode_free)> code{
      QRcode_encodeString8bit(text.c_str(), 0, QR_ECLEVEL_M), &QRcode_free};
  if (!code) return {};
  const auto dark = [&code](int row, int column) {
    const int width = code->width;
    if (row < 0 || row >= width || column < 0 || column >= width) return false;
    // The library's lowest bit of a module is its colour.
    return (code->data[row * width + column] & 1U) != 0;
  };
  std::vector<std::string> lines;
  for (int row = -kQuiet; row < code->width + kQuiet; row += 2) {
    std::string line;
    for (int column = -kQuiet; column < code->width + kQuiet; ++column) {
      const bool above = dark(row, column);
      const bool below = dark(row + 1, column);
      line += above && below ? "█" : above ? "▀" : below ? "▄" : " ";
    }
    lines.push_back(std::move(line));
  }
  return lines;
}

std::size_t qr_columns(const std::vector<std::string>& blocks) {
  if (blocks.empty()) return 0;
  // The octets that continue a letter in UTF-8 take no column.
  return static_cast<std::size_t>(std::count_if(
      blocks.front().begin(), blocks.front().end(),
      [](char octet) { return (static_cast<unsigned char>(octet) & 0xc0U) != 0x80U; }));
}

}  // namespace panewalk::cli
