#include "cli/load_site.hpp"

#include <ostream>

#include "base/nearest.hpp"
#include "config/text.hpp"
#include "io/files.hpp"
#include "site/prop_loader.hpp"

namespace panewalk::cli {

site::Sources files_on_disk() {
  return {
      .read =
          [](const std::string& path) { return io::read_file(path, config::kProjectFile.bytes); },
      .list = [](const std::string& folder) -> std::vector<std::string> {
        auto names = io::list_folder(folder, ".json");
        return names ? std::move(names).value() : std::vector<std::string>{};
      }};
}

void print(const base::Problems& problems, Console& console) {
  for (const base::Problem& problem : problems) console.err << base::to_line(problem) << '\n';
}

std::optional<site::Site> load_site(const std::string& path, Console& console) {
  auto site = site::load(path, files_on_disk());
  if (site) return std::move(site).value();
  print(site.error(), console);
  return std::nullopt;
}

std::optional<std::size_t> find_prop(const engine::Plan& plan, const std::string& name,
                                     Console& console) {
  const auto prop = plan.find_prop(name);
  if (!prop) {
    console.err << "no prop is named " << base::quoted(name) << "; "
                << base::name_hint(name, plan.prop_names()) << '\n';
  }
  return prop;
}

prop::PipeDescription pipe_of(const site::Site& site, const std::string& path, std::size_t prop) {
  const std::string wanted = site::folder_of(path) + site.file.props[prop].file;
  for (const site::Site::PropText& text : site.prop_files) {
    if (text.path == wanted) return text.file.pipe;
  }
  return {};
}

}  // namespace panewalk::cli
