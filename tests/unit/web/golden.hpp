#pragma once

#include <gtest/gtest.h>

#include <algorithm>
#include <filesystem>
#include <fstream>
#include <sstream>
#include <string>
#include <vector>

#include "web/response.hpp"

/// tests/golden/http/*.txt: comment lines with what the file is about, a request, a line "====",
/// the answer. Lines end in LF there and in CR LF on the wire, the bodies' excepted.
namespace panewalk::test {

struct Golden {
  std::string name;
  std::string view = "silent";   ///< "# view: lit"
  std::string command = "none";  ///< "# command: dark"
  std::string request, answer;
};

inline std::string read_golden(const std::filesystem::path& path) {
  std::ifstream file{path, std::ios::binary};
  std::ostringstream text;
  text << file.rdbuf();
  return text.str();
}

inline Golden to_golden(const std::string& name, std::string text) {
  Golden golden;
  golden.name = name;
  while (text.rfind("# ", 0) == 0) {
    const std::string line = text.substr(2, text.find('\n') - 2);
    if (line.rfind("view: ", 0) == 0) golden.view = line.substr(6);
    if (line.rfind("command: ", 0) == 0) golden.command = line.substr(9);
    text.erase(0, text.find('\n') + 1);
  }
  constexpr const char* kBetween = "====\n";
  const std::size_t between = text.find(kBetween);
  EXPECT_NE(between, std::string::npos) << name;
  golden.request = text.substr(0, between);
  golden.answer = text.substr(between + 5);
  return golden;
}

inline std::vector<Golden> all_goldens() {
  std::vector<Golden> goldens;
  const std::filesystem::path folder = PANEWALK_SOURCE_DIR "/tests/golden/http";
  for (const auto& entry : std::filesystem::directory_iterator{folder}) {
    if (entry.path().extension() != ".txt") continue;
    goldens.push_back(to_golden(entry.path().stem().string(), read_golden(entry.path())));
  }
  std::sort(goldens.begin(), goldens.end(),
            [](const Golden& a, const Golden& b) { return a.name < b.name; });
  return goldens;
}

/// The head's lines ended as on the wire.
inline std::string on_the_wire(const std::string& text) {
  const std::size_t body = std::min(text.find("\n\n"), text.size() - 2) + 2;
  std::string wire;
  for (const char letter : text.substr(0, body))
    wire += letter == '\n' ? "\r\n" : std::string(1, letter);
  return wire + text.substr(body);
}

/// The request of a golden file as the shell would hand it on. A body's last line break is the
/// file's.
inline web::Request to_request(const std::string& text) {
  web::Request request;
  std::istringstream lines{text};
  lines >> request.method >> request.target;
  std::string line;
  std::getline(lines, line);
  while (std::getline(lines, line) && !line.empty()) {
    const std::string value = line.substr(line.find(": ") + 2);
    if (line.rfind("Host: ", 0) == 0) request.host = value;
    if (line.rfind("Content-Type: ", 0) == 0) request.content_type = value;
    if (line.rfind("Origin: ", 0) == 0) {
      request.origin = value;
      request.has_origin = true;
    }
  }
  const std::size_t body = text.find("\n\n");
  if (body != std::string::npos) request.body = text.substr(body + 2);
  if (!request.body.empty() && request.body.back() == '\n') request.body.pop_back();
  return request;
}

}  // namespace panewalk::test
