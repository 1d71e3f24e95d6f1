#pragma once

#include <memory>
#include <optional>
#include <set>
#include <string>
#include <vector>

#include "find/candidates.hpp"
#include "find/hypotheses.hpp"
#include "find/question.hpp"
#include "find/sight.hpp"

namespace panewalk::find {

struct Conditions {
  Experience experience;
  /// The prop may be lit in full white above half: its cap and its supply allow it. Else a sag
  /// under load can't be seen, and is among what stays possible.
  bool bright = false;
};

struct Possible {
  practice::Fault fault;
  practice::Fault second;  ///< kNone where there is one fault only
  double certainty = 0;    ///< 0 … 1
};

/// What the answers add up to.
struct Finding {
  Possible likeliest;
  std::vector<Possible>
      also_possible;  ///< likeliest first; those that light can't tell are all here
  /// How many of also_possible, from the front, no light could tell from the likeliest.
  std::size_t look_alike = 0;
  int questions = 0;
  /// Answers that don't fit the likeliest, by number of their question from 1.
  std::vector<int> misfits;
};

/// Asks until it knows. The same prop, conditions and answers always lead to the same questions, so
/// that a search can be taken up again from its answers. What the subject refers to outlives it.
class Finder {
 public:
  Finder(const practice::Subject& subject, Conditions conditions);

  [[nodiscard]] bool done() const { return !question_; }
  /// Precondition: !done().
  [[nodiscard]] const Question& question() const { return *question_; }
  /// Of the question that is open, from 1.
  [[nodiscard]] int number() const { return static_cast<int>(asked_.size()) + 1; }
  /// How many different answers to the open question anything that is still likely would give.
  [[nodiscard]] std::size_t answers_expected() const { return kinds_; }
  /// Precondition: !done().
  void answer(const Sighting& said);
  /// At any time; before done() it is what is known so far.
  [[nodiscard]] Finding finding() const;
  /// Answers that don't fit what is likeliest so far, by number of their question.
  [[nodiscard]] std::vector<int> misfits() const;
  [[nodiscard]] const practice::Subject& subject() const { return subject_; }
  [[nodiscard]] const Conditions& conditions() const { return conditions_; }

 private:
  struct Asked {
    Question question;
    Sighting said;
    std::size_t kinds = 1;  ///< different answers that could have been expected
  };
  [[nodiscard]] double weight(const Hypothesis& hypothesis, const Asked& asked,
                              const Sight& sight) const;
  void weigh(const Asked& asked, std::size_t from);
  void normalise();
  void rank();
  void add_pairs();
  [[nodiscard]] std::vector<Weighted> weighed(std::optional<std::size_t> without) const;
  void choose();
  /// `alike` by rank: what no light tells from the likeliest.
  [[nodiscard]] bool settled(std::vector<bool>& alike) const;
  /// The answer without which something else would be likelier, where that matters.
  [[nodiscard]] std::optional<std::size_t> hangs_on(const std::vector<bool>& alike) const;

  practice::Subject subject_;
  Conditions conditions_;
  practice::AsBuilt sound_;
  Probes probes_;
  std::vector<Hypothesis> hypotheses_;
  std::vector<double> weight_;                            // by hypothesis, adding up to 1
  std::set<std::pair<std::size_t, std::size_t>> paired_;  // single faults that stand as a pair too
  std::vector<std::size_t> ranked_;                       // those that count, likeliest first
  std::vector<Asked> asked_;
  std::optional<Question> question_;
  std::size_t kinds_ = 1;  // different answers that it may get
};

}  // namespace panewalk::find
