#pragma once

#include <functional>
#include <memory>
#include <optional>
#include <string>
#include <vector>

#include "base/result.hpp"
#include "io/session.hpp"
#include "io/signals.hpp"
#include "web/server.hpp"

namespace panewalk::web {

/// A server with the loop that it runs in, until a signal comes.
class Serving {
 public:
  Serving(io::Session& session, io::Signals& signals, ServerOptions options);
  ~Serving();
  Serving(const Serving&) = delete;
  Serving& operator=(const Serving&) = delete;

  /// The address to open in a browser: "http://127.0.0.1:8017/".
  base::Result<std::string> open();
  /// After open(); nothing where no code is needed.
  [[nodiscard]] const std::optional<Invitation>& invitation() const;
  /// While run() runs, `then` is called every so often.
  void keep(base::Duration every, std::function<void()> then);
  /// Returns the signal that came. May be called again.
  int run();
  void close();
  void site_was_read(std::shared_ptr<const site::Site> site, std::vector<std::string> notes);

 private:
  struct Loop;
  std::unique_ptr<Loop> loop_;
};

}  // namespace panewalk::web
