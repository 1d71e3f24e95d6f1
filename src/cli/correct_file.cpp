#include "cli/correct_file.hpp"

#include "config/text.hpp"
#include "io/files.hpp"

namespace panewalk::cli {

std::optional<check::Refusal> correct_file(const site::Correction& correction) {
  auto text = io::read_file(correction.file, config::kProjectFile.bytes);
  if (!text) return check::Refusal{.problems = std::move(text).error()};
  if (text.value() != correction.before) {
    return check::Refusal{
        .stale = true,
        .problems = {{.what = base::quoted(correction.file, correction.file.size()) +
                              " has changed since the site was read, so nothing was written",
                      .remedy = "read the site again, and search again"}}};
  }
  base::Problems problems =
      io::write_file(correction.file, correction.after, io::Existing::kReplace);
  if (!problems.empty()) return check::Refusal{.problems = std::move(problems)};
  return std::nullopt;
}

}  // namespace panewalk::cli
