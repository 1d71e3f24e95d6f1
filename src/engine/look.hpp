#pragma once

#include <optional>
#include <span>
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

/// What the fault finder asks for: still pictures on one prop, an explicit colour for every chip of
/// its chain, nulls and spares included.
struct PicturesAsked {
  std::string prop;
  /// Each by slot, as long as the chain; at least one. White only where the pixels have a white
  /// chip. What is brighter than the prop's cap has all pictures dimmed until it is not.
  std::vector<std::vector<light::Colour>> pictures;
  Duration each = std::chrono::seconds{2};  ///< at least 1 s; one picture stands
};

/// Still pictures that follow each other in turn, for ever.
struct Pictures {
  /// Each as the engine has a prop's chips, see canvas_slots(): the pixels by index, then the
  /// hidden chips by slot.
  std::vector<std::vector<light::Colour>> colours;
  Duration each = std::chrono::seconds{2};
};

/// What a painting may have changed of a prop.
struct Touched {
  light::Extent pixels, hidden;
};

/// What is asked, looked up and compiled for each prop. Immutable; the stream only reads it.
struct Look {
  struct Lit {
    std::size_t prop = 0;
    pattern::Program program;  ///< within the region; dark where there are pictures
    light::Level level;        ///< asked, within the cap
    Pictures pictures = {};    ///< instead of the program; none: the program plays

    /// The program's or, of pictures, one each; the rest as in pattern::Program.
    [[nodiscard]] std::size_t beats() const;
    [[nodiscard]] pattern::Beat at(Duration since, std::size_t from) const;
    [[nodiscard]] pattern::Beat beat(std::size_t number) const;
    [[nodiscard]] std::size_t number(const pattern::Beat& beat) const;
    [[nodiscard]] std::string caption(const pattern::Beat& beat) const;
    /// The pixels by index and the hidden chips by slot, at the level. Does not allocate.
    void paint(const pattern::Beat& beat, std::span<light::Colour> pixels,
               std::span<light::Colour> hidden) const;
    /// The same where they hold what was painted for `before`: what does not differ is not written.
    void repaint(const pattern::Beat& before, const pattern::Beat& beat,
                 std::span<light::Colour> pixels, std::span<light::Colour> hidden) const;
    /// Where two paintings may differ; nothing: anywhere.
    [[nodiscard]] std::optional<Touched> difference(const pattern::Beat& one,
                                                    const pattern::Beat& other) const;
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

/// The pattern that such a look names.
inline constexpr const char* kFinder = "finder";
/// Problems: "/prop", "/pictures", "/pictures/2", "/pictures/2/17", "/each".
base::Result<Look> compose_pictures(const Plan& plan, const PicturesAsked& asked);

}  // namespace panewalk::engine
