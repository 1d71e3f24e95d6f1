#include "logbook/salvage.hpp"

#include <algorithm>
#include <array>
#include <map>
#include <optional>
#include <set>

#include "logbook/entries.hpp"
#include "logbook/schema.hpp"

namespace panewalk::logbook {
namespace {

// https://www.sqlite.org/fileformat2.html#the_database_header: places of big-endian numbers.
constexpr std::size_t kPageSizeAt = 16;
constexpr std::size_t kChangesAt = 24;
constexpr std::size_t kPagesAt = 28;
constexpr std::size_t kValidForAt = 92;
// https://www.sqlite.org/fileformat2.html#b_tree_pages: the first octet of a page.
constexpr char kIndexInterior = 0x02;
constexpr char kIndexLeaf = 0x0a;
constexpr char kTableLeaf = 0x0d;
constexpr std::size_t kUsualPage = 4096;

std::size_t two_octets(const std::string& octets, std::size_t at) {
  const std::size_t high = static_cast<unsigned char>(octets[at]);
  return high << 8U | static_cast<unsigned char>(octets[at + 1]);
}

void put_four_octets(std::string& octets, std::size_t at, std::size_t number) {
  for (std::size_t i = 0; i < 4; ++i) {
    octets[at + i] = static_cast<char>((number >> (8 * (3 - i))) & 0xffU);
  }
}

/// The first page of a logbook that was just made: header and schema.
std::optional<std::string> first_page(std::size_t page_size) {
  auto made = Database::in_memory();
  if (!made) return std::nullopt;
  Database fresh = std::move(made).value();
  if (fresh.run("PRAGMA page_size = " + std::to_string(page_size))) return std::nullopt;
  for (const char* step : migrations()) {
    if (fresh.run(step)) return std::nullopt;
  }
  std::string octets = fresh.octets();
  if (octets.size() < page_size) return std::nullopt;
  octets.resize(page_size);
  return octets;
}

/// A damaged file with a sound first page, whose tables can be laid on any page.
class Pages {
 public:
  static std::optional<Pages> open(std::string octets, std::size_t page_size) {
    const auto first = first_page(page_size);
    if (!first) return std::nullopt;
    // A page that was cut off is filled up: its cells lie at the end, those at its start are lost.
    octets.resize((octets.size() + page_size - 1) / page_size * page_size);
    std::string starts;
    std::vector<std::size_t> cells;
    for (std::size_t at = 0; at < octets.size(); at += page_size) {
      starts += octets[at];
      // A cell has a pointer of two octets and four of its own at least.
      cells.push_back(std::min(two_octets(octets, at + 3), page_size / 6));
    }
    octets.replace(0, page_size, *first);
    put_four_octets(octets, kPagesAt, starts.size());
    // The count of pages is believed where these two agree.
    std::copy_n(octets.begin() + kChangesAt, 4, octets.begin() + kValidForAt);
    auto copy = Database::copy_of(octets);
    if (!copy) return std::nullopt;
    return Pages{std::move(copy).value(), std::move(starts), std::move(cells)};
  }

  [[nodiscard]] std::size_t count() const { return starts_.size(); }
  /// The first octet of a page; pages count from 1 as in SQLite.
  [[nodiscard]] char kind(std::size_t page) const { return starts_[page - 1]; }

  bool lay(const std::string& table, std::size_t page) {
    return !database_.run(
        "PRAGMA writable_schema = ON; UPDATE sqlite_schema SET rootpage = " + std::to_string(page) +
        " WHERE name = '" + table + "'; PRAGMA writable_schema = RESET");
  }

  /// `take` is called with each row from that page on; after one that can't be read, `passed_by`.
  template <class Take, class PassedBy>
  void each_row(const std::string& select, std::size_t page, const Take& take,
                const PassedBy& passed_by) {
    const std::size_t most = cells_[page - 1];
    for (std::size_t row = 0; row < most; ++row) {
      auto prepared = database_.prepare(select + " LIMIT -1 OFFSET " + std::to_string(row));
      if (!prepared) return;
      Statement asked = std::move(prepared).value();
      while (true) {
        const auto there = asked.step();
        if (!there) {
          passed_by();
          break;  // go on behind it
        }
        if (!there.value()) return;
        take(asked);
        ++row;
      }
    }
  }

 private:
  Pages(Database database, std::string starts, std::vector<std::size_t> cells)
      : database_{std::move(database)}, starts_{std::move(starts)}, cells_{std::move(cells)} {}

  Database database_;
  std::string starts_;
  std::vector<std::size_t> cells_;
};

using Order = std::map<std::int64_t, std::string>;  // place → prop

/// The orders of the walks. How long one was is told by the next one that follows it, or by the end
/// of the page that all of them hang on.
class Orders {
 public:
  explicit Orders(Pages& pages) {
    for (std::size_t page = 2; page <= pages.count(); ++page) {
      const char kind = pages.kind(page);
      if (kind != kIndexLeaf && kind != kIndexInterior) continue;
      if (pages.lay("walk_order", page)) read_page(pages, page);
    }
    std::size_t all = 0;
    for (const auto& [walk, order] : orders_) all += order.size();
    if (most_in_a_page_ == all) whole_.insert(last_in_that_page_);
  }

  /// False where it is not known to be whole.
  bool put(Entry& entry) const {
    auto* const walk = std::get_if<check::WalkBegun>(&entry.event);
    if (walk == nullptr) return true;
    const auto order = orders_.find(entry.number);
    if (order == orders_.end() || !whole_.contains(entry.number)) return false;
    for (const auto& [place, prop] : order->second) walk->order.push_back(prop);
    // From 1, without a gap.
    return order->second.begin()->first == 1 &&
           order->second.rbegin()->first == std::ssize(walk->order);
  }

 private:
  void read_page(Pages& pages, std::size_t page) {
    std::optional<EntryNumber> last;
    std::size_t rows = 0;
    bool all_good = true;
    const auto take = [&](const Statement& asked) {
      const auto walk = asked.number(0);
      const auto place = asked.number(1);
      auto prop = asked.text(2);
      if (!walk || !place || !prop) return;
      if (last && last != walk) whole_.insert(*last);
      last = walk;
      ++rows;
      orders_[*walk].emplace(*place, *std::move(prop));
    };
    pages.each_row("SELECT walk, place, prop FROM walk_order", page, take, [&] {
      all_good = false;
      last.reset();
    });
    if (!all_good || !last || rows < most_in_a_page_) return;
    most_in_a_page_ = rows;
    last_in_that_page_ = *last;
  }

  std::map<EntryNumber, Order> orders_;
  std::set<EntryNumber> whole_;
  std::size_t most_in_a_page_ = 0;
  EntryNumber last_in_that_page_ = 0;
};

std::vector<Entry> salvage_pages(const std::string& octets, std::size_t page_size) {
  auto opened = Pages::open(octets, page_size);
  if (!opened) return {};
  Pages& pages = *opened;
  const Orders orders{pages};
  std::map<EntryNumber, Entry> found;
  for (std::size_t page = 2; page <= pages.count(); ++page) {
    if (pages.kind(page) != kTableLeaf || !pages.lay("entry", page)) continue;
    const auto take = [&](const Statement& asked) {
      auto entry = read(asked);
      if (!entry) return;
      const EntryNumber number = entry->number;
      if (orders.put(*entry)) found.emplace(number, *std::move(entry));
    };
    pages.each_row(select_entries(), page, take, [] {});
  }
  std::vector<Entry> entries;
  entries.reserve(found.size());
  for (auto& [number, entry] : found) entries.push_back(std::move(entry));
  return entries;
}

/// As the header has it, where that can be, and as SQLite makes it.
std::vector<std::size_t> page_sizes(const std::string& octets) {
  std::vector<std::size_t> sizes{kUsualPage};
  if (octets.size() < kPageSizeAt + 2) return {};
  std::size_t written = two_octets(octets, kPageSizeAt);
  if (written == 1) written = 65536;
  const bool is_possible = written >= 512 && (written & (written - 1)) == 0;
  if (is_possible && written != kUsualPage) sizes.push_back(written);
  return sizes;
}

}  // namespace

std::vector<check::Entry> salvage(const std::string& octets) {
  std::vector<Entry> best;
  for (const std::size_t size : page_sizes(octets)) {
    std::vector<Entry> found = salvage_pages(octets, size);
    if (found.size() > best.size()) best = std::move(found);
  }
  return best;
}

}  // namespace panewalk::logbook
