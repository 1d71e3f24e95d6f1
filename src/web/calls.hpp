#pragma once

#include <cstddef>

#include "check/progress.hpp"
#include "config/text.hpp"
#include "web/api.hpp"

/// What the API's calls do, by what they are about. Each is a pure function.
namespace panewalk::web {

/// One call to a path that is known. `prop` is only meant where the path names one.
struct Call {
  const View* view = nullptr;
  std::size_t prop = 0;
};

Answer answered(std::string body);
Answer refused(int status, base::Problem problem);
/// For commands that say it all by their path: no body, or an empty object. Nothing where it is so.
std::optional<Answer> refused_members(const config::Tree& body);

/// Recorded in this order, and then answered with what a GET of `then` says; a logbook that is not
/// there takes nothing.
Answer recorded(const Call& call, std::vector<check::Event> events, std::string then);
/// 409 where the state is another by now, else 400.
Answer not_taken(const check::Refusal& refused);

Answer get_site(const Call& call);
Answer get_patterns(const Call& call);
Answer get_map(const Call& call);
Answer get_drawing(const Call& call);
Answer get_light(const Call& call);
Answer get_live(const Call& call);
Answer get_network(const Call& call);
Answer get_document(const Call& call);

Answer post_light(const Call& call, const config::Tree& body);
Answer post_step(const Call& call, const config::Tree& body);
Answer post_dark(const Call& call, const config::Tree& body);
Answer post_release(const Call& call, const config::Tree& body);

Answer get_bench(const Call& call);
Answer post_bench_begin(const Call& call, const config::Tree& body);
Answer post_bench_answer(const Call& call, const config::Tree& body);
Answer get_walk(const Call& call);
Answer post_walk_begin(const Call& call, const config::Tree& body);
Answer post_walk_answer(const Call& call, const config::Tree& body);
Answer get_logbook(const Call& call);

Answer get_find(const Call& call);
Answer post_find_begin(const Call& call, const config::Tree& body);
Answer post_find_answer(const Call& call, const config::Tree& body);
Answer post_find_show(const Call& call, const config::Tree& body);
Answer post_find_repaired(const Call& call, const config::Tree& body);
Answer post_find_accept(const Call& call, const config::Tree& body);

}  // namespace panewalk::web
