#include "web/hub.hpp"

#include "io/clock.hpp"
#include "web/bodies.hpp"

namespace panewalk::web {
namespace {

constexpr Duration kWatchEvery = std::chrono::seconds{1};
/// How long a call counts as somebody who watches.
constexpr Duration kRecent = std::chrono::seconds{30};
/// Where only the counters tick, they are told this often.
constexpr Duration kCountersEvery = std::chrono::seconds{1};

}  // namespace

Hub::Hub(boost::asio::io_context& context, io::Session& session, ServerOptions options)
    : session_{&session},
      options_{std::move(options)},
      watch_{io::now()},
      publish_timer_{context},
      watch_timer_{context} {}

void Hub::open(Door door) {
  door_ = std::move(door);
  open_ = true;
  look_later();
}

void Hub::close() {
  open_ = false;
  publish_timer_.cancel();
  watch_timer_.cancel();
  for (Client* const client : clients_) client->cut();
}

bool Hub::watched() const {
  return !live_clients_.empty() || watch_.since_seen(io::now()) < kRecent;
}

std::optional<Room> Hub::room() const {
  if (seats_taken_ < options_.limits.clients) return Room::kYes;
  if (clients_.size() - seats_taken_ < options_.limits.turned_away) return Room::kNo;
  return std::nullopt;
}

void Hub::joined(Client& client, Room room) {
  clients_.insert(&client);
  if (room == Room::kYes) ++seats_taken_;
}

void Hub::left(Client& client, Room room) {
  clients_.erase(&client);
  if (room == Room::kYes) --seats_taken_;
}

View Hub::view() {
  View view{.plan = &session_->plan(),
            .look = session_->look().get(),
            .live = &session_->live(),
            .lit_asked = lit_asked_,
            .notes = options_.notes};
  if (session_->practising()) {
    view.shown = [session = session_](std::size_t prop) { return session->shown(prop); };
  }
  return view;
}

Response Hub::answer(const Request& request) {
  watch_.seen(io::now());
  Answer answer = handle(request, view());
  if (answer.command && !carry_out(std::move(*answer.command))) {
    return refusal(
        503, {{.what = "the stream still has other commands to carry out", .remedy = "try again"}});
  }
  return std::move(answer.response);
}

bool Hub::carry_out(Command&& command) {
  if (const auto* step = std::get_if<engine::StepAsked>(&command)) return session_->step(*step);
  auto* const look = std::get_if<engine::Look>(&command);
  const bool taken = look != nullptr                         ? session_->light(std::move(*look))
                     : std::holds_alternative<Dark>(command) ? session_->dark()
                                                             : session_->release();
  if (taken) lit_asked_ = look != nullptr;
  return taken;
}

void Hub::watches(LiveClient& client) {
  const bool first = live_clients_.empty();
  live_clients_.insert(&client);
  client.offer(std::make_shared<const std::string>(light_body(view(), Layout::kOneLine)));
  if (first) publish_later();
}

void Hub::publish() {
  const View now_seen = view();
  std::string state = light_body(now_seen, Layout::kOneLine, Counters::kLeftOut);
  const Instant now = io::now();
  if (state == told_ && now - told_at_ < kCountersEvery) return;
  told_ = std::move(state);
  told_at_ = now;
  auto message = std::make_shared<const std::string>(light_body(now_seen, Layout::kOneLine));
  if (message_ && *message == *message_) return;
  message_ = std::move(message);
  for (LiveClient* const client : live_clients_) client->offer(message_);
}

void Hub::publish_later() {
  publish_timer_.expires_after(options_.limits.between_messages);
  publish_timer_.async_wait([self = shared_from_this()](const boost::system::error_code& error) {
    if (error || !self->open_ || self->live_clients_.empty()) return;
    self->publish();
    self->publish_later();
  });
}

void Hub::look_after_the_light() {
  const Instant now = io::now();
  if (!live_clients_.empty()) watch_.seen(now);
  switch (watch_.tick(now, session_->live().status.mode, session_->plan().unwatched)) {
    case Watch::Act::kNothing: break;
    // What is not taken now is told again.
    case Watch::Act::kGoDark: static_cast<void>(carry_out(Dark{})); break;
    case Watch::Act::kRelease: static_cast<void>(carry_out(Release{})); break;
  }
}

void Hub::look_later() {
  watch_timer_.expires_after(kWatchEvery);
  watch_timer_.async_wait([self = shared_from_this()](const boost::system::error_code& error) {
    if (error || !self->open_) return;
    self->look_after_the_light();
    self->look_later();
  });
}

}  // namespace panewalk::web
