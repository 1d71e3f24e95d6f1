#include "find/finder.hpp"

#include <algorithm>
#include <cmath>
#include <map>
#include <numeric>
#include <unordered_map>

#include "find/candidates.hpp"
#include "find/observer.hpp"

namespace panewalk::find {
namespace {

/// Hypotheses below this share of the likeliest decide nothing.
constexpr double kCounts = 1e-6;
constexpr std::size_t kMostRanked = 12'000;
/// Two answers at least, whatever the first one says.
constexpr std::size_t kLeastQuestions = 2;
/// Below this no question is worth the builder's time, in bits.
constexpr double kWorthAsking = 0.01;
constexpr int kMostQuestions = 20;
constexpr double kPatience = 30;  // seconds
/// The share of the choice that takes every cause for as likely as any other.
constexpr double kEven = 0.5;
/// More causes than this are not looked at one by one to choose a question.
constexpr std::size_t kMostWeighed = 2500;
/// A colour order that is at least so likely is looked at together with other faults.
constexpr double kOrderSuspected = 0.02;
constexpr double kOtherSuspected = 1e-4;
constexpr std::size_t kMostPaired = 400;

struct SightingHash {
  std::size_t operator()(const Sighting& sighting) const {
    std::size_t hash = sighting.count;
    for (const std::int16_t value : sighting) {
      hash = hash * 0x9E3779B97F4A7C15ULL + static_cast<std::uint16_t>(value) + 1;
      hash ^= hash >> 29U;
    }
    return hash;
  }
};
using Shares = std::unordered_map<Sighting, double, SightingHash>;

/// Bits that the answer tells, had the builder no errors, by Rényi's entropy of order 2: the chance
/// that two causes answer alike. Shannon's looks after the mean only and likes a long shot.
double information(const Shares& shares, double all) {
  double alike = 0;
  for (const auto& [sighting, share] : shares) alike += share * share / all / all;
  return -std::log2(alike);
}

bool needs_a_cut(practice::FaultKind kind) {
  return kind == practice::FaultKind::kDataOpen || kind == practice::FaultKind::kPowerOpen ||
         kind == practice::FaultKind::kPixelStuck;
}

/// What sends a builder off for a long while: one answer alone must not do it.
bool is_dear(practice::FaultKind kind) {
  return needs_a_cut(kind) || kind == practice::FaultKind::kNoResponse ||
         kind == practice::FaultKind::kCountShort ||
         kind == practice::FaultKind::kUniverseMissing ||
         kind == practice::FaultKind::kUniverseShifted ||
         kind == practice::FaultKind::kLeadsExchanged;
}

/// How sure is sure enough: to say that nothing is wrong, to send somebody for the cutters, to have
/// a look. After a long search less will do, and how sure it is is told.
double needed(practice::FaultKind kind, std::size_t questions) {
  constexpr std::size_t kLong = 8;
  if (kind == practice::FaultKind::kNone) return 0.993;
  if (questions >= kLong) return 0.92;
  return needs_a_cut(kind) ? 0.985 : 0.97;
}

bool is_pair(const Hypothesis& each) { return each.second.kind != practice::FaultKind::kNone; }

/// A binary question whose answer is random: 0 or 1 with these shares, by hypothesis.
double hold_information(std::span<const Weighted> likely) {
  double held = 0;
  double noise = 0;
  double all = 0;
  const auto h = [](double p) {
    return p <= 0 || p >= 1 ? 0 : -p * std::log2(p) - (1 - p) * std::log2(1 - p);
  };
  for (const Weighted& each : likely) {
    const double p = likelihood_of_hold(*each.hypothesis, true);
    held += each.weight * p;
    noise += each.weight * h(p);
    all += each.weight;
  }
  return h(held / all) - noise / all;
}

}  // namespace

Finder::Finder(const practice::Subject& subject, Conditions conditions)
    : subject_{subject},
      conditions_{std::move(conditions)},
      sound_{practice::as_described(subject_)},
      probes_{subject_, sound_, conditions_.bright},
      hypotheses_{single_faults(subject_, conditions_.experience)} {
  for (const Hypothesis& hypothesis : hypotheses_) weight_.push_back(hypothesis.prior);
  normalise();
  rank();
  choose();
}

void Finder::normalise() {
  const double all = std::accumulate(weight_.begin(), weight_.end(), 0.0);
  for (double& weight : weight_) weight /= all;
}

void Finder::rank() {
  const double least = *std::max_element(weight_.begin(), weight_.end()) * kCounts;
  ranked_.clear();
  for (std::size_t i = 0; i < weight_.size(); ++i) {
    if (weight_[i] >= least) ranked_.push_back(i);
  }
  std::stable_sort(ranked_.begin(), ranked_.end(),
                   [this](std::size_t a, std::size_t b) { return weight_[a] > weight_[b]; });
  ranked_.resize(std::min(ranked_.size(), kMostRanked));
}

double Finder::weight(const Hypothesis& hypothesis, const Asked& asked, const Sight& sight) const {
  if (asked.said.unsure) return 1;
  if (asked.question.ask == Ask::kHold) {
    return likelihood_of_hold(hypothesis, asked.said.values[0] == 1);
  }
  return likelihood(asked.question.ask, sight.of(hypothesis), asked.said, asked.kinds);
}

void Finder::weigh(const Asked& asked, std::size_t from) {
  const Sight sight{subject_, sound_, asked.question};
  for (std::size_t i = from; i < hypotheses_.size(); ++i) {
    weight_[i] *= weight(hypotheses_[i], asked, sight);
  }
}

void Finder::answer(const Sighting& said) {
  PANEWALK_CHECK(!done());
  Asked asked{.question = std::move(*question_), .said = said, .kinds = kinds_};
  weigh(asked, 0);
  asked_.push_back(std::move(asked));
  normalise();
  add_pairs();
  rank();
  choose();
}

void Finder::add_pairs() {
  std::vector<std::size_t> orders;
  std::vector<std::size_t> others;
  for (std::size_t i = 0; i < hypotheses_.size(); ++i) {
    if (is_pair(hypotheses_[i])) break;  // they stand last
    const auto kind = hypotheses_[i].fault.kind;
    if (kind == practice::FaultKind::kColourOrder) orders.push_back(i);
    if (pairs_with_colour_order(kind)) others.push_back(i);
  }
  const bool suspected = std::any_of(orders.begin(), orders.end(), [this](std::size_t i) {
    return weight_[i] >= kOrderSuspected;
  });
  if (suspected) {
    orders.erase(std::remove_if(orders.begin(), orders.end(),
                                [this](std::size_t i) { return weight_[i] < kOrderSuspected; }),
                 orders.end());
  } else {
    std::stable_sort(others.begin(), others.end(),
                     [this](std::size_t a, std::size_t b) { return weight_[a] > weight_[b]; });
    others.resize(std::min(others.size(), kMostPaired));
    others.erase(std::remove_if(others.begin(), others.end(),
                                [this](std::size_t i) { return weight_[i] < kOtherSuspected; }),
                 others.end());
  }
  // Every weight stands for prior times what was answered; the new ones are put on the same scale.
  const std::size_t first =
      static_cast<std::size_t>(std::max_element(weight_.begin(), weight_.end()) - weight_.begin());
  double product = hypotheses_[first].prior;
  for (const Asked& asked : asked_) {
    product *= weight(hypotheses_[first], asked, Sight{subject_, sound_, asked.question});
  }
  const double scale = weight_[first] / product;
  const std::size_t before = hypotheses_.size();
  for (const std::size_t order : orders) {
    for (const std::size_t other : others) {
      if (!paired_.insert({order, other}).second) continue;
      hypotheses_.push_back(pair_of(subject_, hypotheses_[order], hypotheses_[other]));
      weight_.push_back(hypotheses_.back().prior * scale);
    }
  }
  if (hypotheses_.size() == before) return;
  for (const Asked& asked : asked_) weigh(asked, before);
  normalise();
}

bool Finder::settled(std::vector<bool>& alike) const {
  alike.assign(ranked_.size(), false);
  if (asked_.size() < kLeastQuestions) return false;
  const double sure_enough = needed(hypotheses_[ranked_.front()].fault.kind, asked_.size());
  double unlike = 0;
  for (std::size_t k = 0; k < ranked_.size(); ++k) {
    alike[k] = k == 0 || probes_.alike(hypotheses_[ranked_.front()], hypotheses_[ranked_[k]]);
    if (alike[k]) continue;
    unlike += weight_[ranked_[k]];
    if (unlike > 1 - sure_enough) return false;
  }
  return true;
}

std::optional<std::size_t> Finder::hangs_on(const std::vector<bool>& alike) const {
  if (!is_dear(hypotheses_[ranked_.front()].fault.kind)) return std::nullopt;
  for (std::size_t n = 0; n < asked_.size(); ++n) {
    if (asked_[n].said.unsure || asked_[n].question.ask == Ask::kHold) continue;
    const Sight sight{subject_, sound_, asked_[n].question};
    double with = 0;
    double against = 0;
    for (std::size_t k = 0; k < ranked_.size(); ++k) {
      const double without =
          weight_[ranked_[k]] / weight(hypotheses_[ranked_[k]], asked_[n], sight);
      (alike[k] ? with : against) += without;
    }
    if (with < against) return n;
  }
  return std::nullopt;
}

/// What the choice of a question looks at: every cause about as likely as any other, which costs
/// the usual ones little and keeps the search for a rare one short.
std::vector<Weighted> Finder::weighed(std::optional<std::size_t> without) const {
  std::vector<Weighted> likely;
  const double even = kEven / static_cast<double>(hypotheses_.size());
  const std::size_t step = (ranked_.size() + kMostWeighed - 1) / kMostWeighed;
  std::optional<Sight> sight;
  if (without) sight.emplace(subject_, sound_, asked_[*without].question);
  double all = 0;
  for (std::size_t k = 0; k < ranked_.size(); k += step) {
    const Hypothesis& of = hypotheses_[ranked_[k]];
    const double prior = (1 - kEven) * of.prior + (is_pair(of) ? 0 : even);
    likely.push_back({&of, weight_[ranked_[k]] / of.prior * prior});
    if (sight) likely.back().weight /= weight(of, asked_[*without], *sight);
    all += likely.back().weight;
  }
  for (Weighted& each : likely) each.weight /= all;
  std::stable_sort(likely.begin(), likely.end(),
                   [](const Weighted& a, const Weighted& b) { return a.weight > b.weight; });
  return likely;
}

void Finder::choose() {
  question_.reset();
  if (std::ssize(asked_) >= kMostQuestions) return;
  std::vector<bool> alike;
  bool sure = settled(alike);
  // Nobody is sent for the cutters on one answer's word: what else it could be without that answer
  // is looked at first.
  const auto doubted = sure ? hangs_on(alike) : std::nullopt;
  if (doubted) sure = false;
  const std::vector<Weighted> likely = weighed(doubted);
  double best = 0;
  for (Question& candidate : candidates(subject_, likely, conditions_.bright, asked_.size())) {
    const bool known = std::any_of(asked_.begin(), asked_.end(), [&](const Asked& asked) {
      return asked.question.ask == candidate.ask && asked.question.station == candidate.station &&
             asked.question.shown == candidate.shown;
    });
    // Who could not tell is asked something else.
    const bool too_hard =
        !asked_.empty() && asked_.back().said.unsure && asked_.back().question.ask == candidate.ask;
    if (known || too_hard) continue;
    // Once it is settled what no light tells apart, only old light that is held can.
    if (sure && candidate.ask != Ask::kHold) continue;
    double bits = 0;
    double taps = 0;
    std::size_t kinds = 2;
    if (candidate.ask == Ask::kHold) {
      bits = hold_information(likely);
    } else {
      const Sight sight{subject_, sound_, candidate};
      Shares shares;
      double all = 0;
      for (const Weighted& each : likely) {
        const Sighting seen = sight.of(*each.hypothesis);
        shares[seen] += each.weight;
        taps += each.weight * seen.count;
        all += each.weight;
      }
      taps /= all;
      kinds = shares.size();
      bits = information(shares, all) * (1 - 2 * Observer::error_rate(candidate.ask));
    }
    const double worth = bits / (kPatience + seconds_for(candidate, taps));
    if (bits < kWorthAsking || worth <= best) continue;
    best = worth;
    question_ = std::move(candidate);
    kinds_ = kinds;
  }
}

std::vector<int> Finder::misfits() const {
  std::vector<int> numbers;
  for (std::size_t n = 0; n < asked_.size(); ++n) {
    const Asked& asked = asked_[n];
    if (asked.said.unsure || asked.question.ask == Ask::kHold) continue;
    const Sight sight{subject_, sound_, asked.question};
    if (sight.of(hypotheses_[ranked_.front()]) != asked.said) {
      numbers.push_back(static_cast<int>(n) + 1);
    }
  }
  return numbers;
}

namespace {

/// Where light can't tell kinds of faults apart only the table of weights is left, and that is
/// guesswork: the kinds are drawn together, so that none is called sure on its word.
void draw_together(std::vector<Possible>& alike) {
  std::map<practice::FaultKind, double> of_kind;
  double all = 0;
  for (const Possible& each : alike) {
    of_kind[each.fault.kind] += each.certainty;
    all += each.certainty;
  }
  double drawn = 0;
  for (const auto& [kind, mass] : of_kind) drawn += std::sqrt(mass);
  for (Possible& each : alike) {
    const double mass = of_kind[each.fault.kind];
    if (mass > 0) each.certainty *= all * std::sqrt(mass) / drawn / mass;
  }
}

}  // namespace

Finding Finder::finding() const {
  std::vector<Possible> alike;
  std::vector<Possible> others;
  constexpr double kWorthNaming = 0.001;
  for (const std::size_t i : ranked_) {
    const Possible possible{hypotheses_[i].fault, hypotheses_[i].second, weight_[i]};
    if (i == ranked_.front() || probes_.alike(hypotheses_[ranked_.front()], hypotheses_[i])) {
      alike.push_back(possible);
    } else if (weight_[i] >= kWorthNaming) {
      others.push_back(possible);
    }
  }
  draw_together(alike);
  Finding finding{.likeliest = alike.front(),
                  .also_possible = {alike.begin() + 1, alike.end()},
                  .look_alike = alike.size() - 1,
                  .questions = static_cast<int>(asked_.size()),
                  .misfits = misfits()};
  finding.also_possible.insert(finding.also_possible.end(), others.begin(), others.end());
  return finding;
}

}  // namespace panewalk::find
