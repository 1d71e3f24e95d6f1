#pragma once

#include <vector>

#include "engine/plan.hpp"
#include "scan/report.hpp"
#include "scan/verdict.hpp"

/// The parts of `judge`. Each appends what it finds.
namespace panewalk::scan {

/// Who answered.
void judge_controllers(const Report& report, const engine::Plan& plan,
                       std::vector<Finding>& findings);
/// What the nodes at the controllers' addresses say of their outputs.
void judge_nodes(const Report& report, const engine::Plan& plan, std::vector<Finding>& findings);
/// Who else sends what the site sends, or what lies beside it.
void judge_rivals(const Report& report, const engine::Plan& plan, std::vector<Finding>& findings);
/// Multicast, losses, shared CIDs, silence: needs no site.
void judge_network(const Report& report, std::vector<Finding>& findings);

/// The address is of this machine.
bool is_here(const Report& report, Ipv4 address);

}  // namespace panewalk::scan
