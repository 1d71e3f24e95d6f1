#include <filesystem>
#include <ostream>

#include "base/utc.hpp"
#include "check/bench.hpp"
#include "cli/commands.hpp"
#include "cli/load_site.hpp"
#include "cli/power_text.hpp"
#include "io/clock.hpp"
#include "io/files.hpp"
#include "sheet/drawing.hpp"
#include "sheet/sheet.hpp"

namespace panewalk::cli {
namespace {

constexpr std::size_t kMostOctets = 64U << 20U;

std::string today() { return base::utc_text(io::utc_now()).substr(0, 10); }

/// What stands there already must be ours: a slip of the pen must not cost a prop file.
base::Problems keep_others(const std::string& path) {
  std::error_code unknown;
  if (!std::filesystem::is_regular_file(path, unknown)) return {};
  const auto text = io::read_file(path, kMostOctets);
  if (!text) return text.error();
  if (text.value().empty() || sheet::is_ours(text.value())) return {};
  return {{.file = path,
           .what = "is there already, and is no sheet or drawing",
           .remedy = "give another name, or remove it"}};
}

std::vector<sheet::CheckRow> bench_rows(const engine::Plan& plan, std::size_t prop) {
  std::vector<sheet::CheckRow> rows;
  for (const check::BenchStep& step : check::bench_steps(plan, prop)) {
    rows.push_back({.title = step.title,
                    .look_for = step.look_for,
                    .question = step.question,
                    .why_not = step.why_not});
  }
  return rows;
}

}  // namespace

Exit sheet(const SheetAsked& asked, Console& console) {
  const auto site = load_site(asked.site, console);
  if (!site) return kFaultyInput;
  const engine::Plan& plan = *site->plan;
  const auto prop = find_prop(plan, asked.prop, console);
  if (!prop) return kUsage;
  const prop::PipeDescription pipe = pipe_of(*site, asked.site, *prop);
  std::string text;
  if (asked.drawing) {
    text = sheet::drawing_svg(*plan.props[*prop], *asked.drawing,
                              {.units = asked.units, .pipe = pipe});
  } else {
    const power::Study study = study_of(plan, *prop);
    const auto report = power::report(study);
    if (!report) {
      print(report.error(), console);
      return kFaultyInput;
    }
    text = sheet::sheet_html({.plan = &plan,
                              .prop = *prop,
                              .pipe = pipe,
                              .study = &study,
                              .report = &report.value(),
                              .bench = bench_rows(plan, *prop),
                              .units = asked.units,
                              .date = today()});
  }
  base::Problems problems = keep_others(asked.out);
  if (problems.empty()) problems = io::write_file(asked.out, text, io::Existing::kReplace);
  if (!problems.empty()) {
    print(problems, console);
    return kFailed;
  }
  console.out << (asked.drawing ? "Drawing of " : "Sheet of ") << asked.prop << " written to "
              << asked.out
              << (asked.drawing ? ".\n" : ". Print it from a browser on A4 or Letter, at 100 %.\n");
  console.out.flush();
  return console.out ? kDone : kFailed;
}

}  // namespace panewalk::cli
