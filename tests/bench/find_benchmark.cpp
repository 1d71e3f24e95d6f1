// `./run bench find [VALUES]`: plays builder over every kind of fault of the demo props and of
// frames that no test has fixed, and says how many searches end right, with how many questions. Of
// each kind and prop up to VALUES values are searched. "tell" after it prints the searches that
// went long or wrong.
#include <sys/resource.h>

#include <algorithm>
#include <chrono>
#include <cmath>
#include <cstdio>
#include <cstdlib>
#include <map>
#include <random>
#include <string>

#include "find/finder.hpp"
#include "find/prior.hpp"
#include "support/onlooker.hpp"

namespace panewalk::test {
namespace {

using find::Sighting;
using practice::Fault;
using practice::FaultKind;

struct Figures {
  std::size_t searches = 0, right = 0, sure = 0, sure_but_wrong = 0, worst = 0;
  double questions_by_prior = 0, prior = 0;
  std::map<FaultKind, std::pair<double, double>> by_kind;  // questions, searches
  double props = 0, entropy = 0, entropy_alike = 0;        // bits, summed over the props
  double most_answers = 1;
  double slowest = 0;  // seconds to choose a question
};

struct Options {
  double errors = 0;
  find::Place place = find::Place::kBench;
  std::size_t values = 20;
  bool tell = false;
};

/// The very fault, or one of those that no light can tell from what was named.
bool names(const find::Finding& finding, const Fault& truth, const Fault& second) {
  const auto is = [&](const find::Possible& possible) {
    return possible.fault == truth && possible.second == second;
  };
  const auto alike = finding.also_possible.begin();
  return is(finding.likeliest) ||
         std::any_of(alike, alike + static_cast<std::ptrdiff_t>(finding.look_alike), is);
}

double seconds_since(std::chrono::steady_clock::time_point start) {
  return std::chrono::duration<double>(std::chrono::steady_clock::now() - start).count();
}

struct Wrong {
  Fault fault;
  Fault second = {};
};

void search(const Case& prop, const find::Finder& begun, const Wrong& wrong, double prior,
            const Options& options, Random& random, Figures& figures) {
  find::Finder finder = begun;
  const Onlooker onlooker{prop, wrong.fault, wrong.second};
  std::string log;
  while (!finder.done()) {
    const find::Question& question = finder.question();
    Sighting seen = onlooker.look(question);
    if (std::uniform_real_distribution<>{}(random) < options.errors) {
      seen = onlooker.err(question, seen, random);
    }
    figures.most_answers =
        std::max(figures.most_answers, static_cast<double>(finder.answers_expected()));
    log += "\n    " + std::string{find::to_text(question.ask)} + ' ' + question.shown + ':';
    for (const auto value : seen) log += ' ' + std::to_string(value);
    const auto start = std::chrono::steady_clock::now();
    finder.answer(seen);
    figures.slowest = std::max(figures.slowest, seconds_since(start));
  }
  const find::Finding finding = finder.finding();
  const bool right = names(finding, wrong.fault, wrong.second);
  ++figures.searches;
  figures.right += right ? 1U : 0U;
  if (finding.likeliest.certainty > 0.9) {
    const bool exact =
        finding.likeliest.fault == wrong.fault && finding.likeliest.second == wrong.second;
    ++figures.sure;
    figures.sure_but_wrong += exact ? 0U : 1U;
  }
  figures.worst = std::max(figures.worst, static_cast<std::size_t>(finding.questions));
  figures.questions_by_prior += prior * finding.questions;
  figures.prior += prior;
  figures.by_kind[wrong.fault.kind].first += finding.questions;
  figures.by_kind[wrong.fault.kind].second += 1;
  if (options.tell && (!right || finding.questions > 9)) {
    std::printf("%s %s: %d questions, found %s %.3f%s%s\n", prop.name.c_str(),
                practice::to_text(prop.subject, wrong.fault).c_str(), finding.questions,
                practice::to_text(prop.subject, finding.likeliest.fault).c_str(),
                finding.likeliest.certainty, right ? "" : " WRONG", log.c_str());
  }
}

/// The faults of a prop by kind, each with its prior.
using ByKind = std::map<FaultKind, std::vector<std::pair<Fault, double>>>;
ByKind faults_of(const Case& prop, find::Place place, Figures& figures) {
  const std::vector<Fault> faults = practice::all_faults(prop.subject);
  const std::vector<double> prior =
      find::prior_of(prop.subject, faults, {.place = place, .mended = {}});
  ByKind of_kind;
  for (std::size_t i = 0; i < faults.size(); ++i) {
    of_kind[faults[i].kind].emplace_back(faults[i], prior[i]);
    figures.entropy -= prior[i] * std::log2(prior[i]);
  }
  const auto kinds = static_cast<double>(of_kind.size());
  for (const auto& [kind, all] : of_kind) {
    figures.entropy_alike +=
        (std::log2(kinds) + std::log2(static_cast<double>(all.size()))) / kinds;
  }
  figures.props += 1;
  return of_kind;
}

void play(const Case& prop, const Options& options, Random& random, Figures& figures) {
  const auto start = std::chrono::steady_clock::now();
  const find::Finder begun{
      prop.subject, {.experience = {.place = options.place, .mended = {}}, .bright = prop.bright}};
  figures.slowest = std::max(figures.slowest, seconds_since(start));
  for (auto& [kind, all] : faults_of(prop, options.place, figures)) {
    double mass = 0;
    for (const auto& [fault, prior] : all) mass += prior;
    if (all.size() > options.values) {
      std::shuffle(all.begin(), all.end(), random);
      all.resize(options.values);
    }
    double taken = 0;
    for (const auto& [fault, prior] : all) taken += prior;
    for (const auto& [fault, prior] : all) {
      search(prop, begun, {fault}, prior * mass / taken, options, random, figures);
    }
  }
}

/// A wrong colour order and one more fault, each kind that can come with it as often as the others.
void play_pairs(const Case& prop, const Options& options, Random& random, Figures& figures) {
  const find::Finder begun{
      prop.subject, {.experience = {.place = options.place, .mended = {}}, .bright = prop.bright}};
  ByKind of_kind = faults_of(prop, options.place, figures);
  const auto any = [&random](const auto& of) {
    return of[static_cast<std::size_t>(pick(random, 0, static_cast<std::int32_t>(of.size()) - 1))]
        .first;
  };
  const auto orders = of_kind[FaultKind::kColourOrder];
  for (const auto& [kind, all] : of_kind) {
    if (!find::pairs_with_colour_order(kind)) continue;
    for (std::size_t i = 0; i < std::min(options.values, all.size() * orders.size()); ++i) {
      search(prop, begun, {any(all), any(orders)}, 1, options, random, figures);
    }
  }
}

void print(const char* what, const Options& options, const Figures& f) {
  double alike = 0;
  for (const auto& [kind, sums] : f.by_kind) alike += sums.first / sums.second;
  alike /= static_cast<double>(f.by_kind.size());
  const double bits = std::log2(f.most_answers);
  std::printf(
      "| %s | %s | %.0f %% | %zu | %.2f %% | %.2f (%.2f) | %.2f (%.2f) | %zu | %zu of %zu | %.0f "
      "ms |\n",
      what, std::string{find::to_text(options.place)}.c_str(), 100 * options.errors, f.searches,
      100.0 * static_cast<double>(f.right) / static_cast<double>(f.searches),
      f.questions_by_prior / f.prior, f.entropy / f.props / bits, alike,
      f.entropy_alike / f.props / bits, f.worst, f.sure_but_wrong, f.sure, 1000 * f.slowest);
  std::fflush(stdout);
}

void choose_on_500_pixels(Random& random) {
  Figures figures;
  play(big_window(), {.values = 2}, random, figures);
  rusage used{};
  getrusage(RUSAGE_SELF, &used);
  std::printf(
      "\nA window of 500 pixels: the slowest choice of %zu searches took %.0f ms; the whole "
      "benchmark stays within %ld MiB.\n",
      figures.searches, 1000 * figures.slowest, used.ru_maxrss / 1024);
}

int run(std::size_t values, bool tell) {
  Random random{20'261'126};
  const std::vector<Case> demo = demo_props();
  std::vector<Case> frames;
  for (int i = 1; i <= 12; ++i) frames.push_back(random_window(random, i));
  std::printf(
      "Questions: the mean by the prior, and with every kind alike; in brackets the bound "
      "H / log2(answers).\nWrong though over 90 %% sure: the likeliest was not the fault "
      "itself.\n\n| props | prior | wrong answers | searches | named | questions | kinds alike "
      "| worst | wrong though sure | slowest choice "
      "|\n|---|---|---|---|---|---|---|---|---|---|\n");
  for (const double errors : {0.0, 0.03, 0.1}) {
    for (const find::Place place : {find::Place::kBench, find::Place::kYard}) {
      const Options options{.errors = errors, .place = place, .values = values, .tell = tell};
      Figures of_demo;
      for (const Case& prop : demo) play(prop, options, random, of_demo);
      print("demo", options, of_demo);
      Figures of_frames;
      for (const Case& prop : frames) play(prop, options, random, of_frames);
      print("random frames", options, of_frames);
    }
    const Options options{.errors = errors, .values = values, .tell = tell};
    Figures pairs;
    for (const Case& prop : demo) play_pairs(prop, options, random, pairs);
    print("demo, two faults", options, pairs);
  }
  choose_on_500_pixels(random);
  return 0;
}

}  // namespace
}  // namespace panewalk::test

int main(int argc, char** argv) {
  const int values = argc > 1 ? std::atoi(argv[1]) : 20;
  return panewalk::test::run(static_cast<std::size_t>(std::max(values, 1)),
                             argc > 2 && std::string{argv[2]} == "tell");
}
