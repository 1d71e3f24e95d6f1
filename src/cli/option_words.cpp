#include "cli/option_words.hpp"

#include <charconv>

#include "base/utc.hpp"
#include "config/units.hpp"
#include "logbook/filter.hpp"

namespace panewalk::cli {

std::optional<light::Level> read_percent(std::string text) {
  while (!text.empty() && (text.back() == '%' || text.back() == ' ')) text.pop_back();
  double percent = -1;
  const auto [end, error] = std::from_chars(text.data(), text.data() + text.size(), percent);
  if (error != std::errc{} || end != text.data() + text.size()) return std::nullopt;
  if (!(percent >= 0 && percent <= 100)) return std::nullopt;
  return light::Level::of(percent / 100);
}

std::string check_percent(const std::string& text) {
  return read_percent(text) ? "" : "'" + text + "' is no level; 0 to 100, in percent";
}

std::string check_current(const std::string& text) {
  const auto current = config::parse_current(text);
  if (!current) return "'" + text + "' is no current; such as \"420 mA\" or \"0.42 A\"";
  return *current > base::Amps::of(50) ? "'" + text + "' is more than ten pixels take; at most 50 A"
                                       : "";
}

std::string check_length(const std::string& text) {
  const auto length = config::parse_length(text);
  if (!length) return "'" + text + "' is no length; such as \"2.5 m\" or \"8 ft\"";
  return *length > base::Millimetres::of(0) ? "" : "'" + text + "' is no length of a wire";
}

std::string check_listen(const std::string& text) {
  const auto colon = text.rfind(':');
  unsigned port = 0;
  if (colon == std::string::npos) return "'" + text + "' has no port; such as 127.0.0.1:8017";
  const char* end = text.data() + text.size();
  const auto read = std::from_chars(text.data() + colon + 1, end, port);
  if (read.ec != std::errc{} || read.ptr != end || port > 65535) {
    return "'" + text.substr(colon + 1) + "' is no port; 1 to 65535, or 0 for any that is free";
  }
  const std::string address = text.substr(0, colon);
  if (address.empty()) return "'" + text + "' has no address; such as 127.0.0.1:8017";
  if (address.find(':') != std::string::npos && (address.front() != '[' || address.back() != ']')) {
    return "'" + address + "' needs brackets; such as [::1]:8017";
  }
  return "";
}

void take_listen(const std::string& text, ServeAsked& asked) {
  const auto colon = text.rfind(':');
  asked.address = text.substr(0, colon);
  if (asked.address.front() == '[') {
    asked.address = asked.address.substr(1, asked.address.size() - 2);
  }
  asked.port = static_cast<std::uint16_t>(std::stoul(text.substr(colon + 1)));
}

std::string check_kind(const std::string& text) {
  return logbook::kind_from(text) ? "" : "'" + text + "' is no kind of entry; bench, walk or find";
}

std::string check_day(const std::string& text) {
  return base::read_utc_day(text) ? "" : "'" + text + "' is no day; such as 2026-11-25";
}

Form form_of(const std::string& text) {
  if (text == "json") return Form::kJson;
  return text == "csv" ? Form::kCsv : Form::kTable;
}

}  // namespace panewalk::cli
