// LEMON 1.3 uses what C++20 took from std::allocator, so this file alone is compiled as C++17.
#include "wiring/matching.hpp"

#include <lemon/matching.h>
#include <lemon/smart_graph.h>

namespace panewalk::wiring {

std::vector<int> cheapest_perfect_matching(int nodes, const std::vector<MatchEdge>& edges) {
  using Graph = lemon::SmartGraph;
  Graph graph;
  graph.reserveNode(nodes);
  graph.reserveEdge(static_cast<int>(edges.size()));
  for (int i = 0; i < nodes; ++i) graph.addNode();
  Graph::EdgeMap<std::int64_t> weight{graph};
  for (const MatchEdge& edge : edges) {
    const auto added = graph.addEdge(Graph::nodeFromId(edge.a), Graph::nodeFromId(edge.b));
    weight[added] = -edge.cost;
  }
  lemon::MaxWeightedPerfectMatching<Graph, Graph::EdgeMap<std::int64_t>> matching{graph, weight};
  if (!matching.run()) return {};
  std::vector<int> mate(static_cast<std::size_t>(nodes), -1);
  for (int i = 0; i < nodes; ++i) {
    mate[static_cast<std::size_t>(i)] = Graph::id(matching.mate(Graph::nodeFromId(i)));
  }
  return mate;
}

}  // namespace panewalk::wiring
