#pragma once

#include <cstdint>
#include <functional>
#include <memory>
#include <optional>
#include <span>
#include <string>
#include <variant>
#include <vector>

#include "check/entry.hpp"
#include "engine/engine.hpp"
#include "engine/look.hpp"
#include "engine/plan.hpp"
#include "io/interfaces.hpp"
#include "io/network_watch.hpp"
#include "io/stream_thread.hpp"
#include "web/response.hpp"
#include "web/searches.hpp"

/// The HTTP API: a pure function of request to answer, and the shell around it.
namespace panewalk::web {

struct Dark {};
struct Release {};
/// To be kept in the logbook, in this order. Only when all is lasting is it answered: with what a
/// GET of `then` says.
struct Record {
  std::vector<check::Event> events;
  std::string then;
};
/// A file of the site to be written and the site to be read anew; then as for a Record.
struct Accept {
  site::Correction correction;
  std::string then;
};
/// What the caller of handle() carries out before it sends the answer.
using Command = std::variant<engine::Look, Dark, Release, engine::StepAsked, Record, Accept>;

/// What an answer may look at. All of it outlives the call.
struct View {
  const engine::Plan* plan = nullptr;
  const engine::Look* look = nullptr;  ///< asked last; null before the first
  const io::Live* live = nullptr;
  bool lit_asked = false;  ///< the last command was to light
  /// What a prop shows in practice, by StationIndex; empty where this is no practice.
  std::function<std::vector<light::Colour>(std::size_t prop)> shown = {};
  std::span<const std::string> notes = {};     ///< remarks of the load, for people
  std::uint64_t site_read = 1;                 ///< how often the site was read
  std::span<const check::Entry> entries = {};  ///< the logbook's of this site, by number
  check::EntryNumber newest_entry = 0;         ///< of any site
  /// Why there is no logbook; nothing is recorded then.
  base::Problems no_logbook = {};
  /// Where the fault finder stands with a prop. Good until the next call.
  std::function<Search&(std::size_t prop)> search = {};
  bool may_accept = false;  ///< an Accept can be carried out
  /// Null before the first, and in practice.
  std::shared_ptr<const io::NetworkWatch::Seen> network = {};
  /// io::way_to; empty where nothing leaves this machine.
  std::function<base::Result<io::WayOut, int>(const io::Host&, const std::optional<std::string>&)>
      way_to = {};
};

struct Answer {
  Response response;
  std::optional<Command> command = std::nullopt;
};

/// The answer to any request. HEAD is answered as GET.
Answer handle(const Request& request, const View& view);

/// Every call there is; "{prop}" stands for the name of a prop.
struct RouteName {
  std::string method, path;
  bool operator==(const RouteName&) const = default;
};
std::vector<RouteName> routes();

/// The WebSocket's path. handle() answers a call there that asks for no upgrade.
inline constexpr const char* kLivePath = "/api/live";
inline constexpr std::size_t kMostBody = 64UL << 10U;  ///< bytes

}  // namespace panewalk::web
