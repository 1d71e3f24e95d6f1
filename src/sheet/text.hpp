#pragma once

#include <string>
#include <string_view>

#include "base/quantity.hpp"

namespace panewalk::sheet {

/// For the content of an element and for attributes in quotes, in HTML and XML. A character that
/// XML can't hold becomes U+FFFD.
std::string escaped(std::string_view text);

/// A string of CSS with its quotes: nothing in it can end a style sheet.
std::string css_string(std::string_view text);

/// At most `places` decimals, without zeros at the end.
std::string rounded(double value, int places);
/// Just `places` decimals.
std::string fixed(double value, int places);

enum class Units { kMillimetres, kInches };

/// To the tenth of a millimetre, "77.3 mm", or to the sixteenth of an inch, "3 1/16 in".
std::string length_text(base::Millimetres length, Units units);

/// Without the unit, for the columns of a table.
std::string length_figure(base::Millimetres length, Units units);

/// "mm", "in".
std::string_view unit_name(Units units);

/// "1 pixel", "4 pixels".
std::string counted(std::size_t count, std::string_view one, std::string_view many);

}  // namespace panewalk::sheet
