#include "sheet/text.hpp"

#include <array>
#include <cmath>
#include <cstdio>

namespace panewalk::sheet {
namespace {

bool fits_xml(unsigned char octet) {
  return octet >= 0x20 || octet == '\t' || octet == '\n' || octet == '\r';
}

bool is_plain(unsigned char octet) {
  return (octet >= '0' && octet <= '9') || (octet >= 'a' && octet <= 'z') ||
         (octet >= 'A' && octet <= 'Z') || octet == ' ' || octet == '-' || octet == '.' ||
         octet == ',' || octet == ':' || octet == '_' || octet >= 0x80;
}

}  // namespace

std::string escaped(std::string_view text) {
  std::string all;
  for (const char letter : text) {
    switch (letter) {
      case '&': all += "&amp;"; break;
      case '<': all += "&lt;"; break;
      case '>': all += "&gt;"; break;
      case '"': all += "&quot;"; break;
      case '\'': all += "&#39;"; break;
      default:
        if (fits_xml(static_cast<unsigned char>(letter))) {
          all += letter;
        } else {
          all += "\xEF\xBF\xBD";
        }
    }
  }
  return all;
}

std::string css_string(std::string_view text) {
  std::string all = "\"";
  for (const char letter : text) {
    const auto octet = static_cast<unsigned char>(letter);
    if (is_plain(octet)) {
      all += letter;
    } else if (octet != 0) {
      std::array<char, 12> escape{};
      std::snprintf(escape.data(), escape.size(), "\\%06x", static_cast<unsigned>(octet));
      all += escape.data();
    }
  }
  return all + '"';
}

std::string fixed(double value, int places) {
  std::array<char, 400> text{};
  std::snprintf(text.data(), text.size(), "%.*f", places, value);
  std::string all = text.data();
  if (all.find_first_not_of("-0.") == std::string::npos && all.front() == '-') all.erase(0, 1);
  return all;
}

std::string rounded(double value, int places) {
  std::string all = fixed(value, places);
  if (all.find('.') == std::string::npos) return all;
  all.resize(all.find_last_not_of('0') + 1);
  if (all.back() == '.') all.pop_back();
  return all;
}

std::string length_figure(base::Millimetres length, Units units) {
  if (units == Units::kMillimetres) return rounded(length.value(), 1);
  constexpr double kInch = 25.4;
  const long long sixteenths = std::llround(std::abs(length.value()) / kInch * 16);
  const long long whole = sixteenths / 16;
  long long above = sixteenths % 16;
  long long below = 16;
  while (above > 0 && above % 2 == 0) {
    above /= 2;
    below /= 2;
  }
  std::string all = length.value() < 0 && sixteenths > 0 ? "-" : "";
  if (whole > 0 || above == 0) all += std::to_string(whole);
  if (above > 0) {
    all += (whole > 0 ? " " : "") + std::to_string(above) + '/' + std::to_string(below);
  }
  return all;
}

std::string length_text(base::Millimetres length, Units units) {
  return length_figure(length, units) + ' ' + std::string{unit_name(units)};
}

std::string_view unit_name(Units units) { return units == Units::kInches ? "in" : "mm"; }

std::string counted(std::size_t count, std::string_view one, std::string_view many) {
  return std::to_string(count) + ' ' + std::string{count == 1 ? one : many};
}

}  // namespace panewalk::sheet
