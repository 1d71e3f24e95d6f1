#pragma once

#include <optional>
#include <string>
#include <vector>

#include "engine/plan.hpp"
#include "power/report.hpp"
#include "prop/description.hpp"
#include "sheet/text.hpp"

/// What lies on the workbench while a prop is built: drawings, wiring steps, cut list, parts.
namespace panewalk::sheet {

/// One question of the bench check.
struct CheckRow {
  std::string title, look_for, question;
  std::optional<std::string> why_not;  ///< why it can tell nothing here
};

struct SheetInput {
  const engine::Plan* plan = nullptr;
  std::size_t prop = 0;
  prop::PipeDescription pipe;
  const power::Study* study = nullptr;
  const power::Report* report = nullptr;
  std::vector<CheckRow> bench;
  Units units = Units::kMillimetres;
  std::string date;  ///< "2026-11-25"
};

/// One HTML file with everything in it: no script, nothing from elsewhere. Prints on A4 and Letter,
/// each section on a page of its own.
std::string sheet_html(const SheetInput& input);

/// Whether a text is a sheet or a drawing made here, by how it begins.
bool is_ours(std::string_view text);

}  // namespace panewalk::sheet
