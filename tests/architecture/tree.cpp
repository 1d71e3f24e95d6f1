#include <algorithm>
#include <fstream>
#include <iterator>
#include <regex>
#include <sstream>
#include <string_view>

#include "architecture/rules.hpp"

namespace panewalk::architecture {
namespace {

Folders read_folders(const std::string& cmake) {
  static const std::regex form{
      R"(panewalk_library\(\s*(\w+)\s+FLOOR\s+(\d+)\s*(?:DEPENDS\s+([\w\s]*?))?\s*(?:PRIVATELY[^)]*)?\))"};
  Folders folders;
  for (auto it = std::sregex_iterator{cmake.begin(), cmake.end(), form};
       it != std::sregex_iterator{}; ++it) {
    Folder folder{std::stoi((*it)[2].str()), {}};
    std::istringstream names{(*it)[3].str()};
    for (std::string name; names >> name;) {
      folder.may_use.insert(name);
      const auto below = folders.find(name);
      if (below != folders.end()) {
        folder.may_use.insert(below->second.may_use.begin(), below->second.may_use.end());
      }
    }
    folders[(*it)[1].str()] = folder;
  }
  return folders;
}

}  // namespace

bool File::is_cpp() const {
  const auto ending = std::filesystem::path(path).extension();
  return ending == ".cpp" || ending == ".hpp";
}

Tree read_tree(const std::filesystem::path& top) {
  namespace fs = std::filesystem;
  static const std::set<std::string> kEndings{".cpp", ".hpp", ".js",   ".mjs", ".css",   ".html",
                                              ".py",  ".sh",  ".json", ".txt", ".cmake", ""};
  Tree tree;
  const auto add = [&](const fs::path& path) {
    std::ifstream stream{path, std::ios::binary};
    File file{path.lexically_relative(top).generic_string(),
              {std::istreambuf_iterator<char>{stream}, {}},
              {}};
    if (file.is_cpp()) file.lines = read_source(file.text);
    tree.files.push_back(std::move(file));
  };
  for (const auto* name : {"src", "tests", "patterns", "config", ".ci", ".cmake"}) {
    if (!fs::is_directory(top / name)) continue;
    for (auto it = fs::recursive_directory_iterator{top / name};
         it != fs::recursive_directory_iterator{}; ++it) {
      const auto leaf = it->path().filename().string();
      if (it->is_directory() && (leaf == "node_modules" || leaf == "corpus")) {
        it.disable_recursion_pending();
      } else if (it->is_regular_file() && (kEndings.count(it->path().extension().string()) > 0 ||
                                           std::string_view(name) == "patterns")) {
        add(it->path());
      }
    }
  }
  for (const auto* name : {"run", "CMakeLists.txt"}) {
    if (fs::exists(top / name)) add(top / name);
  }
  std::sort(tree.files.begin(), tree.files.end(),
            [](const File& a, const File& b) { return a.path < b.path; });
  for (const auto& file : tree.files) {
    if (file.path == "CMakeLists.txt") tree.folders = read_folders(file.text);
  }
  return tree;
}

}  // namespace panewalk::architecture
