#include "cli/find_correction.hpp"

#include <ostream>

#include "cli/correct_file.hpp"
#include "cli/load_site.hpp"
#include "cli/wrapped.hpp"
#include "site/correction.hpp"

namespace panewalk::cli {
namespace {

class Offering {
 public:
  Offering(const FindAsked& asked, Listening& listening, Console& console)
      : asked_{asked}, listening_{listening}, console_{console} {}

  enum class Became { kNothing, kWritten, kFailed };
  Became offer(const site::Site& site, std::size_t prop, const practice::Fault& fault) {
    const auto correction = site::corrected(site, prop, fault);
    if (!correction) {
      if (asked_.write) say_none(correction.error());
      return Became::kNothing;
    }
    if (!asked_.as_json) show(correction.value());
    if (!is_accepted()) return Became::kNothing;
    if (const auto refusal = correct_file(correction.value())) {
      print(refusal->problems, console_);
      return Became::kFailed;
    }
    (asked_.as_json ? console_.err : console_.out)
        << "Written to " << correction.value().file << ".\n"
        << std::flush;
    return Became::kWritten;
  }

 private:
  void say_none(const base::Problems& problems) const {
    for (base::Problem problem : problems) {
      problem.what = "nothing is written: " + problem.what;
      console_.err << "panewalk: " << base::to_line(problem) << '\n';
    }
  }

  void show(const site::Correction& correction) const {
    std::string text = "This change makes the file fit what was built: " + correction.why;
    if (correction.in_controller) {
      text += " The same can be mended at the controller or its plugs instead, not in both places.";
    }
    console_.out << '\n'
                 << wrapped(text, console_.columns) << '\n'
                 << correction.difference << std::flush;
  }

  [[nodiscard]] bool is_accepted() {
    if (asked_.write) return true;
    if (asked_.as_json || !console_.in_is_terminal) return false;
    console_.out << "Write it? [y/N] " << std::flush;
    while (true) {
      switch (listening_.wait(std::chrono::minutes{1})) {
        case Listening::Heard::kTimeout: continue;
        case Listening::Heard::kEnd: console_.out << '\n'; return false;
        case Listening::Heard::kLine: return listening_.line() == "y" || listening_.line() == "yes";
      }
    }
  }

  const FindAsked& asked_;
  Listening& listening_;
  Console& console_;
};

}  // namespace

bool offer_correction(site::Site site, std::size_t prop, const find::Finding& finding,
                      const FindAsked& asked, Listening& listening, Console& console) {
  Offering offering{asked, listening, console};
  // The colours first: they leave every index as it is.
  for (const practice::Fault& fault : {finding.likeliest.second, finding.likeliest.fault}) {
    if (fault.kind == practice::FaultKind::kNone) continue;
    const auto became = offering.offer(site, prop, fault);
    if (became == Offering::Became::kFailed) return false;
    if (became == Offering::Became::kNothing) continue;
    auto again = load_site(asked.site, console);
    if (!again) return false;
    site = std::move(*again);
  }
  return true;
}

}  // namespace panewalk::cli
