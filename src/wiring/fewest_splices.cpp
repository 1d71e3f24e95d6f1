#include "wiring/fewest_splices.hpp"

#include <algorithm>

#include "wiring/greedy_order.hpp"
#include "wiring/pieces.hpp"
#include "wiring/route_writer.hpp"
#include "wiring/splice_bound.hpp"
#include "wiring/splice_problem.hpp"
#include "wiring/tour.hpp"

namespace panewalk::wiring {
namespace {

using base::Problems;

constexpr std::size_t kMostNodes = 1500;
/// Work that the search may do, in steps of it; a step takes some nanoseconds.
constexpr std::uint64_t kSearchANode = 50'000;
constexpr std::uint64_t kMostProof = 60'000'000;
constexpr int kRounds = 8;
constexpr std::uint64_t kSeed = 20260101;

/// What the search found, in costs of the problem.
struct Answer {
  std::vector<StationIndex> order;
  std::int64_t cost = 0, bound = 0;
};

std::vector<StationIndex> stations_of(const SpliceProblem& problem, const std::vector<int>& order) {
  std::vector<StationIndex> stations;
  for (std::size_t i = 0; i < order.size(); ++i) {
    const auto& node = problem.nodes[static_cast<std::size_t>(order[i])];
    stations.push_back(node.station);
    if (i + 1 < order.size() && node.mate == order[i + 1]) {
      stations.insert(stations.end(), node.between.begin(), node.between.end());
    }
  }
  return stations;
}

/// Search from above and from below in turn, until they meet or the work is done.
std::optional<Answer> search(const SpliceProblem& problem) {
  if (problem.size() == 1) return Answer{.order = {problem.nodes[0].station}};
  SpliceBound bound{problem};
  if (bound.is_impossible()) return std::nullopt;
  Tour tour{problem};
  tour.start();
  tour.improve();
  std::mt19937_64 random{kSeed};
  std::vector<int> order = tour.order();
  std::int64_t cost = tour.cost();
  const std::uint64_t most_search = kSearchANode * problem.size();
  bool open = cost > bound.bound();
  for (int round = 1; open && round <= kRounds; ++round) {
    const auto share = static_cast<std::uint64_t>(1) << (kRounds - round);
    while (tour.cost() > bound.bound() && tour.steps() < most_search / share) tour.kick(random);
    if (tour.cost() < cost) {
      cost = tour.cost();
      order = tour.order();
    }
    bool more = cost > bound.bound();
    while (more && bound.steps() < kMostProof / share) {
      more = bound.step(cost) && cost > bound.bound();
      if (bound.found_cost() && *bound.found_cost() < cost) {
        cost = *bound.found_cost();
        order = bound.found();
        tour.set_order(order);
      }
    }
    open = cost > bound.bound();
  }
  return Answer{.order = stations_of(problem, order), .cost = cost, .bound = bound.bound()};
}

Problems check(const prop::Frame& frame, const RouteWishes& wishes) {
  Problems problems;
  for (const auto& [pointer, station] :
       {std::pair{"/first", wishes.first}, std::pair{"/last", wishes.last}}) {
    if (station && !frame[*station].carries_pixel) {
      problems.push_back({.where = pointer,
                          .what = frame[*station].name + " has no pixel",
                          .remedy = "a place that has one"});
    }
  }
  if (wishes.first && wishes.first == wishes.last && frame.pixel_count() > 1) {
    problems.push_back({.where = "/last",
                        .what = frame[*wishes.last].name + " can't be the first and the last",
                        .remedy = "another place for the one or the other"});
  }
  return problems;
}

/// "2.5 m" for people.
std::string metres(Micrometres wire) {
  const Micrometres centimetres = (wire + 5000) / 10000;
  std::string text = std::to_string(centimetres / 100);
  const std::string rest = std::to_string(100 + centimetres % 100).substr(1);
  return text + '.' + rest + " m";
}

Problems too_far(const Answer& answer, const SpliceProblem& problem, Micrometres longest) {
  const bool sure = problem.every_place && answer.bound >= problem.too_long;
  const std::string limit = "hops and jumps of at most " + metres(longest);
  return {{.where = "/longest",
           .what = sure ? "no route of this frame has only " + limit
                        : "no route was found that has only " + limit,
           .remedy = sure ? "a longer limit" : "a longer limit; it is not proven that none has"}};
}

std::string sentence(const PiecesBound& pieces, std::size_t fewest, bool by_search, bool wished) {
  if (by_search) {
    return wished ? "All ways to link the bars at the joints that keep what was asked for come to "
                    "no fewer."
                  : "All ways to link the bars at the joints come to no fewer.";
  }
  if (fewest == 0) return "The data runs through without a cut.";
  const auto counted = [](std::size_t count, const char* one, const char* many) {
    return std::to_string(count) + ' ' + (count == 1 ? one : many);
  };
  const std::string stretches = counted(pieces.stretches(), "stretch", "stretches") + " and " +
                                counted(fewest, "splice", "splices") + " between them.";
  if (pieces.joints == 0) {
    return "The frame has " + std::to_string(pieces.pieces) +
           " parts that no bar joins: at least " + stretches;
  }
  return "Without " + counted(pieces.joints, "joint", "joints") + " the frame falls into " +
         std::to_string(pieces.pieces) + " pieces, and each joint has one pixel, which links two " +
         "of them at most: at least " + std::to_string(pieces.pieces) + " − " +
         std::to_string(pieces.joints) + " = " + stretches;
}

class Finder {
 public:
  Finder(const prop::Frame& frame, const RouteWishes& wishes) : frame_{frame}, wishes_{wishes} {}

  base::Result<FoundRoute> find() {
    Problems problems = check(frame_, wishes_);
    if (!problems.empty()) return problems;
    const auto problem =
        splice_problem(frame_, {.first = wishes_.first, .last = wishes_.last}, kMostNodes);
    if (!problem) {
      settle({.order = greedy_order(frame_, wishes_)}, nullptr);
    } else {
      settle(*search(*problem), &*problem);
    }
    if (wishes_.longest && longest_wire() > *wishes_.longest) {
      problems = find_within_longest();
      if (!problems.empty()) return problems;
    }
    return std::move(found_);
  }

 private:
  Problems find_within_longest() {
    const auto problem = splice_problem(
        frame_, {.first = wishes_.first, .last = wishes_.last, .longest = wishes_.longest},
        kMostNodes);
    if (!problem) return too_far({}, {}, limit());
    auto answer = search(*problem);
    if (!answer) answer = Answer{.cost = problem->too_long, .bound = problem->too_long};
    if (answer->cost >= problem->too_long) return too_far(*answer, *problem, limit());
    // Without every place as a node other cuts might have kept the limit with fewer splices.
    if (!problem->every_place) answer->bound = 0;
    settle(*answer, &*problem);
    return {};
  }

  [[nodiscard]] Micrometres limit() const {
    return static_cast<Micrometres>(wishes_.longest->value() * 1000);
  }

  [[nodiscard]] Millimetres longest_wire() const {
    constexpr Millimetres kRounding = Millimetres::of(1e-3);
    Millimetres most;
    for (const Splice& splice : found_.map.splices()) most = std::max(most, splice.wire);
    return most - kRounding;
  }

  /// Without a problem where the frame was too large to search.
  void settle(const Answer& answer, const SpliceProblem* problem) {
    found_ = {};
    found_.runs = write_route(frame_, answer.order);
    found_.map =
        read_route(frame_, {.route = found_.runs, .fewest_splices = false, .spares = {}}).value();
    const PiecesBound pieces = pieces_bound(frame_);
    const std::size_t by_pieces = pieces.stretches() - 1;
    const std::size_t by_search =
        problem == nullptr ? 0 : static_cast<std::size_t>(problem->splices_in(answer.bound));
    found_.fewest = std::max(by_pieces, by_search);
    found_.proven = found_.splices() == found_.fewest;
    if (problem != nullptr && found_.proven && by_search == found_.fewest) {
      found_.least_wire_proven = problem->wire_in(answer.cost) == problem->wire_in(answer.bound);
      found_.least_wire =
          Millimetres::of(static_cast<double>(problem->wire_in(answer.bound)) / 1000);
    }
    if (found_.least_wire_proven) found_.least_wire = found_.map.splice_wire();
    found_.why = sentence(pieces, found_.fewest, by_search > by_pieces,
                          wishes_.first || wishes_.last || wishes_.longest);
  }

  const prop::Frame& frame_;
  const RouteWishes& wishes_;
  FoundRoute found_;
};

}  // namespace

base::Result<FoundRoute> find_fewest_splices(const prop::Frame& frame, const RouteWishes& wishes) {
  return Finder{frame, wishes}.find();
}

}  // namespace panewalk::wiring
