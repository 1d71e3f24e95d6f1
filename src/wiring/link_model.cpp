#include "wiring/link_model.hpp"

#include <utility>

namespace panewalk::wiring {
namespace {

class LinkBuilder {
 public:
  explicit LinkBuilder(const SpliceProblem& problem)
      : problem_{problem}, gate_{static_cast<int>(problem.size())} {}

  LinkModel build() {
    make_slots();
    make_links();
    return std::move(model_);
  }

 private:
  void make_slots() {
    model_.of_node.resize(problem_.size() + 1);
    for (int i = 0; i < gate_; ++i) {
      const auto& node = problem_.nodes[static_cast<std::size_t>(i)];
      const std::size_t slots = node.mate == SpliceProblem::kNone ? 2 : 1;
      for (std::size_t s = 0; s < slots; ++s) {
        LinkModel::Slot slot{.node = i};
        slot.any = node.beside.size() > slots;
        if (!slot.any && s < node.beside.size()) slot.only = node.beside[s];
        model_.of_node[static_cast<std::size_t>(i)].push_back(
            static_cast<int>(model_.slots.size()));
        model_.slots.push_back(slot);
      }
    }
    for (int s = 0; s < 2; ++s) {
      model_.of_node.back().push_back(static_cast<int>(model_.slots.size()));
      model_.slots.push_back({.node = gate_});
    }
    model_.all_slots = static_cast<int>(model_.slots.size());
  }

  void add(int a, int b, std::int64_t cost, const Pair& nodes, bool helper = false) {
    model_.links.push_back({a, b, cost, nodes, helper});
  }

  void make_links() {
    for (int a = 0; a < gate_; ++a) {
      for (int b = a + 1; b < gate_; ++b) link_nodes(a, b);
    }
    for (const int end : {0, 1}) {
      const int wanted = end == 0 ? problem_.first : problem_.last;
      const int other = end == 0 ? problem_.last : problem_.first;
      const int slot = model_.of_node.back()[static_cast<std::size_t>(end)];
      for (int a = 0; a < gate_; ++a) {
        if (wanted != SpliceProblem::kNone ? a != wanted : a == other) continue;
        for (const int to : model_.of_node[static_cast<std::size_t>(a)]) {
          add(slot, to, 0, {a, gate_});
        }
      }
    }
  }

  void link_nodes(int a, int b) {
    const Pair nodes{a, b};
    const auto first = static_cast<std::size_t>(a);
    const auto second = static_cast<std::size_t>(b);
    if (problem_.nodes[first].mate == b) return;
    if (!problem_.are_beside(first, second)) {
      const std::int64_t cost = problem_.cost(first, second);
      if (cost >= problem_.too_long) return;
      for (const int x : model_.of_node[first]) {
        for (const int y : model_.of_node[second]) add(x, y, cost, nodes);
      }
      return;
    }
    const auto free_for = [this](int slot, int other) {
      const LinkModel::Slot& one = model_.slots[static_cast<std::size_t>(slot)];
      return one.any || one.only == other;
    };
    const bool helpers =
        model_.slots[static_cast<std::size_t>(model_.of_node[first].front())].any &&
        model_.slots[static_cast<std::size_t>(model_.of_node[second].front())].any;
    int left = 0, right = 0;
    if (helpers) {
      left = model_.all_slots++;
      right = model_.all_slots++;
      add(left, right, 0, nodes, true);
    }
    for (const int x : model_.of_node[first]) {
      if (helpers) add(x, left, 0, nodes);
      for (const int y : model_.of_node[second]) {
        if (!helpers && free_for(x, b) && free_for(y, a)) add(x, y, 0, nodes);
      }
    }
    for (const int y : model_.of_node[second]) {
      if (helpers) add(y, right, 0, nodes);
    }
  }

  const SpliceProblem& problem_;
  int gate_;
  LinkModel model_;
};

}  // namespace

LinkModel link_model(const SpliceProblem& problem) { return LinkBuilder{problem}.build(); }

}  // namespace panewalk::wiring
