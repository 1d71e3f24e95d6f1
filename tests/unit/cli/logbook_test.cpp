#include <gtest/gtest.h>

#include <cstdlib>
#include <optional>
#include <sstream>
#include <utility>
#include <vector>

#include "cli/commands.hpp"
#include "logbook/logbook.hpp"
#include "unit/io/temp_folder.hpp"

namespace panewalk::cli {
namespace {

const std::string kSite = PANEWALK_SOURCE_DIR "/config/boathouse.json";

struct Said {
  int status = 0;
  std::string out, err;
};

/// `panewalk logbook` with a state folder of its own.
class LogbookCommand : public testing::Test {
 protected:
  LogbookCommand() {
    if (const char* folder = std::getenv("STATE_DIRECTORY")) before_ = folder;
    ::setenv("STATE_DIRECTORY", folder_.path().c_str(), 1);
  }
  ~LogbookCommand() override {
    if (before_) {
      ::setenv("STATE_DIRECTORY", before_->c_str(), 1);
    } else {
      ::unsetenv("STATE_DIRECTORY");
    }
  }

  [[nodiscard]] std::string file() const { return logbook::path_in(folder_.path().string()); }

  /// A check on 25 November, a walk on the 26th, a find on the 27th.
  void fill() {
    const auto opened = logbook::Logbook::open(logbook::path_in(folder_.path().string()));
    ASSERT_TRUE(opened);
    logbook::Logbook& book = *opened.value();
    const std::pair<check::Event, std::int64_t> written[] = {
        {check::BenchBegun{"slip-window"}, 1'795'564'800},
        {check::WalkBegun{check::WalkBy::kOrder, {"gable-line", "oar-rack"}}, 1'795'651'200},
        {check::FindBegun{"gable-line", check::FindPlace::kYard, "walk"}, 1'795'737'600}};
    for (const auto& [event, at] : written) ASSERT_TRUE(book.add("boathouse", event, at));
  }

  static Said run_it(std::vector<const char*> options) {
    options.insert(options.begin(), {"panewalk", "logbook", kSite.c_str()});
    std::ostringstream out;
    std::ostringstream err;
    Console console{.out = out, .err = err};
    const int status = run(static_cast<int>(options.size()), options.data(), console);
    return {status, out.str(), err.str()};
  }
  static std::string out_of(std::vector<const char*> options) {
    const Said said = run_it(std::move(options));
    EXPECT_EQ(said.status, kDone);
    EXPECT_EQ(said.err, "");
    return said.out;
  }
  static std::string usage_error(std::vector<const char*> options) {
    const Said said = run_it(std::move(options));
    EXPECT_EQ(said.status, kUsage);
    EXPECT_EQ(said.out, "");
    return said.err;
  }

 private:
  panewalk::test::TempFolder folder_;
  std::optional<std::string> before_;
};

const std::string kBench = "2026-11-25T00:00:00Z  bench begun  slip-window\n";

TEST_F(LogbookCommand, ListsEverything) {
  fill();
  EXPECT_EQ(out_of({}),
            "when                  what                    prop         answer  note\n"
            "2026-11-25T00:00:00Z  bench begun             slip-window\n"
            "2026-11-26T00:00:00Z  walk begun by order                          gable-line, "
            "oar-rack\n"
            "2026-11-27T00:00:00Z  find begun in the yard  gable-line           from walk\n");
}

TEST_F(LogbookCommand, ListsOneKind) {
  fill();
  EXPECT_EQ(out_of({"--kind", "bench"}),
            "when                  what         prop         answer  note\n" + kBench);
  EXPECT_EQ(out_of({"--kind", "find"}),
            "when                  what                    prop        answer  note\n"
            "2026-11-27T00:00:00Z  find begun in the yard  gable-line          from walk\n");
}

TEST_F(LogbookCommand, ListsSomeKindsHoweverTheyAreGiven) {
  fill();
  const std::string both =
      "when                  what                 prop         answer  note\n"
      "2026-11-25T00:00:00Z  bench begun          slip-window\n"
      "2026-11-26T00:00:00Z  walk begun by order                       gable-line, oar-rack\n";
  EXPECT_EQ(out_of({"--kind", "walk,bench"}), both);
  EXPECT_EQ(out_of({"--kind", "walk", "--kind", "bench"}), both);
}

TEST_F(LogbookCommand, ListsWhatCameSinceADayAndIsAboutAProp) {
  fill();
  EXPECT_EQ(out_of({"--since", "2026-11-27"}),
            "when                  what                    prop        answer  note\n"
            "2026-11-27T00:00:00Z  find begun in the yard  gable-line          from walk\n");
  EXPECT_EQ(out_of({"--since", "2026-11-26", "--prop", "gable-line", "--kind", "walk"}),
            "when                  what                 prop  answer  note\n"
            "2026-11-26T00:00:00Z  walk begun by order                gable-line, oar-rack\n");
}

TEST_F(LogbookCommand, SaysWhatItLookedForWhereThereIsNothing) {
  EXPECT_EQ(out_of({}), "Nothing is in the logbook yet of the site boathouse (" + file() + ").\n");
  fill();
  EXPECT_EQ(out_of({"--prop", "eaves-line"}),
            "Nothing is in the logbook yet of eaves-line (" + file() + ").\n");
  EXPECT_EQ(out_of({"--since", "2026-11-28"}),
            "Nothing since 2026-11-28 is in the logbook of the site boathouse (" + file() + ").\n");
  EXPECT_EQ(out_of({"--kind", "walk,find", "--since", "2026-11-28", "--prop", "gable-line"}),
            "Nothing of kind walk or find since 2026-11-28 is in the logbook of gable-line (" +
                file() + ").\n");
  EXPECT_EQ(out_of({"--kind", "find", "--prop", "slip-window"}),
            "Nothing of kind find is in the logbook of slip-window (" + file() + ").\n");
  EXPECT_EQ(out_of({"--kind", "find", "--as", "json", "--prop", "slip-window"}),
            "{\n  \"site\": \"boathouse\",\n  \"entries\": []\n}\n");
}

TEST_F(LogbookCommand, KnowsAPropThatOnlyTheLogbookNames) {
  fill();
  EXPECT_EQ(out_of({"--kind", "find", "--prop", "oar-rack"}),
            "Nothing of kind find is in the logbook of oar-rack (" + file() + ").\n");
  EXPECT_EQ(usage_error({"--kind", "find", "--prop", "slip-windw"}),
            "no prop is named \"slip-windw\"; did you mean \"slip-window\"?\n");
}

TEST_F(LogbookCommand, SaysWhichKindsAndDaysThereAre) {
  EXPECT_EQ(usage_error({"--kind", "benhc"}),
            "--kind: 'benhc' is no kind of entry; bench, walk or find\n"
            "Run with --help for more information.\n");
  EXPECT_EQ(usage_error({"--kind", "bench,tide"}),
            "--kind: 'tide' is no kind of entry; bench, walk or find\n"
            "Run with --help for more information.\n");
  EXPECT_EQ(usage_error({"--kind", ","}),
            "--kind: 1 required KIND:{bench,walk,find} missing\n"
            "Run with --help for more information.\n");
  EXPECT_EQ(usage_error({"--since", "25.11.2026"}),
            "--since: '25.11.2026' is no day; such as 2026-11-25\n"
            "Run with --help for more information.\n");
}

}  // namespace
}  // namespace panewalk::cli
