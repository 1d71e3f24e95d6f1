#pragma once

#include <string>
#include <vector>

#include "cli/console.hpp"
#include "cli/find_light.hpp"
#include "cli/find_search.hpp"
#include "find/words.hpp"

namespace panewalk::cli {

/// A search at a terminal, or by pipes that stand for one.
class FindTalk {
 public:
  /// `route` has the runs as the builder knows them.
  FindTalk(FindSearch& search, FindLight& light, Listening& listening,
           const std::vector<std::string>& route, Console& console);

  /// Asks until the search is done. False where it was left before: by "quit", at the end of the
  /// input, by a signal.
  bool search();

 private:
  void open();
  void put_question();
  void draw_question();
  /// One picture with what helps to answer: beside each other, or else below, or what matters most.
  [[nodiscard]] std::vector<std::string> drawing(std::size_t picture,
                                                 const std::vector<light::Colour>& shown) const;
  [[nodiscard]] std::vector<std::string> lit(const std::vector<light::Colour>& lights) const;
  [[nodiscard]] std::vector<std::string> names() const;
  /// A picture as it looks where nothing is wrong, by StationIndex.
  [[nodiscard]] std::vector<light::Colour> as_drawn(std::size_t picture) const;
  [[nodiscard]] std::string label(std::size_t picture) const;
  [[nodiscard]] bool practising() const { return light_.session().practising(); }
  /// Over what was drawn, where it looks otherwise now.
  void draw_again();
  void say_troubles();
  void prompt();
  void below(const std::string& line);
  bool hear();
  void print(const std::string& text);

  FindSearch& search_;
  FindLight& light_;
  Listening& listening_;
  const std::vector<std::string>& route_;
  Console& console_;
  bool live_;  ///< the drawing follows the light
  std::vector<std::string> drawn_;
  std::size_t lines_below_ = 0;  ///< of the drawing, with the one of the prompt
  std::vector<std::string> told_;
};

/// What was found, as text for a terminal.
std::string finding_as_text(const find::Finding& finding, const find::FindingWords& words,
                            int columns);

}  // namespace panewalk::cli
