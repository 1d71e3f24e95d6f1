#include "architecture/rules.hpp"

#include <algorithm>
#include <array>
#include <regex>
#include <set>
#include <string>
#include <string_view>

namespace panewalk::architecture {
namespace {

constexpr int kHighestCoreFloor = 6;
constexpr std::size_t kMostLines = 400;

bool starts_with(std::string_view text, std::string_view start) {
  return text.substr(0, start.size()) == start;
}

bool ends_with(std::string_view text, std::string_view end) {
  return text.size() >= end.size() && text.substr(text.size() - end.size()) == end;
}

/// "light" for src/light/canvas.hpp, "" outside src/.
std::string folder_of(const std::string& path, std::string_view above) {
  if (!starts_with(path, above)) return "";
  const auto end = path.find('/', above.size());
  return end == std::string::npos ? "" : path.substr(above.size(), end - above.size());
}

std::string at(const File& file, std::size_t line, const std::string& what) {
  return file.path + ":" + std::to_string(line + 1) + ": " + what;
}

struct Include {
  std::size_t line;
  std::string name;
  bool quoted;
};

std::vector<Include> includes_of(const File& file) {
  static const std::regex form{R"(^\s*#\s*include\s*([<"])([^>"]+)[>"])"};
  std::vector<Include> found;
  for (std::size_t i = 0; i < file.lines.without_comments.size(); ++i) {
    std::smatch match;
    if (std::regex_search(file.lines.without_comments[i], match, form)) {
      found.push_back({i, match[2].str(), match[1].str() == "\""});
    }
  }
  return found;
}

/// What the code lines of `file` that match `form` are told.
void search(const File& file, const std::regex& form, const std::string& why, Findings& findings) {
  for (std::size_t i = 0; i < file.lines.code.size(); ++i) {
    std::smatch match;
    if (std::regex_search(file.lines.code[i], match, form)) {
      std::string word = match.str();
      word.erase(
          std::find_if_not(word.rbegin(), word.rend(), [](char c) { return c == ' ' || c == '('; })
              .base(),
          word.end());
      findings.push_back(at(file, i, word + ": " + why));
    }
  }
}

std::string listed(const std::set<std::string>& names) {
  std::string text;
  for (const auto& name : names) text += (text.empty() ? "" : ", ") + name;
  return text.empty() ? "nothing" : text;
}

bool in_core(const Tree& tree, const File& file) {
  const auto folder = tree.folders.find(folder_of(file.path, "src/"));
  return file.is_cpp() && folder != tree.folders.end() && folder->second.floor <= kHighestCoreFloor;
}

/// A place that may do what the rule forbids, with its reason.
struct Exception {
  std::string_view path;
  std::string_view word;
  std::string_view reason;
};

constexpr std::array kExceptions{
    Exception{"src/base/check.cpp", "fprintf", "the last words before an abort"},
};

bool is_excepted(const std::string& finding) {
  return std::any_of(kExceptions.begin(), kExceptions.end(), [&](const Exception& exception) {
    return starts_with(finding, exception.path) &&
           finding.find(" " + std::string(exception.word) + ":") != std::string::npos;
  });
}

/// `static` objects that can change. Functions and constants pass.
bool is_mutable_static(const std::string& code) {
  static const std::regex thread_local_form{R"(\bthread_local\b)"};
  if (std::regex_search(code, thread_local_form)) return true;
  static const std::regex form{R"(\bstatic\s+(.*))"};
  std::smatch match;
  if (!std::regex_search(code, match, form)) return false;
  const std::string rest = match[1].str();
  int depth = 0;
  for (std::size_t i = 0; i < rest.size(); ++i) {
    const char c = rest[i];
    if (starts_with(std::string_view(rest).substr(i), "operator")) return false;
    if (c == '<') ++depth;
    if (c == '>') --depth;
    if (depth > 0) continue;
    if (c == '(') return false;
    if (c == ';' || c == '=' || c == '{') {
      const std::string declared = rest.substr(0, i);
      if (declared.find("constexpr") != std::string::npos) return false;
      const auto star = declared.rfind('*');
      return declared.find("const", star == std::string::npos ? 0 : star) == std::string::npos;
    }
  }
  return false;
}

}  // namespace

Findings includes_above(const Tree& tree) {
  Findings findings;
  for (const auto& file : tree.files) {
    std::string own = folder_of(file.path, "src/");
    const bool is_test = own.empty();
    if (is_test) own = folder_of(file.path, "tests/unit/");
    const auto folder = tree.folders.find(own);
    if (!file.is_cpp() || folder == tree.folders.end()) continue;
    for (const auto& include : includes_of(file)) {
      if (!include.quoted) continue;
      const auto slash = include.name.find('/');
      const std::string other = include.name.substr(0, slash);
      if (slash == std::string::npos) {
        if (is_test) continue;  // its neighbour
        findings.push_back(at(file, include.line,
                              "\"" + include.name + "\" has no folder; write \"" + own + "/…\""));
        continue;
      }
      if (other == own || folder->second.may_use.count(other) > 0) continue;
      if (is_test && tree.folders.count(other) == 0) continue;
      findings.push_back(at(file, include.line,
                            "\"" + include.name + "\": " + own + " (floor " +
                                std::to_string(folder->second.floor) + ") may use " +
                                listed(folder->second.may_use)));
    }
  }
  return findings;
}

Findings folders_without_floor(const Tree& tree) {
  Findings findings;
  std::set<std::string> seen;
  for (const auto& file : tree.files) {
    const std::string folder = folder_of(file.path, "src/");
    if (!file.is_cpp() || folder.empty() || tree.folders.count(folder) > 0) continue;
    if (seen.insert(folder).second) {
      findings.push_back("src/" + folder + ":1: no panewalk_library line in CMakeLists.txt");
    }
  }
  return findings;
}

Findings own_headers_behind_others(const Tree& tree) {
  std::set<std::string> paths;
  for (const auto& file : tree.files) paths.insert(file.path);
  Findings findings;
  for (const auto& file : tree.files) {
    if (!starts_with(file.path, "src/") || !file.path.ends_with(".cpp")) continue;
    const std::string header = file.path.substr(0, file.path.size() - 3) + "hpp";
    if (paths.count(header) == 0) continue;
    const std::string own = header.substr(std::string{"src/"}.size());
    const auto includes = includes_of(file);
    if (includes.empty() || !includes.front().quoted || includes.front().name != own) {
      findings.push_back(at(file, includes.empty() ? 0 : includes.front().line,
                            "the first include is not \"" + own + "\""));
    }
  }
  return findings;
}

Findings libraries_away_from_home(const Tree& tree) {
  struct Home {
    std::string_view library;
    std::vector<std::string_view> paths;
  };
  static const std::vector<Home> kHomes{
      {"nlohmann/",
       {"src/config/", "src/site/", "src/scan/", "src/logbook/", "src/web/", "src/cli/"}},
      {"boost/", {"src/web/", "src/app/"}},
      {"spdlog/", {"src/app/"}},
      {"CLI/", {"src/cli/", "src/app/"}},
      {"fmt/", {"src/cli/", "src/app/"}},
      {"sqlite3.h", {"src/logbook/"}},
      {"qrencode.h", {"src/cli/"}},
      {"lemon/", {"src/wiring/matching.cpp"}},
  };
  Findings findings;
  for (const auto& file : tree.files) {
    if (!file.is_cpp() || !starts_with(file.path, "src/")) continue;
    for (const auto& include : includes_of(file)) {
      for (const auto& home : kHomes) {
        if (!starts_with(include.name, home.library)) continue;
        const bool lives_here =
            std::any_of(home.paths.begin(), home.paths.end(),
                        [&](std::string_view path) { return starts_with(file.path, path); });
        std::string paths;
        for (const auto path : home.paths) paths += " " + std::string(path);
        if (!lives_here) {
          findings.push_back(at(file, include.line, "<" + include.name + "> is only for" + paths));
        } else if (home.library == "nlohmann/" && ends_with(file.path, ".hpp")) {
          findings.push_back(
              at(file, include.line, "<" + include.name + "> is only for .cpp files"));
        }
      }
    }
  }
  return findings;
}

Findings impure_core(const Tree& tree) {
  static const std::set<std::string> kShellHeaders{
      "filesystem", "thread",    "mutex",   "shared_mutex", "condition_variable",
      "future",     "semaphore", "latch",   "barrier",      "stop_token",
      "iostream",   "fstream",   "csignal", "syncstream"};
  struct Ban {
    std::regex form;
    std::string why;
  };
  static const std::vector<Ban> kBans{
      {std::regex{R"(\w*_clock\s*::\s*now\b)"}, "the core is told the time"},
      {std::regex{R"(\bstd\s*::\s*filesystem\b)"}, "files belong to io"},
      {std::regex{R"(\bstd\s*::\s*(jthread|thread|mutex|condition_variable|async)\b)"},
       "threads belong to the shell"},
      {std::regex{R"(\brandom_device\b)"}, "the core is told its seed"},
      {std::regex{R"(\b(secure_)?getenv\b)"}, "the environment belongs to app"},
      {std::regex{R"(\bstd\s*::\s*(cout|cerr|clog|cin)\b)"}, "the core prints nothing"},
      {std::regex{R"(\b(v?f?printf|fputs|puts|fwrite)\s*\()"}, "the core prints nothing"},
      {std::regex{R"(\b(fopen|freopen|tmpfile|popen|system)\s*\()"}, "files belong to io"},
  };
  Findings findings;
  for (const auto& file : tree.files) {
    if (!in_core(tree, file)) continue;
    for (const auto& include : includes_of(file)) {
      if (include.quoted) continue;
      const bool shell = kShellHeaders.count(include.name) > 0;
      // LEMON is mathematics alone; where it may be used, libraries_away_from_home says.
      const bool system = ends_with(include.name, ".h") && !starts_with(include.name, "lemon/");
      if (shell || system) {
        findings.push_back(at(file, include.line, "<" + include.name + ">: not in the core"));
      }
    }
    for (const auto& ban : kBans) search(file, ban.form, ban.why, findings);
    for (std::size_t i = 0; i < file.lines.code.size(); ++i) {
      if (is_mutable_static(file.lines.code[i])) {
        findings.push_back(at(file, i, "static: the core keeps no state that can change"));
      }
    }
  }
  findings.erase(std::remove_if(findings.begin(), findings.end(), is_excepted), findings.end());
  return findings;
}

Findings unchecked_json_numbers(const Tree& tree) {
  static const std::regex form{
      R"((\.|->)\s*(template\s+)?(get|get_to|value)\s*<\s*(const\s+)?(std\s*::\s*)?(unsigned|signed|int|long|short|double|float|bool|char|size_t|u?int\d+_t)\b)"};
  static const std::regex get_to{R"((\.|->)\s*get_to\s*\()"};
  Findings findings;
  for (const auto& file : tree.files) {
    if (!starts_with(file.path, "src/")) continue;
    search(file, form, "converts without a check; use the checked reader", findings);
    search(file, get_to, "converts without a check; use the checked reader", findings);
  }
  return findings;
}

Findings casts_of_buffers(const Tree& tree) {
  static const std::regex form{R"(\breinterpret_cast\b)"};
  Findings findings;
  for (const auto& file : tree.files) {
    if (!starts_with(file.path, "src/") || starts_with(file.path, "src/io/")) continue;
    search(file, form, "only in src/io, for socket addresses", findings);
  }
  return findings;
}

Findings captures_of_everything(const Tree& tree) {
  static const std::regex form{R"(\[&[\],])"};
  Findings findings;
  for (const auto& file : tree.files) {
    if (!starts_with(file.path, "src/")) continue;
    const auto includes = includes_of(file);
    const bool is_async = std::any_of(includes.begin(), includes.end(), [](const Include& include) {
      return starts_with(include.name, "boost/asio") || starts_with(include.name, "boost/beast");
    });
    if (is_async) search(file, form, "asynchronous code names what it captures", findings);
  }
  return findings;
}

Findings unfinished_words(const Tree& tree) {
  // Written in halves, so that this file does not find itself.
  static const std::regex form{
      "\\b(TO"
      "DO|FIX"
      "ME)\\b"};
  Findings findings;
  for (const auto& file : tree.files) {
    const auto lines = split_lines(file.text);
    for (std::size_t i = 0; i < lines.size(); ++i) {
      std::smatch match;
      if (std::regex_search(lines[i], match, form)) {
        findings.push_back(at(file, i, match.str() + ": finish it or file an issue"));
      }
    }
  }
  return findings;
}

Findings long_files(const Tree& tree) {
  Findings findings;
  for (const auto& file : tree.files) {
    const bool is_data = ends_with(file.path, ".json") || ends_with(file.path, ".txt");
    const std::size_t lines = split_lines(file.text).size();
    if (!is_data && lines > kMostLines) {
      findings.push_back(
          at(file, kMostLines,
             std::to_string(lines) + " lines, at most " + std::to_string(kMostLines)));
    }
  }
  return findings;
}

Findings sleeping_tests(const Tree& tree) {
  static const std::regex form{R"(\b(sleep_for|sleep_until|(u|nano)?sleep|clock_nanosleep)\s*\()"};
  // In io the alarm clock itself is what is tested, so its members may be called.
  static const std::regex not_a_member{
      R"((this_thread\s*::\s*sleep_\w+|(^|[^.\w])((u|nano)?sleep|clock_nanosleep))\s*\()"};
  Findings findings;
  for (const auto& file : tree.files) {
    if (!starts_with(file.path, "tests/unit/") && !starts_with(file.path, "tests/property/")) {
      continue;
    }
    const bool in_io = starts_with(file.path, "tests/unit/io/");
    search(file, in_io ? not_a_member : form, "tests are told the time, they don't wait for it",
           findings);
  }
  return findings;
}

Findings text_that_is_not_utf8(const Tree& tree) {
  Findings findings;
  for (const auto& file : tree.files) {
    if (!starts_with(file.path, "patterns/") && !starts_with(file.path, "config/")) continue;
    const auto lines = split_lines(file.text);
    for (std::size_t i = 0; i < lines.size(); ++i) {
      if (!is_utf8(lines[i])) findings.push_back(at(file, i, "not UTF-8"));
    }
  }
  return findings;
}

}  // namespace panewalk::architecture
