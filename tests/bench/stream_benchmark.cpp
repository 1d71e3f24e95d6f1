// The streaming benchmark; run it in a network namespace of its own (tests/support/netns.sh), since
// it sends a lot. The table goes to standard output, how far it is to standard error.
#include <cstdio>
#include <cstring>
#include <fstream>
#include <iostream>
#include <string>

#include "bench/stream_parts.hpp"

namespace panewalk::bench {
namespace {

constexpr const char* kUsage =
    "stream_benchmark [--quick] [--json FILE] [--only PART]...\n"
    "  PART: packet, chase, others, lateness, start, memory\n";

struct Named {
  const char* name;
  Part (*measure)(Effort);
};
// Real-time priority locks the memory of the process from then on: lateness comes last.
constexpr Named kParts[] = {{"packet", cost_of_a_packet},
                            {"chase", cost_of_a_chase},
                            {"others", cost_of_others},
                            {"start", start_and_memory},
                            {"memory", [](Effort) { return allocations(); }},
                            {"lateness", lateness}};

struct Asked {
  Effort effort;
  std::string json;
  std::vector<std::string> only;
};

bool read(int count, char** arguments, Asked& asked) {
  for (int i = 1; i < count; ++i) {
    const std::string word = arguments[i];
    if (word == "--quick") {
      asked.effort.quick = true;
    } else if (word == "--json" && i + 1 < count) {
      asked.json = arguments[++i];
    } else if (word == "--only" && i + 1 < count) {
      asked.only.emplace_back(arguments[++i]);
    } else {
      return false;
    }
  }
  return true;
}

bool wants(const Asked& asked, const std::string& name) {
  return asked.only.empty() ||
         std::find(asked.only.begin(), asked.only.end(), name) != asked.only.end();
}

int run(const Asked& asked) {
  nlohmann::ordered_json all{
      {"machine", this_machine()}, {"quick", asked.effort.quick}, {"parts", nullptr}};
  std::cout << this_machine_in_words() << std::endl;
  bool reached = true;
  for (const Named& part : kParts) {
    if (!wants(asked, part.name)) continue;
    const Part measured = part.measure(asked.effort);
    std::cout << table_of(measured) << std::endl;
    for (const Row& row : measured.rows) reached = reached && row.reached();
    all["parts"].push_back(json_of(measured));
  }
  std::cout << (reached ? "All targets are reached." : "Not all targets are reached.") << std::endl;
  if (!asked.json.empty()) {
    std::ofstream file{asked.json};
    file << all.dump(2) << "\n";
    if (!file) {
      std::cerr << "stream_benchmark: can't write " << asked.json << "\n";
      return 1;
    }
  }
  return 0;
}

}  // namespace
}  // namespace panewalk::bench

int main(int count, char** arguments) {
  using namespace panewalk::bench;
  if (count == 2 && std::strcmp(arguments[1], "--count-allocations") == 0) {
    return count_allocations();
  }
  Asked asked;
  if (!read(count, arguments, asked)) {
    std::fputs(kUsage, stderr);
    return 2;
  }
  return run(asked);
}
