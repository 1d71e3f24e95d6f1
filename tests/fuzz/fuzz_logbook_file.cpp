#include <sqlite3.h>
#include <unistd.h>

#include <algorithm>
#include <filesystem>
#include <fstream>
#include <iterator>
#include <memory>
#include <set>
#include <utility>
#include <vector>

#include "law.hpp"
#include "logbook/export.hpp"
#include "logbook/logbook.hpp"
#include "logbook/schema.hpp"
#include "unit/logbook/first_schema.hpp"

namespace {

using namespace panewalk;
using fuzz::hold;
using logbook::Access;
using logbook::Logbook;

constexpr const char* kSite = "boathouse";

/// In memory where there is such a folder; emptied by the first input, gone at the end.
class Folder {
 public:
  Folder() {
    const bool in_memory = std::filesystem::is_directory("/dev/shm");
    std::string name = std::string{in_memory ? "/dev/shm" : "/tmp"} + "/panewalk-fuzz-XXXXXX";
    hold(::mkdtemp(name.data()) != nullptr, "a temporary folder can be made");
    path_ = name;
  }
  ~Folder() {
    std::error_code ignored;
    std::filesystem::remove_all(path_, ignored);
  }
  Folder(const Folder&) = delete;
  Folder& operator=(const Folder&) = delete;
  [[nodiscard]] const std::filesystem::path& path() const { return path_; }
  [[nodiscard]] std::string file() const { return (path_ / "logbook.sqlite").string(); }
  void empty() const {
    for (const auto& entry : std::filesystem::directory_iterator{path_}) {
      std::filesystem::remove_all(entry.path());
    }
  }

 private:
  std::filesystem::path path_;
};

const Folder& folder() {
  static const Folder kFolder;
  return kFolder;
}

std::string octets(const std::filesystem::path& path) {
  std::ifstream file{path, std::ios::binary};
  return {std::istreambuf_iterator<char>{file}, {}};
}
void write(const std::string& octets) {
  folder().empty();
  std::ofstream{folder().file(), std::ios::binary} << octets;
}

/// What another program does to the file; it may fail.
class Other {
 public:
  Other() { sqlite3_open(folder().file().c_str(), &handle_); }
  ~Other() { sqlite3_close(handle_); }
  Other(const Other&) = delete;
  Other& operator=(const Other&) = delete;
  void run(const std::string& sql) {
    sqlite3_exec(handle_, sql.c_str(), nullptr, nullptr, nullptr);
  }
  [[nodiscard]] std::vector<std::string> texts(const char* sql) {
    std::vector<std::string> found;
    sqlite3_exec(
        handle_, sql,
        [](void* into, int /*columns*/, char** values, char** /*names*/) {
          static_cast<std::vector<std::string>*>(into)->emplace_back(values[0]);
          return 0;
        },
        &found, nullptr);
    return found;
  }

 private:
  sqlite3* handle_ = nullptr;
};

/// A logbook of the first schema, small pages.
std::string old_logbook() {
  folder().empty();
  {
    Other other;
    other.run("PRAGMA page_size = 512");
    other.run(logbook::test::kFirstSchema);
    other.run(logbook::test::kFirstEntries);
    other.run("PRAGMA application_id = " + std::to_string(logbook::kApplicationId) +
              "; PRAGMA user_version = 1");
  }
  return octets(folder().file());
}

/// The same of today, with an entry of each later kind.
std::string new_logbook() {
  write(old_logbook());
  const auto book = Logbook::open(folder().file());
  hold(book.ok(), "a logbook of the first schema opens");
  const std::vector<check::Event> events{
      check::FindBegun{.prop = "slip-window", .from = "walk", .described = "1a2b"},
      check::FindAnswered{.find = 10,
                          .prop = "slip-window",
                          .asked = "where: pixels 1 and 2",
                          .answer = R"(["A1"])"},
      check::FindConcluded{.find = 10,
                           .prop = "slip-window",
                           .fault = "data-open=17",
                           .second = "",
                           .station = "B3",
                           .index = 17,
                           .certainty = 990,
                           .also_possible = "",
                           .questions = 1},
      check::FindRepaired{.find = 10, .prop = "slip-window", .fault = "", .note = "new splice"}};
  for (const check::Event& event : events) {
    hold(book.value()->add(kSite, event, 1'795'626'600).ok(), "an entry is added");
  }
  return octets(folder().file());
}

const std::string& base_of(unsigned choice) {
  static const std::string kOld = old_logbook();
  static const std::string kNew = new_logbook();
  return choice == 0 ? kOld : kNew;
}

/// Octets written over at places.
std::string overwritten(std::string base, fuzz::Cursor rest) {
  while (!rest.empty()) {
    std::size_t at = rest.two_octets() % base.size();
    for (const std::uint8_t octet : rest.take(rest.octet() % 16U)) {
      base[at] = static_cast<char>(octet);
      at = (at + 1) % base.size();
    }
  }
  return base;
}

/// Rows that CHECK would refuse, by another program, with the tables as they were made.
void change_rows(fuzz::Cursor rest) {
  constexpr std::array kColumns{"at",       "site",   "kind",      "begun",     "prop",
                                "step",     "answer", "other",     "walked_by", "note",
                                "question", "asked",  "certainty", "pixel",     "also_possible",
                                "repair",   "place",  "came_from", "number",    "described"};
  Other other;
  other.run("PRAGMA ignore_check_constraints = ON");
  const auto triggers = other.texts("SELECT sql FROM sqlite_schema WHERE type = 'trigger'");
  for (const auto& name : other.texts("SELECT name FROM sqlite_schema WHERE type = 'trigger'")) {
    other.run("DROP TRIGGER " + name);
  }
  while (!rest.empty()) {
    const std::string number = std::to_string(1 + rest.octet() % 16U);
    const std::string column = kColumns.at(rest.octet() % kColumns.size());
    std::string value = "NULL";
    if (const unsigned kind = rest.octet(); kind % 4 == 1) {
      value = std::to_string(static_cast<std::int16_t>(rest.two_octets()));
    } else if (kind % 4 != 0) {
      value.clear();
      for (const std::uint8_t octet : rest.take(kind / 4)) {
        constexpr std::string_view kDigits = "0123456789abcdef";
        value += {kDigits[octet >> 4U], kDigits[octet & 15U]};
      }
      value = "CAST(x'" + value + "' AS TEXT)";
    }
    other.run("UPDATE entry SET " + column + " = " + value + " WHERE number = " + number);
  }
  for (const std::string& trigger : triggers) other.run(trigger);
}

void make_file(fuzz::Cursor rest, const std::uint8_t* data, std::size_t size) {
  const unsigned how = rest.octet() % 6U;
  if (how < 2) return write(fuzz::text_of(data + 1, size - 1));
  if (how < 4) return write(overwritten(base_of(how % 2), rest));
  write(base_of(how % 2));
  change_rows(rest);
}

void hold_words(const base::Problems& problems) {
  hold(!problems.empty(), "a refusal says why");
  for (const base::Problem& problem : problems) {
    const std::string line = base::to_line(problem);
    hold(!problem.what.empty() && fuzz::is_plain(line) && fuzz::is_utf8(line),
         "a refusal is in plain words", line);
  }
}

/// The entries, or nothing where it does not say.
std::optional<std::vector<check::Entry>> told_by(Access access) {
  const auto book = Logbook::open(folder().file(), access);
  if (!book) {
    hold_words(book.error());
    return std::nullopt;
  }
  (void)book.value()->newest();
  auto entries = book.value()->entries(kSite);
  if (!entries) return std::nullopt;
  for (const std::string& text :
       {logbook::entries_as_json(kSite, entries.value()), logbook::entries_as_csv(entries.value()),
        logbook::entries_as_table(entries.value())}) {
    hold(fuzz::is_utf8(text), "what is exported is UTF-8", text);
  }
  return std::move(entries).value();
}

/// Whether the octets are still there under another name. An old logbook is brought up to date
/// before its rows are read, so that of it only a file beside the new one is asked for.
bool is_kept(const std::string& before) {
  constexpr std::size_t kVersion =
      63;  // https://www.sqlite.org/fileformat2.html#user_version_number
  const bool is_old = before.size() > kVersion && before[kVersion] == 1;
  for (const auto& entry : std::filesystem::directory_iterator{folder().path()}) {
    if (entry.path() == folder().file() || !entry.is_regular_file()) continue;
    const std::string kept = octets(entry.path());
    if (kept == before || (is_old && kept.size() >= before.size())) return true;
  }
  return false;
}

std::string listed(const std::vector<check::Entry>& entries) {
  return logbook::entries_as_table(entries);
}

/// What was read is there once it is opened to write; a damaged one is kept.
void hold_opened(const Logbook& opened, const base::Result<std::vector<check::Entry>>& again,
                 const std::optional<std::vector<check::Entry>>& read, const std::string& before) {
  hold(!octets(folder().file()).empty(), "a logbook is a file");
  for (const base::Problem& note : opened.notes()) hold_words({note});
  if (!opened.notes().empty()) hold(is_kept(before), "a damaged file is kept as it was");
  if (!read) return;
  hold(again.ok(), "what could be read still can be", again ? "" : base::to_line(again.error()[0]));
  hold(again.value() == *read, "opened to write it says the same",
       listed(*read) + "and then\n" + listed(again.value()));
}

}  // namespace

/// A file that claims to be a logbook: octets as they are, a logbook with octets written over, or
/// one with rows changed behind our back. It is refused, or read, or set aside for one with what
/// can be read; never is anything less afterwards.
extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  if (size == 0) return 0;
  make_file({data, size}, data, size);
  const std::string before = octets(folder().file());
  const auto read = told_by(Access::kRead);
  hold(octets(folder().file()) == before, "reading changes nothing");
  const auto opened = Logbook::open(folder().file());
  if (!opened) {
    hold_words(opened.error());
    hold(octets(folder().file()) == before, "what is refused stays as it is");
    return 0;
  }
  const auto again = opened.value()->entries(kSite);
  hold_opened(*opened.value(), again, read, before);
  const auto added = opened.value()->add(kSite, check::BenchBegun{"lantern"}, 1'795'626'700);
  const auto after = opened.value()->entries(kSite);
  if (!again) return 0;
  auto expected = again.value();
  if (added) expected.push_back(added.value());
  hold(after.ok() && after.value() == expected, "what was added is there, and all before it");
  return 0;
}
