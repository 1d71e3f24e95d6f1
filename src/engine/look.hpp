#pragma once

#include <optional>
#include <string>
#include <vector>

#include "engine/plan.hpp"
#include "pattern/program.hpp"

namespace panewalk::engine {

/// What a person asks for. Names, as they come from the command line or the API.
struct LightAsked {
  std::vector<std::string> props;
  std::string pattern;
  light::Level level = light::Level::of(0.3);  ///< taken up to each prop's cap
  std::optional<std::string> region;           ///< none: the whole prop
};

/// What is asked, looked up and compiled for each prop. Immutable; the stream only reads it.
struct Look {
  struct Lit {
    std::size_t prop = 0;
    pattern::Program program;
    std::vector<bool> in_region;  ///< by pixel − 1; empty: all
    light::Level level;           ///< asked, within the cap
  };
  std::vector<std::string> prop_names;  ///< as asked
  std::string pattern;
  std::string region;  ///< "" is the whole prop
  light::Level asked;
  std::vector<Lit> lit;            ///< at least one, by prop
  std::vector<std::string> notes;  ///< what some prop can't show, each with the prop's name
};

/// Problems with the pointers of the API's request: "/props/0", "/pattern", "/region".
base::Result<Look> compose(const Plan& plan, const LightAsked& asked);

}  // namespace panewalk::engine
