#include <utility>
#include <vector>

#include "book.hpp"

namespace panewalk::logbook {
namespace {

using test::TempFolder;

/// SQLite's way to the disk, with a note of every file that it deletes and whether it syncs the
/// folder then. https://www.sqlite.org/c3ref/vfs.html
class WatchedDisk {
 public:
  struct Deleted {
    std::string name;
    bool folder_synced;
  };

  WatchedDisk() {
    real_ = sqlite3_vfs_find(nullptr);
    watched_ = *real_;
    watched_.zName = "watched";
    watched_.xDelete = [](sqlite3_vfs*, const char* name, int sync_folder) {
      deleted_.push_back({name, sync_folder == 1});
      return real_->xDelete(real_, name, sync_folder);
    };
    sqlite3_vfs_register(&watched_, 1);
  }
  WatchedDisk(const WatchedDisk&) = delete;
  WatchedDisk& operator=(const WatchedDisk&) = delete;
  ~WatchedDisk() {
    sqlite3_vfs_unregister(&watched_);
    sqlite3_vfs_register(real_, 1);
    deleted_.clear();
  }
  std::vector<Deleted> take() { return std::exchange(deleted_, {}); }

 private:
  // A VFS is plain C: its functions know no object.
  inline static sqlite3_vfs* real_ = nullptr;
  inline static sqlite3_vfs watched_{};
  inline static std::vector<Deleted> deleted_;
};

TEST(Logbook, SyncsTheFolderWhenTheJournalOfAnEntryIsGone) {
  const TempFolder folder;
  WatchedDisk disk;
  const auto book = test::opened(folder / "logbook.sqlite");
  disk.take();
  test::added(*book, check::BenchBegun{"slip-window"});
  const auto deleted = disk.take();
  ASSERT_EQ(deleted.size(), 1U);
  EXPECT_EQ(deleted[0].name, folder / "logbook.sqlite-journal");
  EXPECT_TRUE(deleted[0].folder_synced);
}

}  // namespace
}  // namespace panewalk::logbook
