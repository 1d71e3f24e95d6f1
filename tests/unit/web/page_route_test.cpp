#include "web/page_route.hpp"

#include <gtest/gtest.h>

#include <filesystem>
#include <fstream>
#include <set>
#include <sstream>

#include "web/page_files.hpp"

namespace panewalk::web {
namespace {

const std::filesystem::path kFolder = PANEWALK_SOURCE_DIR "/src/web/page";

std::string on_disk(const std::filesystem::path& path) {
  std::ifstream file{path, std::ios::binary};
  std::ostringstream text;
  text << file.rdbuf();
  return text.str();
}

Request get(const std::string& target) {
  return {.method = "GET", .target = target, .host = "192.0.2.7:8017"};
}

std::string tag_of(const std::string& name) {
  return '"' + std::string{find_page_file(name)->tag} + '"';
}

TEST(PageFiles, AreThoseOfTheFolderByteForByte) {
  std::set<std::string> names;
  for (const auto& entry : std::filesystem::directory_iterator{kFolder}) {
    const std::string name = entry.path().filename().string();
    names.insert(name);
    const PageFile* const file = find_page_file(name);
    ASSERT_NE(file, nullptr) << name;
    EXPECT_TRUE(file->text == on_disk(entry.path())) << name;
  }
  EXPECT_EQ(page_files().size(), names.size());
  EXPECT_TRUE(names.count("index.html"));
}

TEST(PageFiles, HaveATagEach) {
  std::set<std::string_view> tags;
  for (const PageFile& file : page_files()) {
    EXPECT_EQ(file.tag.size(), 32U) << file.name;
    EXPECT_EQ(file.tag.find_first_not_of("0123456789abcdef"), std::string_view::npos) << file.name;
    tags.insert(file.tag);
  }
  EXPECT_EQ(tags.size(), page_files().size());
}

TEST(PageRoute, IsTheStartAndOneFolder) {
  for (const char* target : {"/", "/?x", "/page/", "/page/app.js", "/page/../x", "/page/a/b"}) {
    EXPECT_TRUE(is_of_page(target)) << target;
  }
  for (const char* target : {"", "/page", "/pages/x", "/api/site", "//", "/PAGE/x", "page/x",
                             "http://x/page/index.html"}) {
    EXPECT_FALSE(is_of_page(target)) << target;
  }
}

TEST(PageRoute, AnswersWithTheseBytes) {
  const std::string page = on_disk(kFolder / "index.html");
  EXPECT_EQ(
      to_bytes(page_answer(get("/")), Connection::kStays),
      "HTTP/1.1 200 OK\r\n"
      "Content-Type: text/html; charset=utf-8\r\n"
      "Content-Length: " +
          std::to_string(page.size()) +
          "\r\n"
          "Cache-Control: no-cache\r\n"
          "Content-Security-Policy: default-src 'none'; script-src 'self'; style-src 'self'; "
          "img-src 'self' data:; connect-src 'self' ws://192.0.2.7:8017; manifest-src 'self'; "
          "base-uri 'none'; form-action 'none'; frame-ancestors 'none'\r\n"
          "Cross-Origin-Resource-Policy: same-origin\r\n"
          "Referrer-Policy: no-referrer\r\n"
          "X-Content-Type-Options: nosniff\r\n"
          "ETag: " +
          tag_of("index.html") +
          "\r\n"
          "Permissions-Policy: camera=(), geolocation=(), microphone=(), payment=(), usb=()"
          "\r\n\r\n" +
          page);
}

TEST(PageRoute, SaysThatACopyIsStillGood) {
  for (const std::string& given : {tag_of("index.html"), "W/" + tag_of("index.html"),
                                   "\"x\", " + tag_of("index.html"), std::string{"*"}}) {
    Request request = get("/page/index.html");
    request.if_none_match = given;
    EXPECT_EQ(to_bytes(page_answer(request), Connection::kStays),
              "HTTP/1.1 304 Not Modified\r\n"
              "Cache-Control: no-cache\r\n"
              "Content-Security-Policy: default-src 'none'; script-src 'self'; style-src 'self'; "
              "img-src 'self' data:; connect-src 'self' ws://192.0.2.7:8017; manifest-src 'self'; "
              "base-uri 'none'; form-action 'none'; frame-ancestors 'none'\r\n"
              "Cross-Origin-Resource-Policy: same-origin\r\n"
              "Referrer-Policy: no-referrer\r\n"
              "X-Content-Type-Options: nosniff\r\n"
              "ETag: " +
                  tag_of("index.html") +
                  "\r\n"
                  "Permissions-Policy: camera=(), geolocation=(), microphone=(), payment=(), "
                  "usb=()\r\n\r\n")
        << given;
  }
  Request other = get("/page/index.html");
  other.if_none_match = "\"00000000000000000000000000000000\"";
  EXPECT_EQ(page_answer(other).status, 200);
}

TEST(PageRoute, GivesEveryFileItsType) {
  const std::pair<const char*, const char*> kTypes[] = {
      {".html", "text/html; charset=utf-8"},
      {".css", "text/css; charset=utf-8"},
      {".js", "text/javascript; charset=utf-8"},
      {".svg", "image/svg+xml; charset=utf-8"},
      {".json", "application/json"},
      {".webmanifest", "application/manifest+json"}};
  for (const PageFile& file : page_files()) {
    const Response response = page_answer(get("/page/" + std::string{file.name}));
    EXPECT_EQ(response.status, 200) << file.name;
    EXPECT_TRUE(response.body == file.text) << file.name;
    const std::string ending = std::filesystem::path{file.name}.extension().string();
    bool known = false;
    for (const auto& [of, type] : kTypes) {
      if (ending != of) continue;
      EXPECT_EQ(response.type, type) << file.name;
      known = true;
    }
    EXPECT_TRUE(known) << file.name;
  }
}

TEST(PageRoute, ServesNothingThatIsNoFileOfIt) {
  for (const char* target :
       {"/page/", "/page/.", "/page/..", "/page/../page/index.html", "/page/%69ndex.html",
        "/page/index.html/", "/page//index.html", "/page/Index.html", "/page/index.html ",
        "/page/index", "/page/%2e%2e/index.html", "/page/index.html%00", "/page/..\\index.html"}) {
    const Response response = page_answer(get(target));
    EXPECT_EQ(response.status, 404) << target;
    EXPECT_EQ(response.policy, kPlainPolicy);
  }
}

TEST(PageRoute, TakesNoOtherMethodAndNoQuery) {
  Request post = get("/");
  post.method = "POST";
  EXPECT_EQ(page_answer(post).status, 405);
  EXPECT_EQ(page_answer(get("/?x")).status, 400);
  EXPECT_EQ(page_answer(get("/page/index.html?")).status, 400);
  Request head = get("/");
  head.method = "HEAD";
  const std::string bytes = to_bytes(page_answer(head), Connection::kStays, Part::kHead);
  EXPECT_EQ(bytes.find("\r\n\r\n") + 4, bytes.size());
}

}  // namespace
}  // namespace panewalk::web
