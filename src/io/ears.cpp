#include "io/ears.hpp"

#include <net/if.h>
#include <poll.h>

#include <algorithm>
#include <array>
#include <cerrno>

#include "io/clock.hpp"
#include "io/ears_errors.hpp"
#include "io/error_words.hpp"

namespace panewalk::io {
namespace {

using base::Duration;
using base::Instant;

/// Cards that came and went; of more the oldest, or their names, are not kept.
constexpr std::size_t kMostNames = 256;

}  // namespace

Ears::Whom Ears::whom_of(const engine::Plan& plan) {
  Whom whom;
  for (const patch::ControllerDescription& controller : plan.controllers) {
    if (controller.address.multicast) continue;
    whom.hosts.push_back(controller.address.host);
    if (controller.protocol == patch::Protocol::kArtNet) {
      whom.nodes.push_back({.host = controller.address.host, .port = controller.address.port});
    }
  }
  return whom;
}

Ears::Ears(Whom whom, Ports ports, CardsNow cards_now)
    : cards_now_{std::move(cards_now)},
      groups_{ports.e131, whom.alone},
      polls_{ports.artnet, std::move(whom.nodes)} {
  for (const Host& host : whom.hosts) {
    const bool twice = std::any_of(pinged_.begin(), pinged_.end(),
                                   [&host](const Pinged& one) { return one.host == host; });
    if (!twice) pinged_.push_back({.host = host});
  }
  if (pinged_.empty()) return;
  auto echo = IcmpEcho::open();
  if (echo) {
    echo_ = std::move(echo).value();
  } else {
    echo_error_ = echo.error();
  }
}

void Ears::listen(Instant until, Hearers heard, std::size_t most) {
  std::vector<pollfd> watched;
  std::size_t taken = 0;
  while (true) {
    const Instant at = now();
    do_what_is_due(at, heard);
    if (at >= until) return;
    watched.clear();
    const auto watch = [&watched](int descriptor) {
      watched.push_back({.fd = descriptor, .events = POLLIN, .revents = 0});
    };
    const std::span groups = groups_.sockets();
    const std::span polls = polls_.sockets();
    for (const EarsSocket& socket : groups) watch(socket.descriptor());
    for (const EarsSocket& socket : polls) watch(socket.descriptor());
    if (echo_) watch(echo_->descriptor());
    const timespec wait = to_timespec(std::min({until, look_at_, poll_at_, echo_at_}) - at);
    if (taken >= most) {
      ::ppoll(nullptr, 0, &wait, nullptr);
      continue;
    }
    if (::ppoll(watched.data(), watched.size(), &wait, nullptr) <= 0) continue;
    // A batch a round from each: no flood keeps another socket, or what is due, waiting for long.
    for (std::size_t i = 0; i < watched.size(); ++i) {
      if (watched[i].revents == 0) continue;
      if (i < groups.size()) {
        taken += hear_socket(groups[i], false, heard);
      } else if (i < groups.size() + polls.size()) {
        if ((watched[i].revents & POLLERR) != 0) polls_.take_errors(heard);
        taken += hear_socket(polls[i - groups.size()], true, heard);
      } else {
        hear_echoes(heard);
      }
    }
  }
}

void Ears::do_what_is_due(Instant now, Hearers heard) {
  if (now >= look_at_) {
    look_at_cards(heard);
    look_at_ = now + kLookEvery;
  }
  if (now >= poll_at_) {
    polls_.ask(heard);
    poll_at_ = now + kPollEvery;
  }
  if (now >= echo_at_) {
    ping(heard);
    echo_at_ = now + kEchoEvery;
  }
}

void Ears::look_at_cards(Hearers heard) {
  std::vector<Card> up = cards_now_();
  if (up == up_) return;
  up_ = std::move(up);
  for (const Card& card : up_) {
    names_[card.index] = card.name;
    const scan::Card told{.name = card.name, .address = card.address};
    if (std::find(cards_.begin(), cards_.end(), told) != cards_.end()) continue;
    if (cards_.size() == kMostNames) cards_.erase(cards_.begin());
    cards_.push_back(told);
  }
  groups_.use(up_);
  polls_.use(up_);
  for (scan::Heard* const each : heard) each->cards_changed();
}

void Ears::ping(Hearers heard) {
  if (!echo_) return;
  for (Pinged& one : pinged_) {
    if (one.answered || one.asked == kMostEchoes) continue;
    const int error = echo_->ask(one.host, static_cast<std::uint16_t>(one.asked));
    if (error == 0) {
      ++one.asked;
    } else if (error == EHOSTUNREACH || error == ENETUNREACH) {
      for (scan::Heard* const each : heard) each->unreachable(one.host);
    } else {
      echo_error_ = error;
    }
  }
}

std::size_t Ears::hear_socket(const EarsSocket& socket, bool artnet, Hearers heard) {
  std::size_t taken = 0;
  socket.hear(*batch_, now(), [this, artnet, &heard, &taken](const HeardPacket& packet) {
    ++taken;
    if (artnet && polls_.is_ours(packet)) return;
    const scan::Arrival arrival{.bytes = packet.bytes,
                                .from = packet.from,
                                .from_port = packet.from_port,
                                .to = packet.to,
                                .card = name_of(packet.card),
                                .at = packet.at,
                                .cut = packet.cut};
    for (scan::Heard* const one : heard) {
      if (artnet) {
        one->take_artnet(arrival);
      } else {
        one->take_e131(arrival);
      }
    }
  });
  return taken;
}

void Ears::hear_echoes(Hearers heard) {
  for (std::size_t i = 0; i < pinged_.size() * kMostEchoes; ++i) {
    const auto error = next_network_error(echo_->descriptor());
    if (!error) break;
    const bool no_way = error->error == EHOSTUNREACH || error->error == ENETUNREACH;
    const bool asked = std::any_of(pinged_.begin(), pinged_.end(),
                                   [&error](const Pinged& one) { return one.host == error->to; });
    if (!no_way || !asked) continue;
    for (scan::Heard* const each : heard) each->unreachable(error->to);
  }
  for (std::size_t i = 0; i < pinged_.size() * kMostEchoes; ++i) {
    const auto answer = echo_->answer();
    if (!answer) return;
    for (Pinged& one : pinged_) {
      if (one.host != answer->from) continue;
      one.answered = true;
      for (scan::Heard* const each : heard) each->echo(one.host);
    }
  }
}

std::string_view Ears::name_of(int card) {
  const auto known = names_.find(card);
  if (known != names_.end()) return known->second;
  std::array<char, IF_NAMESIZE> name{};
  if (names_.size() >= kMostNames ||
      ::if_indextoname(static_cast<unsigned>(card), name.data()) == nullptr) {
    return "";
  }
  return names_[card] = name.data();
}

void Ears::ping_anew() {
  for (Pinged& one : pinged_) one = {.host = one.host};
}

std::uint64_t Ears::dropped() const {
  std::uint64_t dropped = groups_.dropped_before();
  for (const EarsSocket& socket : groups_.sockets()) dropped += socket.dropped();
  for (const EarsSocket& socket : polls_.sockets()) dropped += socket.dropped();
  return dropped;
}

scan::Asked Ears::asked(std::uint64_t dropped_before) const {
  scan::Asked told{.cards = cards_,
                   .polled = polls_.polled(),
                   .pinged = {},
                   .groups = groups_.joined(),
                   .troubles = {}};
  if (cards_.empty()) {
    told.troubles.emplace_back("no network card with an IPv4 address is up");
  }
  for (const Pinged& one : pinged_) {
    if (one.asked > 0) told.pinged.push_back(one.host);
  }
  std::sort(told.pinged.begin(), told.pinged.end());
  if (echo_error_ == EACCES || echo_error_ == EPERM) {
    told.troubles.emplace_back(
        "no ping: this user may not; run it as root, or see net.ipv4.ping_group_range");
  } else if (echo_error_ != 0) {
    told.troubles.push_back("no ping: " + system_text(echo_error_));
  }
  for (std::string& one : groups_.troubles()) told.troubles.push_back(std::move(one));
  for (std::string& one : polls_.troubles()) told.troubles.push_back(std::move(one));
  if (const std::uint64_t lost = dropped() - dropped_before; lost > 0) {
    told.troubles.push_back(std::to_string(lost) +
                            " packets were lost: they came faster than this machine could look "
                            "at them");
  }
  return told;
}

}  // namespace panewalk::io
