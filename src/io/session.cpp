#include "io/session.hpp"

#include <mutex>
#include <utility>

#include "io/practice_receivers.hpp"

namespace panewalk::io {
namespace {

constexpr std::array<std::uint8_t, 4> kLoopback{127, 0, 0, 1};

/// Where the engine must send so that only the practice receivers hear it.
std::vector<engine::Reroute> to_receivers(const PracticeReceivers& receivers) {
  std::vector<engine::Reroute> to;
  for (std::size_t i = 0; i < receivers.size(); ++i) {
    to.push_back({.host = kLoopback, .port = receivers.port(i)});
  }
  return to;
}

}  // namespace

/// The yard is written by the receivers' thread and read by the control thread.
struct Session::Practice {
  Practice(const engine::Plan& plan, const std::vector<PracticeFault>& faults)
      : yard{wire_yard(plan, faults)} {}

  std::mutex mutex;
  practice::Yard yard;
  std::unique_ptr<PracticeReceivers> receivers;  // ends before the yard does
};

base::Result<std::unique_ptr<Session>> Session::start(std::shared_ptr<const engine::Plan> plan,
                                                      engine::Identity identity, To to,
                                                      std::vector<PracticeFault> faults) {
  std::unique_ptr<Session> session{new Session};
  session->plan_ = plan;
  session->identity_ = std::move(identity);
  session->to_ = to;
  session->faults_ = std::move(faults);
  auto engine = session->make_engine(plan, session->faults_, session->practice_);
  if (!engine) return std::move(engine).error();
  auto stream = StreamThread::start(std::move(engine).value(), {});
  if (!stream) return std::move(stream).error();
  session->stream_ = std::move(stream).value();
  return session;
}

base::Result<std::unique_ptr<engine::Engine>> Session::make_engine(
    std::shared_ptr<const engine::Plan> plan, const std::vector<PracticeFault>& faults,
    std::unique_ptr<Practice>& practice) const {
  engine::Identity identity = *identity_;
  if (to_ == To::kPractice) {
    practice = std::make_unique<Practice>(*plan, faults);
    Practice* heard = practice.get();
    auto receivers = PracticeReceivers::start(
        plan->controllers.size(),
        [heard](std::size_t controller, std::span<const std::uint8_t> packet, Instant) {
          const std::lock_guard lock{heard->mutex};
          heard->yard.receive(controller, packet);
        });
    if (!receivers) return std::move(receivers).error();
    practice->receivers = std::move(receivers).value();
    identity.reroute = to_receivers(*practice->receivers);
  }
  return std::make_unique<engine::Engine>(std::move(plan), identity);
}

Session::~Session() {
  if (stream_) stream_->stop();
}

bool Session::light(engine::Look look) {
  auto shared = std::make_shared<const engine::Look>(std::move(look));
  if (!stream_->light(shared)) return false;
  look_ = std::move(shared);
  asked_ = engine::Mode::kLit;
  return true;
}

bool Session::dark() {
  if (!stream_->dark()) return false;
  asked_ = engine::Mode::kDark;
  return true;
}

bool Session::release() {
  if (!stream_->release()) return false;
  asked_ = engine::Mode::kSilent;
  return true;
}

bool Session::step(engine::StepAsked asked) { return stream_->step(asked); }

base::Problems Session::replace(std::shared_ptr<const engine::Plan> plan) {
  std::unique_ptr<Practice> practice;
  std::vector<PracticeFault> faults = carried_over(faults_, *plan_, *plan);
  auto engine = make_engine(plan, faults, practice);
  if (!engine) return std::move(engine).error();
  const engine::Mode mode = asked_;
  base::Problems problems = stream_->replace(std::move(engine).value());
  if (!problems.empty()) return problems;
  plan_ = std::move(plan);
  faults_ = std::move(faults);
  practice_ = std::move(practice);
  const std::shared_ptr<const engine::Look> before = std::exchange(look_, nullptr);
  if (mode == engine::Mode::kDark) static_cast<void>(dark());
  if (mode != engine::Mode::kLit || !before) return {};
  // Pictures were made for the site as it was.
  if (!before->lit.front().pictures.colours.empty()) {
    static_cast<void>(dark());
    return {};
  }
  engine::LightAsked asked{.props = before->prop_names,
                           .pattern = before->pattern,
                           .level = before->asked,
                           .region = std::nullopt};
  if (!before->region.empty()) asked.region = before->region;
  auto look = engine::compose(*plan_, asked);
  // What the new site no longer has goes dark; that is no fault of the reload.
  if (look) {
    static_cast<void>(light(std::move(look).value()));
  } else {
    static_cast<void>(dark());
  }
  return {};
}

const Live& Session::live() {
  stream_->collect();
  return stream_->live();
}

std::vector<light::Colour> Session::shown(std::size_t prop) const {
  if (!practice_) return {};
  const std::lock_guard lock{practice_->mutex};
  return practice_->yard.shown(prop);
}

}  // namespace panewalk::io
