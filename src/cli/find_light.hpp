#pragma once

#include <memory>
#include <optional>
#include <string>
#include <vector>

#include "cli/find_json.hpp"
#include "find/question.hpp"
#include "io/line_input.hpp"
#include "io/session.hpp"
#include "io/signals.hpp"

namespace panewalk::cli {

/// Standard input by lines, heard together with the signals.
class Listening {
 public:
  explicit Listening(io::Signals& signals);

  enum class Heard { kLine, kTimeout, kEnd };  ///< kEnd: of the input, or a signal
  /// What comes first; the line is in line().
  Heard wait(base::Duration timeout);
  [[nodiscard]] const std::string& line() const { return line_; }
  /// False where a signal came before the time was up.
  [[nodiscard]] bool pause(base::Duration time);

 private:
  io::Signals& signals_;
  io::LineInput input_;
  std::string line_;
  bool interrupted_ = false;
};

/// Lights the pictures of questions on one prop, and tells what the practice yard shows of them.
class FindLight {
 public:
  FindLight(io::Session& session, std::shared_ptr<const engine::Plan> plan, std::size_t prop,
            Listening& listening);

  /// From now on the pictures of this question follow each other, 2 s each; one stands.
  void ask(const find::Question& question);
  /// What is sent of each of them once it stands.
  [[nodiscard]] const Frames& frames() const { return frames_; }

  /// Which of the pictures is sent now, from 0.
  [[nodiscard]] std::size_t picture() const;
  /// What the prop shows in practice, by StationIndex.
  [[nodiscard]] std::vector<light::Colour> shown() const { return session_.shown(prop_); }
  /// The site's other props that are lit in practice.
  [[nodiscard]] std::vector<std::string> others_lit() const;
  /// Each picture as the yard shows it, as soon as it stands; then they follow each other again.
  /// Fewer where a signal came. Precondition: something was asked.
  [[nodiscard]] std::vector<std::vector<light::Colour>> each_as_shown();

  [[nodiscard]] io::Session& session() const { return session_; }
  [[nodiscard]] const engine::Plan& plan() const { return *plan_; }
  [[nodiscard]] std::size_t prop() const { return prop_; }

 private:
  void light();
  [[nodiscard]] bool is_sent(std::size_t picture);
  [[nodiscard]] bool settle(std::size_t picture);

  io::Session& session_;
  std::shared_ptr<const engine::Plan> plan_;
  std::size_t prop_;
  Listening& listening_;
  std::optional<engine::Look> look_;
  Frames frames_;
};

}  // namespace panewalk::cli
