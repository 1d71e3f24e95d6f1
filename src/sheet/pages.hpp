#pragma once

#include <string>
#include <vector>

#include "sheet/cut_list.hpp"
#include "sheet/sheet.hpp"

/// The pages of a sheet, one function each; the text is HTML.
namespace panewalk::sheet {

std::string cut_page(const SheetInput& input, const CutList& cuts);
std::string parts_page(const SheetInput& input, const CutList& cuts);
std::string patch_page(const SheetInput& input);
std::string labels_page(const SheetInput& input);
std::string power_page(const SheetInput& input);
std::string bench_page(const SheetInput& input);
/// Safety, and where it comes from.
std::string cautions();

/// A table under one line of headings; cells are HTML already. `style` is a class.
std::string table(const char* style, const std::vector<std::string>& heads,
                  const std::vector<std::vector<std::string>>& rows);
std::string paragraph(const std::string& text, const char* style = "");

inline constexpr const char* kTick = "<span class=\"tick\"></span>";

}  // namespace panewalk::sheet
