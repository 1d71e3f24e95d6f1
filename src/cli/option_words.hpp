#pragma once

#include <optional>
#include <string>

#include "cli/commands.hpp"
#include "light/colour.hpp"

namespace panewalk::cli {

/// "30", "30%" or "30 %" as a share.
std::optional<light::Level> read_percent(std::string text);

// What is wrong with the words of an option, in one line; "" where nothing is.
std::string check_percent(const std::string& text);
std::string check_current(const std::string& text);
std::string check_length(const std::string& text);
std::string check_listen(const std::string& text);
/// What check_listen found nothing wrong with.
void take_listen(const std::string& text, ServeAsked& asked);
std::string check_kind(const std::string& text);
std::string check_day(const std::string& text);

Form form_of(const std::string& text);

}  // namespace panewalk::cli
