#include "logbook/logbook.hpp"

#include <filesystem>
#include <utility>

#include "base/check.hpp"
#include "logbook/database.hpp"
#include "logbook/entries.hpp"
#include "logbook/opening.hpp"
#include "logbook/recovery.hpp"
#include "logbook/rows.hpp"
#include "logbook/schema.hpp"
#include "logbook/taking.hpp"

namespace panewalk::logbook {
namespace {

constexpr std::size_t kLongestPath = 4096;

/// A write that is taken back: finds a file or folder that may only be read before it matters.
MaybeFault try_to_write(Database& database) {
  const Transaction transaction{database};
  if (transaction.fault()) return transaction.fault();
  return database.run("PRAGMA user_version = " + std::to_string(kSchemaVersion));
}

class SqliteLogbook final : public Logbook {
 public:
  SqliteLogbook(Database database, std::string path)
      : database_{std::move(database)}, path_{std::move(path)} {}

  base::Result<Entry> add(const std::string& site, check::Event event, std::int64_t at) override {
    Entry entry{.at = at, .site = site, .event = std::move(event)};
    // What could not be read back would hide all the rest.
    PANEWALK_CHECK(to_event(to_row(entry.event)).has_value());
    if (at < 0 || at > kLastSecond) {
      return base::Problems{{.file = path_,
                             .what = "the clock is wrong: it says second " + std::to_string(at),
                             .remedy = "set the clock of this machine"}};
    }
    Transaction transaction{database_};
    if (transaction.fault()) return problems_of(*transaction.fault(), path_);
    // Asked in here: whoever sets a damaged file aside holds it until it has its other name.
    if (moved()) return moved_away();
    const auto number = insert(database_, entry);
    if (!number) return problems_of(number.error(), path_);
    entry.number = number.value();
    if (const auto fault = transaction.commit()) return problems_of(*fault, path_);
    return entry;
  }

  base::Result<Taken> take(const std::string& site, const std::vector<Entry>& from) override {
    Transaction transaction{database_};
    if (transaction.fault()) return problems_of(*transaction.fault(), path_);
    const auto here = entries(site);
    if (!here) return here.error();
    const auto newest = newest_in(database_);
    if (!newest) return problems_of(newest.error(), path_);
    const Taking taking = plan_taking(here.value(), from, newest.value() + 1);
    for (const Entry& entry : taking.entries) {
      const auto number = insert(database_, entry);
      if (!number) return problems_of(number.error(), path_);
    }
    if (const auto fault = transaction.commit()) return problems_of(*fault, path_);
    return Taken{.taken = taking.entries.size(),
                 .already = taking.already,
                 .without_beginning = taking.without_beginning};
  }

  base::Result<std::vector<Entry>> entries(const std::string& site) override {
    if (moved()) return moved_away();
    auto prepared = database_.prepare(select_entries() + " WHERE site = ? ORDER BY number");
    if (!prepared) return problems_of(prepared.error(), path_);
    Statement asked = std::move(prepared).value();
    asked.bind(1, site);
    std::vector<Entry> found;
    base::Problems problems;
    while (true) {
      const auto row = asked.step();
      if (!row) return problems_of(row.error(), path_);
      if (!row.value()) break;
      auto entry = read(asked);
      const auto whole = entry ? read_order(database_, *entry) : false;
      if (!whole) return problems_of(whole.error(), path_);
      if (whole.value()) {
        found.push_back(*std::move(entry));
      } else {
        base::append(problems,
                     damaged(path_, "entry " + std::to_string(asked.number(0).value_or(0)) +
                                        " can't be understood"));
      }
    }
    if (!problems.empty()) return problems;
    return found;
  }

  base::Result<EntryNumber> newest() override {
    if (moved()) return moved_away();
    const auto number = newest_in(database_);
    if (!number) return problems_of(number.error(), path_);
    return number.value();
  }

  [[nodiscard]] const base::Problems& notes() const override { return notes_; }
  void note(base::Problem note) { notes_.push_back(std::move(note)); }

 private:
  [[nodiscard]] bool moved() const { return database_.was_moved(); }
  [[nodiscard]] base::Problems moved_away() const { return moved_while_open(path_); }

  Database database_;
  std::string path_;
  base::Problems notes_;
};

using Opened = base::Result<std::unique_ptr<SqliteLogbook>, Refusal>;

Opened open_sound(Disk& disk, const std::string& path, Access access, const char* lasting) {
  auto opened = Database::open(path, access, disk);
  if (!opened) return refusal_of(opened.error(), path);
  Database database = std::move(opened).value();
  if (const auto fault = database.run(lasting)) return refusal_of(*fault, path);
  auto refusal = prepare_schema(database, path, access, migrations());
  if (!refusal.empty()) return refusal;
  if (access == Access::kWrite) {
    if (const auto fault = check_entries(database)) return refusal_of(*fault, path);
    // A full disk may have room again when there is something to write.
    const auto fault = try_to_write(database);
    if (fault && !is_full_disk(*fault)) return refusal_of(*fault, path);
  }
  return std::make_unique<SqliteLogbook>(std::move(database), path);
}

base::Problem set_aside_note(const std::string& path, const std::string& damage,
                             const Recovered& recovered) {
  const std::string entries =
      recovered.entries == 0   ? "nothing in it could be read, and a new one is begun"
      : recovered.entries == 1 ? "the one entry that could still be read is in a new one"
                               : "the " + std::to_string(recovered.entries) +
                                     " entries that could still be read are in a new one";
  return {
      .file = path,
      .what = "the logbook was damaged: " + damage,
      .remedy = "it is kept as " + base::quoted(recovered.kept_as, kLongestPath) + "; " + entries};
}

}  // namespace

std::string path_in(const std::string& folder) {
  return (std::filesystem::path{folder} / "logbook.sqlite").string();
}

base::Result<std::unique_ptr<Logbook>> open_on(Disk& disk, const std::string& path, Access access,
                                               const char* lasting, const Tell& before_recovery) {
  const auto as_logbook = [](Opened opened) -> base::Result<std::unique_ptr<Logbook>> {
    if (!opened) return std::move(opened).error().problems;
    return std::unique_ptr<Logbook>{std::move(opened).value()};
  };
  auto first = open_sound(disk, path, access, lasting);
  if (first || access == Access::kRead || first.error().damage.empty()) {
    return as_logbook(std::move(first));
  }
  const auto lock = disk.lock_folder_of(path);
  // Another program may have done it in the meantime.
  auto again = open_sound(disk, path, access, lasting);
  if (again || again.error().damage.empty()) return as_logbook(std::move(again));
  const std::string damage = again.error().damage;
  if (before_recovery) {
    before_recovery({.file = path,
                     .what = "the logbook is damaged: " + damage,
                     .remedy = "it is kept, and what can be read of it is carried over; on a bad "
                               "disk that takes minutes"});
  }
  const auto recovered = set_aside(disk, path);
  if (!recovered) {
    return base::Problems{{.file = path,
                           .what = "the logbook is damaged: " + damage +
                                   ", and can't be set aside: " + recovered.error(),
                           .remedy = "it is left as it is; move it away and keep it for a new one "
                                     "to be begun"}};
  }
  auto fresh = open_sound(disk, path, access, lasting);
  if (fresh) fresh.value()->note(set_aside_note(path, damage, recovered.value()));
  return as_logbook(std::move(fresh));
}

base::Result<std::unique_ptr<Logbook>> Logbook::open(const std::string& path, Access access,
                                                     const Tell& before_recovery) {
  return open_on(Disk::real(), path, access, kLasting, before_recovery);
}

}  // namespace panewalk::logbook
