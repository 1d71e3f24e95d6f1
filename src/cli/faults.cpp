#include "cli/faults.hpp"

#include <algorithm>
#include <array>
#include <map>
#include <ostream>

#include "base/nearest.hpp"
#include "cli/load_site.hpp"
#include "cli/surprise.hpp"
#include "io/random.hpp"
#include "site/told.hpp"

namespace panewalk::cli {
namespace {

using practice::Fault;

constexpr std::string_view kSurprise = "surprise";

class FaultReader {
 public:
  FaultReader(const std::shared_ptr<const engine::Plan>& plan, std::uint64_t seed)
      : plan_{plan}, dice_{seed} {}

  base::Result<std::vector<io::PracticeFault>> read(const std::vector<std::string>& texts) {
    for (const std::string& text : texts) read_one(text);
    for (const auto& [text, prop] : surprises_) hide(text, prop);
    if (!problems_.empty()) return std::move(problems_);
    std::vector<io::PracticeFault> all;
    for (auto& [prop, faults] : faults_) {
      all.push_back({.prop = plan_->props[prop]->name, .faults = std::move(faults)});
    }
    return all;
  }

 private:
  void refuse(const std::string& text, std::string what, std::string remedy) {
    problems_.push_back(
        {.where = "--fault " + text, .what = std::move(what), .remedy = std::move(remedy)});
  }

  void read_one(const std::string& text) {
    const auto colon = text.find(':');
    const std::string name = text.substr(0, colon);
    const auto prop = plan_->find_prop(name);
    if (!prop) {
      refuse(text, "no prop is named " + base::quoted(name),
             base::name_hint(name, plan_->prop_names()));
    }
    if (colon == std::string::npos) {
      return refuse(text, "no fault is named", "PROP:FAULT or PROP:FAULT=VALUE");
    }
    const std::string fault = text.substr(colon + 1);
    if (!is_known(text, fault) || !prop) return;
    if (fault == kSurprise) {
      surprises_.emplace_back(text, *prop);
      return;
    }
    auto read = practice::read_fault(site::subject_of(*plan_, *prop), fault);
    if (!read) return refuse(text, read.error().what, read.error().remedy);
    add(text, *prop, read.value());
  }

  bool is_known(const std::string& text, const std::string& fault) {
    const std::string name = fault.substr(0, fault.find('='));
    if (name == kSurprise && name != fault) {
      refuse(text, "nobody may know what it is", "surprise has no value");
      return false;
    }
    if (name == kSurprise || practice::fault_kind_from(name)) return true;
    std::vector<std::string> names = practice::fault_kind_names();
    names.emplace_back(kSurprise);
    refuse(text, "no fault is named " + base::quoted(name), base::name_hint(name, names));
    return false;
  }

  void add(const std::string& text, std::size_t prop, const Fault& fault) {
    std::vector<Fault>& faults = faults_[prop];
    if (std::find(faults.begin(), faults.end(), fault) != faults.end()) return;
    const auto of_pixels = std::count_if(faults.begin(), faults.end(), [](const Fault& before) {
      return io::is_of_a_pixel(before.kind);
    });
    if (io::is_of_a_pixel(fault.kind) &&
        static_cast<std::size_t>(of_pixels) >= io::kMostFaultyPixels) {
      return refuse(text, "too many faulty pixels", "at most 2 on one prop");
    }
    faults.push_back(fault);
  }

  void hide(const std::string& text, std::size_t prop) {
    const auto fault = surprise(plan_, prop, faults_[prop], dice_);
    if (!fault) return refuse(text, "no fault would show", "fewer other faults");
    faults_[prop].push_back(*fault);
  }

  const std::shared_ptr<const engine::Plan>& plan_;
  Dice dice_;
  std::map<std::size_t, std::vector<Fault>> faults_;            // by prop
  std::vector<std::pair<std::string, std::size_t>> surprises_;  // hidden once all others are known
  base::Problems problems_;
};

static_assert(io::kMostFaultyPixels == 2);

}  // namespace

base::Result<std::vector<io::PracticeFault>> read_faults(
    const std::shared_ptr<const engine::Plan>& plan, const std::vector<std::string>& texts,
    std::uint64_t seed) {
  return FaultReader{plan, seed}.read(texts);
}

std::optional<std::vector<io::PracticeFault>> read_faults(
    const std::shared_ptr<const engine::Plan>& plan, const std::vector<std::string>& texts,
    Console& console) {
  std::array<std::uint8_t, sizeof(std::uint64_t)> octets{};
  if (!io::fill_at_random(octets)) {
    console.err << "the system gives no random numbers, so there is no surprise\n";
    return std::nullopt;
  }
  std::uint64_t seed = 0;
  for (const std::uint8_t octet : octets) seed = seed << 8 | octet;
  auto faults = read_faults(plan, texts, seed);
  if (faults) return std::move(faults).value();
  print(faults.error(), console);
  return std::nullopt;
}

std::string faults_asked(const std::vector<std::string>& texts) {
  if (texts.empty()) return "";
  std::string line = "Faults in the yard: ";
  for (std::size_t i = 0; i < texts.size(); ++i) line += (i == 0 ? "" : ", ") + texts[i];
  return line + ".\n";
}

}  // namespace panewalk::cli
