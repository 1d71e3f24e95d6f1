#include "web/hub.hpp"

#include <utility>

#include "io/clock.hpp"
#include "io/random.hpp"
#include "web/bodies.hpp"
#include "web/join_route.hpp"
#include "web/names.hpp"
#include "web/page_route.hpp"

namespace panewalk::web {
namespace {

constexpr Duration kWatchEvery = std::chrono::seconds{1};
/// How long a call counts as somebody who watches.
constexpr Duration kRecent = std::chrono::seconds{30};
/// Where only the counters tick, they are told this often.
constexpr Duration kCountersEvery = std::chrono::seconds{1};
/// A machine may get another address while it serves.
constexpr Duration kNamesEvery = std::chrono::seconds{1};

std::optional<std::string> new_token() {
  TokenOctets octets{};
  if (!io::fill_at_random(octets)) return std::nullopt;
  return to_token(octets);
}

}  // namespace

Hub::Hub(boost::asio::io_context& context, io::Session& session, ServerOptions options)
    : session_{&session},
      options_{std::move(options)},
      records_{options_.logbook, options_.no_logbook},
      watch_{io::now()},
      publish_timer_{context},
      watch_timer_{context} {}

void Hub::open(Door door, std::optional<Join> join) {
  door_ = std::move(door);
  names_read_ = io::now();
  join_ = std::move(join);
  open_ = true;
  records_.refresh(session_->plan().site);
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

std::optional<Response> Hub::by_wrong_name(const Request& request) {
  auto refused = web::turned_away(request, door_);
  const Instant now = io::now();
  if (!refused || door_.reach != Reach::kEveryAddress || now - names_read_ < kNamesEvery) {
    return refused;
  }
  names_read_ = now;
  door_.hosts = hosts_of_this_machine(door_.address);
  return web::turned_away(request, door_);
}

std::optional<Response> Hub::turned_away(const Request& request) {
  if (auto refused = by_wrong_name(request)) return refused;
  if (!join_ || is_of_page(request.target) || is_about_joining(request.target) ||
      join_->session_of(request.cookie, io::now())) {
    return std::nullopt;
  }
  return not_joined(request);
}

std::string Hub::session_of(const Request& request) {
  return join_ ? join_->session_of(request.cookie, io::now()).value_or("") : "";
}

Response Hub::join(const Request& request) {
  const JoinAnswer answer = join_answer(request, join_ ? &*join_ : nullptr, io::now(), new_token);
  if (!answer.left.empty()) {
    for (LiveClient* const client : live_clients_) {
      if (client->session() == answer.left) client->cut();
    }
  }
  return answer.response;
}

std::optional<Room> Hub::room(const std::string& address) const {
  const auto here = seats_of_.find(address);
  const bool takes_too_many = door_.reach != Reach::kThisMachine && here != seats_of_.end() &&
                              here->second >= options_.limits.clients_from_one;
  if (seats_taken_ < options_.limits.clients && !takes_too_many) return Room::kYes;
  if (clients_.size() - seats_taken_ >= options_.limits.turned_away) return std::nullopt;
  return takes_too_many ? Room::kNotForOne : Room::kNo;
}

void Hub::came(Client& client, const Seat& seat) {
  clients_.insert(&client);
  if (seat.room != Room::kYes) return;
  ++seats_taken_;
  ++seats_of_[seat.address];
}

void Hub::left(Client& client, const Seat& seat) {
  clients_.erase(&client);
  if (seat.room != Room::kYes) return;
  --seats_taken_;
  const auto here = seats_of_.find(seat.address);
  if (--here->second == 0) seats_of_.erase(here);
}

View Hub::view() {
  View view{.plan = &session_->plan(),
            .look = session_->look().get(),
            .live = &session_->live(),
            .lit_asked = lit_asked_,
            .notes = options_.notes,
            .site_read = site_read_,
            .entries = records_.entries(),
            .newest_entry = records_.newest(),
            .no_logbook = records_.trouble(),
            .may_accept = options_.accept != nullptr};
  view.search = [this](std::size_t prop) -> Search& {
    return searches_.of(session_->plan(), options_.site.get(), prop, records_.entries(),
                        records_.newest());
  };
  if (options_.network_watch != nullptr) view.network = options_.network_watch->seen();
  if (session_->practising()) {
    view.shown = [session = session_](std::size_t prop) { return session->shown(prop); };
  } else {
    view.way_to = io::way_to;
  }
  return view;
}

Response Hub::answer(const Request& request) {
  if (is_of_page(request.target)) return page_answer(request);
  if (is_about_joining(request.target)) return join(request);
  watch_.seen(io::now());
  Answer answer = handle(request, view());
  if (auto* const record = answer.command ? std::get_if<Record>(&*answer.command) : nullptr) {
    return this->record(std::move(*record));
  }
  if (const auto* const accept = answer.command ? std::get_if<Accept>(&*answer.command) : nullptr) {
    return this->accept(*accept);
  }
  if (answer.command && !carry_out(std::move(*answer.command))) {
    return refusal(
        503, {{.what = "the stream still has other commands to carry out", .remedy = "try again"}});
  }
  return std::move(answer.response);
}

Response Hub::record(Record&& record) {
  const std::int64_t at = io::utc_now();
  for (check::Event& event : record.events) {
    const base::Problems problems = records_.add(session_->plan().site, std::move(event), at);
    if (!problems.empty()) return refusal(503, problems);
  }
  return handle({.method = "GET", .target = record.then}, view()).response;
}

Response Hub::accept(const Accept& accept) {
  // It comes back by site_was_read().
  if (const auto refused = options_.accept(accept.correction)) {
    return refusal(refused->stale ? 409 : 503, refused->problems);
  }
  return handle({.method = "GET", .target = accept.then}, view()).response;
}

void Hub::site_was_read(std::shared_ptr<const site::Site> site, std::vector<std::string> notes) {
  searches_.forget();
  options_.site = std::move(site);
  options_.notes = std::move(notes);
  ++site_read_;
  if (options_.network_watch != nullptr) options_.network_watch->replace(options_.site->plan);
  diary_.forget();
  records_.refresh(session_->plan().site);
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
  records_.refresh(session_->plan().site);
  if (!live_clients_.empty()) watch_.seen(now);
  if (join_) {
    for (const LiveClient* const client : live_clients_) join_->keep(client->session(), now);
  }
  switch (watch_.tick(now, session_->live().status.mode, session_->plan().unwatched)) {
    case Watch::Act::kNothing: break;
    // What is not taken now is told again.
    case Watch::Act::kGoDark: static_cast<void>(carry_out(Dark{})); break;
    case Watch::Act::kRelease: static_cast<void>(carry_out(Release{})); break;
  }
}

void Hub::write_diary(Instant now) {
  if (!options_.log) return;
  const io::Live& live = session_->live();
  std::vector<Trouble> troubles = troubles_of(live, session_->plan());
  if (auto missed = missed_.look(now, live.missed)) troubles.push_back(std::move(*missed));
  if (const int error = std::exchange(no_callers_, 0)) troubles.push_back(no_new_callers(error));
  if (options_.network_watch != nullptr) {
    if (const auto seen = options_.network_watch->seen()) {
      for (Trouble& trouble : troubles_of(seen->findings)) troubles.push_back(std::move(trouble));
    }
  }
  for (const DiaryLine& line : diary_.look(now, troubles)) options_.log(line);
}

void Hub::look_later() {
  watch_timer_.expires_after(kWatchEvery);
  watch_timer_.async_wait([self = shared_from_this()](const boost::system::error_code& error) {
    if (error || !self->open_) return;
    self->look_after_the_light();
    self->write_diary(io::now());
    self->look_later();
  });
}

}  // namespace panewalk::web
