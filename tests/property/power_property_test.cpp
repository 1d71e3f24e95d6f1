#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

#include <Eigen/Dense>
#include <algorithm>
#include <cmath>
#include <string>
#include <vector>

#include "power/limits.hpp"
#include "support/routes.hpp"

/// Random chains against a dense nodal solve that knows nothing but resistors between nodes: every
/// wire is stamped by itself, the supply and the end of the lead are nodes like any other, and LU
/// with full pivoting does the rest.
namespace panewalk::power {
namespace {

int within(int least, int most) { return *rc::gen::inRange(least, most + 1); }
double real(double least, double most) {
  return least + (most - least) * within(0, 1'000'000) / 1e6;
}
bool coin() { return *rc::gen::arbitrary<bool>(); }

/// Ohms a metre of pair: ASTM B258 by its ratio, the 39th root of 92, and 17.241 ohm mm² a km.
double pair_ohms(int gauge, double celsius) {
  double diameter = 0.127;  // 36 AWG
  for (int i = 36; i > gauge; --i) diameter *= std::pow(92, 1 / 39.0);
  const double area = std::atan(1.0) * diameter * diameter;
  return 2 * 0.017241 / area * (1 + 0.00393 * (celsius - 20));
}

struct Case {
  test::Wired wired;
  PowerDescription power;
  PixelPower pixel;
  int nulls = 0;
  double volts = 12;
  std::vector<double> shares;
};

/// The window of the boathouse, each time of another size, wire and set of feeds.
Case any_case() {
  const double pitch = within(20, 120);
  Case made{
      .wired = {test::frame_of(test::window(test::pitch(2 * within(2, 5) + 1, pitch),
                                            test::pitch(2 * within(2, 5) + 1, pitch))),
                test::route({"A2 A1 B1 (B2)", "(A2) B2"}, {{.after = 3, .count = within(1, 3)}})},
      .power = {},
      .pixel = {},
      .nulls = within(0, 3),
      .volts = 12,
      .shares = {}};
  made.power.wire = {Wire::Awg{2 * within(7, 11)}};
  made.power.temperature = Celsius::of(within(-20, 50));
  made.power.contact = Ohms::of(real(0, 0.05));
  if (coin()) {
    made.power.lead = Lead{.wire = {Wire::Awg{16}}, .length = Millimetres::of(within(1, 5000))};
  }
  made.power.feeds.clear();
  if (coin()) made.power.feeds.push_back({.kind = Feed::Kind::kLeadIn});
  if (coin() || made.power.feeds.empty()) {
    made.power.feeds.push_back({.kind = Feed::Kind::kTieBack});
  }
  for (int i = within(0, 2); i > 0; --i) {
    const auto at = base::PixelIndex::of(
        static_cast<std::size_t>(within(1, static_cast<int>(made.wired.map().size()))));
    made.power.feeds.push_back({.kind = Feed::Kind::kInjection,
                                .at = made.wired.frame()[made.wired.map().station_of(at)].name,
                                .wire = {Wire::Awg{18}},
                                .length = Millimetres::of(within(1, 3000))});
  }
  made.pixel.full_white = Amps::of(real(0.01, 0.06));
  made.pixel.idle = Amps::of(real(0, 0.002));
  for (std::size_t i = 0; i < made.wired.map().size(); ++i) made.shares.push_back(real(0, 1));
  return made;
}

/// A network of resistors, stamped one by one. Node 0 is the supply.
class Nodal {
 public:
  explicit Nodal(std::size_t nodes)
      : matrix_{Eigen::MatrixXd::Zero(static_cast<Eigen::Index>(nodes),
                                      static_cast<Eigen::Index>(nodes))} {}
  void stamp(std::size_t a, std::size_t b, double ohms) {
    const auto i = static_cast<Eigen::Index>(a);
    const auto j = static_cast<Eigen::Index>(b);
    matrix_(i, i) += 1 / ohms;
    matrix_(j, j) += 1 / ohms;
    matrix_(i, j) -= 1 / ohms;
    matrix_(j, i) -= 1 / ohms;
  }
  /// Ohms from each node to each: the volts that one amp drawn there takes here.
  [[nodiscard]] Eigen::MatrixXd resistances() const {
    const auto rest = matrix_.rows() - 1;
    return matrix_.bottomRightCorner(rest, rest).fullPivLu().inverse();
  }

 private:
  Eigen::MatrixXd matrix_;
};

/// Pixels are rows 0 … n − 1 of the result; the end of the lead follows where there is one.
Eigen::MatrixXd resistances_of(const Case& made) {
  const wiring::PixelMap& map = made.wired.map();
  const std::size_t pixels = map.size();
  const bool has_lead = made.power.lead.has_value();
  const std::size_t entry = has_lead ? pixels + 1 : 0;
  Nodal nodal{pixels + 1 + (has_lead ? 1U : 0U)};
  const double celsius = made.power.temperature.value();
  const double each = pair_ohms(std::get<Wire::Awg>(made.power.wire.size).gauge, celsius) / 1000;
  constexpr double kJoined = 1e-8;
  if (has_lead) {
    nodal.stamp(0, entry, pair_ohms(16, celsius) * made.power.lead->length.value() / 1000);
  }
  const auto place = [&](std::size_t pixel) {
    return made.wired.frame()[map.station_of(base::PixelIndex::of(pixel))].at;
  };
  for (std::size_t i = 2; i <= pixels; ++i) {
    const base::PixelIndex before = base::PixelIndex::of(i - 1);
    const auto splice = std::find_if(map.splices().begin(), map.splices().end(),
                                     [&](const wiring::Splice& one) { return one.from == before; });
    // Neighbours on a straight bar: the distance of their places.
    double ohms = each * base::distance(place(i - 1), place(i)).value();
    if (splice != map.splices().end()) {
      ohms = each * splice->wire.value() + made.power.contact.value();
    }
    nodal.stamp(i - 1, i, ohms);
  }
  for (const Feed& feed : made.power.feeds) {
    if (feed.kind == Feed::Kind::kLeadIn) nodal.stamp(entry, 1, kJoined);
    if (feed.kind == Feed::Kind::kTieBack) {
      // Along the bottom of a window without a bar inside, from A2 to B2.
      const double across = std::abs((place(pixels).x - place(1).x).value());
      nodal.stamp(entry, pixels, each * across);
    }
    if (feed.kind == Feed::Kind::kInjection) {
      const auto pixel = map.pixel_of(*made.wired.frame().find_station(feed.at));
      nodal.stamp(0, pixel->value(), pair_ohms(18, celsius) * feed.length.value() / 1000);
    }
  }
  return nodal.resistances().topLeftCorner(static_cast<Eigen::Index>(pixels),
                                           static_cast<Eigen::Index>(pixels));
}

Eigen::VectorXd nominal_of(const Case& made) {
  Eigen::VectorXd amps(static_cast<Eigen::Index>(made.shares.size()));
  const double idle = made.pixel.idle.value();
  const double added = std::max(0.0, made.pixel.full_white.value() - idle);
  for (std::size_t i = 0; i < made.shares.size(); ++i) {
    int chips = 1 + (i == 0 ? made.nulls : 0);
    for (const wiring::Spares& spares : made.wired.map().spares()) {
      if (static_cast<std::size_t>(spares.after) == i + 1) chips += spares.count;
    }
    amps[static_cast<Eigen::Index>(i)] = idle * chips + added * made.shares[i];
  }
  return amps;
}

Network network_of(const Case& made) {
  auto built = build(made.wired.frame(), made.wired.map(), made.power, made.nulls);
  RC_ASSERT(built.ok());
  return std::move(built).value();
}

RC_GTEST_PROP(Solution, AgreesWithADenseNodalSolve, ()) {
  const Case made = any_case();
  const auto solution = solve(network_of(made), made.pixel, Volts::of(made.volts), made.shares);
  RC_ASSERT(solution.has_value());
  const Eigen::VectorXd drops = resistances_of(made) * nominal_of(made);
  for (std::size_t i = 0; i < made.shares.size(); ++i) {
    const double expected = made.volts - drops[static_cast<Eigen::Index>(i)];
    RC_ASSERT(std::abs(solution->volts[i].value() - expected) < 1e-5);
  }
  RC_ASSERT(std::abs(solution->total.value() - nominal_of(made).sum()) < 1e-6);
}

/// Constant power by plain iteration on the dense matrix, from the supply's volts down.
RC_GTEST_PROP(Solution, AgreesWithADenseSolveOfConstantPower, ()) {
  Case made = any_case();
  made.pixel.draws = Draws::kConstantPower;
  made.pixel.full_white = Amps::of(real(0.02, 6));
  const auto solution = solve(network_of(made), made.pixel, Volts::of(made.volts), made.shares);
  const Eigen::MatrixXd resistances = resistances_of(made);
  const Eigen::VectorXd watts = 12 * nominal_of(made);
  Eigen::VectorXd volts = Eigen::VectorXd::Constant(watts.size(), made.volts);
  double change = 1;
  for (int i = 0; i < 20'000 && change > 1e-10 && volts.minCoeff() > 0; ++i) {
    const Eigen::VectorXd next = Eigen::VectorXd::Constant(watts.size(), made.volts) -
                                 resistances * watts.cwiseQuotient(volts);
    change = (next - volts).cwiseAbs().maxCoeff();
    volts = next;
  }
  RC_CLASSIFY(!solution.has_value(), "collapses");
  if (volts.minCoeff() <= 0) {
    RC_ASSERT(!solution.has_value());
  } else if (change <= 1e-10) {
    RC_ASSERT(solution.has_value());
    for (std::size_t i = 0; i < made.shares.size(); ++i) {
      // Close to the collapse every last micro-ohm counts.
      RC_ASSERT(std::abs(solution->volts[i].value() - volts[static_cast<Eigen::Index>(i)]) < 1e-3);
    }
  }
}

/// What the supply gives is what chips and wire take; what the legs bring is what is drawn.
RC_GTEST_PROP(Solution, LosesNoEnergy, ()) {
  Case made = any_case();
  if (coin()) made.pixel.draws = Draws::kConstantPower;
  const Network network = network_of(made);
  const auto solution = solve(network, made.pixel, Volts::of(made.volts), made.shares);
  if (!solution) return;
  const double given = solution->given.value();
  RC_ASSERT(std::abs(given - solution->chips.value() - solution->wire.value()) < 1e-6);
  Amps brought;
  for (const Amps amps : solution->legs) brought += amps;
  RC_ASSERT(std::abs((brought - solution->total).value()) < 1e-6);
  Amps drawn;
  for (std::size_t i = 0; i < solution->amps.size(); ++i) {
    const double stretch =
        made.pixel.draws == Draws::kConstantPower ? made.pixel.volts / solution->volts[i] : 1;
    drawn += solution->amps[i] + made.pixel.idle * (network.extra_chips[i] * stretch);
  }
  RC_ASSERT(std::abs((drawn - solution->total).value()) < 1e-6);
}

/// More amps, or thicker wire, never lower the limit; at the limit all is inside.
RC_GTEST_PROP(LevelLimit, IsMonotoneAndInside, ()) {
  Case made = any_case();
  if (coin()) made.pixel.draws = Draws::kConstantPower;
  made.pixel.full_white = Amps::of(real(0.02, 6));
  const Network network = network_of(made);
  const std::vector<Consumer> all{{&network, &made.pixel}};
  const Volts source = Volts::of(made.volts);
  const Amps supply = Amps::of(real(0.1, 10));
  const LevelLimit limit = level_limit(all, 0, source, supply);
  RC_ASSERT(level_limit(all, 0, source, supply * 1.5).level >= limit.level);
  Case thick = made;
  thick.power.wire = {Wire::Awg{10}};
  const Network thicker = network_of(thick);
  const std::vector<Consumer> easier{{&thicker, &made.pixel}};
  RC_ASSERT(level_limit(easier, 0, source, supply).level.share() > limit.level.share() - 1e-9);
  if (limit.why == LevelLimit::Why::kBlack) return;
  const auto inside = solve_white(network, made.pixel, source, limit.level);
  RC_ASSERT(inside.has_value());
  RC_ASSERT(inside->total.value() <= supply.value() + 1e-6);
  RC_ASSERT(inside->lowest_volts() >= least_volts(made.pixel, source) - Volts::of(1e-6));
}

/// Whatever the picture: dimmed as the guard says, no pixel is below its least volts.
RC_GTEST_PROP(VoltsGuard, KeepsEveryPixelAtItsLeastVolts, ()) {
  Case made = any_case();
  if (coin()) made.pixel.draws = Draws::kConstantPower;
  made.pixel.full_white = Amps::of(real(0.02, 4));
  const Network network = network_of(made);
  const Volts source = Volts::of(made.volts);
  VoltsGuard guard{network, made.pixel, source, 3};
  std::vector<light::Colour> pixels;
  for (const double share : made.shares) {
    const auto level = static_cast<std::uint8_t>(share * 255);
    pixels.push_back({level, static_cast<std::uint8_t>(255 - level), 128, 0});
  }
  const VoltsGuard::Verdict verdict = guard.judge(pixels);
  RC_CLASSIFY(verdict.factor < 1, "held back");
  std::vector<double> shares;
  Amps nominal;
  for (const light::Colour colour : pixels) {
    shares.push_back(verdict.factor * share_of(colour, 3));
  }
  const auto solution = solve(network, made.pixel, source, shares);
  RC_ASSERT(solution.has_value());
  RC_ASSERT(solution->lowest_volts() >= least_volts(made.pixel, source) - Volts::of(1e-6));
  // Its stretch is never less than what the chain then draws.
  for (std::size_t i = 0; i < shares.size(); ++i) {
    nominal += made.pixel.idle * (1.0 + network.extra_chips[i]) +
               (made.pixel.full_white - made.pixel.idle) * shares[i];
  }
  RC_ASSERT(solution->total.value() <= (nominal * verdict.stretch).value() + 1e-6);
}

}  // namespace
}  // namespace panewalk::power
