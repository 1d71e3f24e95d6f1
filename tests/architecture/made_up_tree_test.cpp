// Each rule is tried on a little tree that breaks it, and on what looks like a break and is none.
#include <gtest/gtest.h>
#include <stdlib.h>

#include <filesystem>
#include <fstream>
#include <string>

#include "architecture/rules.hpp"

namespace panewalk::architecture {
namespace {

constexpr auto kTable = R"(
panewalk_library(base  FLOOR 0)
panewalk_library(prop  FLOOR 1 DEPENDS base)
panewalk_library(light FLOOR 2 DEPENDS base)
panewalk_library(packet FLOOR 3 DEPENDS prop PRIVATELY Boost::headers)
panewalk_library(io    FLOOR 7 DEPENDS packet
                       PRIVATELY Threads::Threads)
)";

class MadeUpTree : public testing::Test {
 protected:
  MadeUpTree() {
    std::string name = (std::filesystem::temp_directory_path() / "panewalk-tree-XXXXXX").string();
    top_ = mkdtemp(name.data());
    write("CMakeLists.txt", kTable);
  }
  ~MadeUpTree() override {
    std::error_code ignored;
    std::filesystem::remove_all(top_, ignored);
  }

  void write(const std::string& path, const std::string& text) {
    std::filesystem::create_directories((top_ / path).parent_path());
    std::ofstream{top_ / path, std::ios::binary} << text;
  }

  Tree tree() const { return read_tree(top_); }

 private:
  std::filesystem::path top_;
};

TEST_F(MadeUpTree, TheTableOfFloorsIsReadWithWhatItImplies) {
  const auto folders = tree().folders;
  ASSERT_EQ(folders.size(), 5U);
  EXPECT_EQ(folders.at("io").floor, 7);
  EXPECT_EQ(folders.at("io").may_use, (std::set<std::string>{"base", "packet", "prop"}));
  EXPECT_EQ(folders.at("base").may_use, std::set<std::string>{});
}

TEST_F(MadeUpTree, AnOwnHeaderBehindAnotherIsRefused) {
  for (const char* name : {"first", "second", "none"}) {
    write("src/base/" + std::string{name} + ".hpp", "#pragma once\n");
  }
  write("src/base/first.cpp", "// why\n#include \"base/first.hpp\"\n#include <map>\n");
  write("src/base/second.cpp", "#include <map>\n#include \"base/second.hpp\"\n");
  write("src/base/none.cpp", "\nint a;\n");
  write("src/base/without.cpp", "#include <map>\n");
  EXPECT_EQ(own_headers_behind_others(tree()),
            (Findings{"src/base/none.cpp:1: the first include is not \"base/none.hpp\"",
                      "src/base/second.cpp:1: the first include is not \"base/second.hpp\""}));
}

TEST_F(MadeUpTree, AFloorAboveIsRefused) {
  write("src/prop/frame.cpp",
        "#include \"prop/frame.hpp\"\n#include \"base/x.hpp\"\n# include \"packet/e131.hpp\"\n");
  EXPECT_EQ(includes_above(tree()),
            Findings{"src/prop/frame.cpp:3: \"packet/e131.hpp\": prop (floor 1) may use base"});
}

TEST_F(MadeUpTree, ALowerFloorThatTheTableDoesNotGiveIsRefused) {
  write("src/packet/a.hpp", "#include \"light/colour.hpp\"\n");
  EXPECT_EQ(
      includes_above(tree()),
      Findings{"src/packet/a.hpp:1: \"light/colour.hpp\": packet (floor 3) may use base, prop"});
}

TEST_F(MadeUpTree, AnIncludeWithoutItsFolderIsRefused) {
  write("src/prop/frame.cpp", "#include \"frame.hpp\"\n");
  EXPECT_EQ(includes_above(tree()),
            Findings{"src/prop/frame.cpp:1: \"frame.hpp\" has no folder; write \"prop/…\""});
}

TEST_F(MadeUpTree, AUnitTestStaysOnItsFloorToo) {
  write("tests/unit/base/a_test.cpp",
        "#include \"support/bytes.hpp\"\n#include \"neighbour.hpp\"\n#include \"io/file.hpp\"\n");
  EXPECT_EQ(
      includes_above(tree()),
      Findings{"tests/unit/base/a_test.cpp:3: \"io/file.hpp\": base (floor 0) may use nothing"});
}

TEST_F(MadeUpTree, AnIncludeInACommentIsNone) {
  write("src/base/a.hpp", "// #include \"io/file.hpp\"\n/*\n#include \"io/file.hpp\"\n*/\n");
  EXPECT_EQ(includes_above(tree()), Findings{});
}

TEST_F(MadeUpTree, AFolderOutsideTheTableIsRefused) {
  write("src/attic/a.cpp", "int a;\n");
  write("src/base/a.cpp", "int a;\n");
  EXPECT_EQ(folders_without_floor(tree()),
            Findings{"src/attic:1: no panewalk_library line in CMakeLists.txt"});
}

TEST_F(MadeUpTree, ALibraryAwayFromHomeIsRefused) {
  write("src/prop/a.cpp", "#include <vector>\n#include <nlohmann/json.hpp>\n");
  write("src/config/text.cpp", "#include <nlohmann/json.hpp>\n");
  write("src/config/text.hpp", "#include <nlohmann/json_fwd.hpp>\n");
  write("src/io/a.cpp", "#include <boost/asio.hpp>\n#include <spdlog/spdlog.h>\n");
  EXPECT_EQ(libraries_away_from_home(tree()),
            (Findings{
                "src/config/text.hpp:1: <nlohmann/json_fwd.hpp> is only for .cpp files",
                "src/io/a.cpp:1: <boost/asio.hpp> is only for src/web/ src/app/",
                "src/io/a.cpp:2: <spdlog/spdlog.h> is only for src/app/",
                "src/prop/a.cpp:2: <nlohmann/json.hpp> is only for src/config/ src/site/ src/scan/ "
                "src/logbook/ "
                "src/web/ src/cli/",
            }));
}

TEST_F(MadeUpTree, TheCoreMayNotTouchTheWorld) {
  write("src/prop/a.cpp",
        "#include <filesystem>\n"
        "#include <sys/socket.h>\n"
        "auto a = std::chrono::steady_clock::now();\n"
        "std::random_device b;\n"
        "auto c = std::getenv(\"HOME\");\n"
        "void d() { std::cout << 1; }\n"
        "void e() { std::printf(\"x\"); }\n"
        "auto f = std::fopen(\"x\", \"r\");\n"
        "std::mutex g;\n"
        "std::filesystem::path h;\n");
  EXPECT_EQ(impure_core(tree()),
            (Findings{
                "src/prop/a.cpp:1: <filesystem>: not in the core",
                "src/prop/a.cpp:2: <sys/socket.h>: not in the core",
                "src/prop/a.cpp:3: steady_clock::now: the core is told the time",
                "src/prop/a.cpp:10: std::filesystem: files belong to io",
                "src/prop/a.cpp:9: std::mutex: threads belong to the shell",
                "src/prop/a.cpp:4: random_device: the core is told its seed",
                "src/prop/a.cpp:5: getenv: the environment belongs to app",
                "src/prop/a.cpp:6: std::cout: the core prints nothing",
                "src/prop/a.cpp:7: printf: the core prints nothing",
                "src/prop/a.cpp:8: fopen: files belong to io",
            }));
}

TEST_F(MadeUpTree, TheShellMayTouchTheWorld) {
  write("src/io/a.cpp",
        "#include <filesystem>\n#include <sys/socket.h>\nauto a = Clock_clock::now();\n"
        "static int count = 0;\n");
  EXPECT_EQ(impure_core(tree()), Findings{});
}

TEST_F(MadeUpTree, WordsInQuotesAndCommentsAndOtherWordsPass) {
  write("src/prop/a.cpp",
        "const char* a = \"std::cout << getenv(x) \\\" printf(\";\n"
        "// std::random_device\n"
        "const char* b = R\"(std::mutex \" fopen()\" \")\";\n"
        "int c = 1'000; char d = '\"'; /* std::thread */ int my_getenv;\n"
        "void e(char* f) { std::snprintf(f, 1, \"x\"); }\n");
  EXPECT_EQ(impure_core(tree()), Findings{});
}

TEST_F(MadeUpTree, StateThatOutlivesACallIsRefused) {
  write("src/base/a.cpp",
        "static int a = 0;\n"
        "  static std::vector<int> b;\n"
        "thread_local int c;\n"
        "static const char* d = nullptr;\n"
        "  static std::function<void(int)> e;\n");
  const std::string why = ": static: the core keeps no state that can change";
  EXPECT_EQ(impure_core(tree()),
            (Findings{"src/base/a.cpp:1" + why, "src/base/a.cpp:2" + why, "src/base/a.cpp:3" + why,
                      "src/base/a.cpp:4" + why, "src/base/a.cpp:5" + why}));
}

TEST_F(MadeUpTree, ConstantsAndStaticFunctionsPass) {
  write("src/base/a.cpp",
        "static const std::vector<int> a = {1};\n"
        "static constexpr int b = 1;\n"
        "static Result<int, Problems> c(int x);\n"
        "static bool operator<(A, A);\n"
        "static const char* const d = \"\";\n"
        "static_assert(true);\n"
        "auto e = static_cast<int>(f);\n");
  EXPECT_EQ(impure_core(tree()), Findings{});
}

TEST_F(MadeUpTree, OnlyTheAbortMayPrint) {
  write("src/base/check.cpp", "void a() { std::fprintf(b, c); std::abort(); }\n");
  write("src/base/other.cpp", "void a() { std::fprintf(b, c); }\n");
  EXPECT_EQ(impure_core(tree()),
            Findings{"src/base/other.cpp:1: fprintf: the core prints nothing"});
}

TEST_F(MadeUpTree, ANumberFromJsonWithoutACheckIsRefused) {
  write("src/web/a.cpp",
        "auto a = json.get<int>();\n"
        "auto b = json[\"x\"].get<std::uint8_t>();\n"
        "auto c = std::get<int>(variant);\n"
        "auto d = json.get<std::string>();\n"
        "json.get_to(e);\n");
  const std::string why = ": converts without a check; use the checked reader";
  EXPECT_EQ(unchecked_json_numbers(tree()),
            (Findings{"src/web/a.cpp:1: .get<int" + why, "src/web/a.cpp:2: .get<std::uint8_t" + why,
                      "src/web/a.cpp:5: .get_to" + why}));
}

TEST_F(MadeUpTree, ACastOfABufferIsRefusedOutsideIo) {
  write("src/io/a.cpp", "auto a = reinterpret_cast<sockaddr*>(b);\n");
  write("src/packet/a.cpp", "\nauto a = reinterpret_cast<Header*>(b);\n");
  EXPECT_EQ(casts_of_buffers(tree()),
            Findings{"src/packet/a.cpp:2: reinterpret_cast: only in src/io, for socket addresses"});
}

TEST_F(MadeUpTree, ACaptureOfEverythingIsRefusedInAsynchronousCode) {
  write("src/web/a.cpp", "#include <boost/asio/post.hpp>\nauto a = [&] {};\nauto b = [&c] {};\n");
  write("src/web/b.cpp", "auto a = [&] {};\n");
  EXPECT_EQ(captures_of_everything(tree()),
            Findings{"src/web/a.cpp:2: [&]: asynchronous code names what it captures"});
}

TEST_F(MadeUpTree, AnUnfinishedWordIsRefused) {
  write("src/base/a.cpp", std::string("// TO") + "DO: more\n");
  write("patterns/a.json", std::string("{}\n\nFIX") + "ME\n");
  write("src/base/b.cpp", "// MASTODON\n");
  EXPECT_EQ(unfinished_words(tree()),
            (Findings{std::string("patterns/a.json:3: FIX") + "ME: finish it or file an issue",
                      std::string("src/base/a.cpp:1: TO") + "DO: finish it or file an issue"}));
}

TEST_F(MadeUpTree, ALongFileIsRefused) {
  std::string lines;
  for (int i = 0; i < 400; ++i) lines += "int a;\n";
  write("src/base/a.cpp", lines);
  write("src/base/b.cpp", lines + "int b;\n");
  EXPECT_EQ(long_files(tree()), Findings{"src/base/b.cpp:401: 401 lines, at most 400"});
}

TEST_F(MadeUpTree, ASleepingUnitTestIsRefused) {
  write("tests/unit/base/a_test.cpp", "\n  std::this_thread::sleep_for(1ms);\n");
  write("tests/unit/io/clock_test.cpp", "alarm.sleep_until(now() + 1h);\n");
  write("tests/unit/io/other_test.cpp", "std::this_thread::sleep_until(now() + 1h);\n");
  write("tests/system/001-a.py", "time.sleep(1)\n");
  const std::string why = ": tests are told the time, they don't wait for it";
  EXPECT_EQ(sleeping_tests(tree()),
            (Findings{"tests/unit/base/a_test.cpp:2: sleep_for" + why,
                      "tests/unit/io/other_test.cpp:1: this_thread::sleep_until" + why}));
}

// Bad forms: RFC 3629 clauses 3 and 10 (overlong slash, surrogate, past U+10FFFF, cut short).
TEST_F(MadeUpTree, APatternThatIsNotUtf8IsRefused) {
  write("patterns/good.json", "\"\xc2\xbd \xe2\x82\xac \xf0\x9f\x92\xa1\"\n");
  write("patterns/overlong.json", "\"\xc0\xaf\"\n");
  write("patterns/overlong-three.json", "\"\xe0\x80\xaf\"\n");
  write("patterns/past.json", "\"\xf4\x90\x80\x80\"\n");
  write("patterns/short.json", "ok\n\xe2\x82");
  write("patterns/surrogate.json", "\"\xed\xa0\x80\"\n");
  EXPECT_EQ(text_that_is_not_utf8(tree()),
            (Findings{"patterns/overlong-three.json:1: not UTF-8",
                      "patterns/overlong.json:1: not UTF-8", "patterns/past.json:1: not UTF-8",
                      "patterns/short.json:2: not UTF-8", "patterns/surrogate.json:1: not UTF-8"}));
}

}  // namespace
}  // namespace panewalk::architecture
