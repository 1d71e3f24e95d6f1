#include "io/ears_groups.hpp"

#include <algorithm>
#include <cerrno>

#include "io/error_words.hpp"

namespace panewalk::io {

EarsGroups::EarsGroups(std::uint16_t port, bool alone) : port_{port}, alone_{alone} {
  if (alone_) {
    auto opened = EarsSocket::open({}, port, EarsSocket::Shares::kOnceOurs);
    if (opened) {
      sockets_.push_back(std::move(opened).value());
    } else {
      alone_error_ = opened.error();
    }
  }
  add(packet::kDiscoveryGroup, 0);
}

void EarsGroups::use(std::span<const Card> cards) {
  std::map<int, Card> up;
  for (const Card& card : cards) up.emplace(card.index, card);
  std::erase_if(not_joined_, [&up](const auto& refused) {
    return std::none_of(up.begin(), up.end(), [&refused](const auto& card) {
      return card.second.name == refused.first.first;
    });
  });
  for (Group& group : groups_) {
    for (auto joined = group.cards.begin(); joined != group.cards.end();) {
      if (up.count(*joined) != 0) {
        ++joined;
        continue;
      }
      // A card that comes back has not joined anything, and a socket that believes it has is
      // refused: "already".
      for (const std::size_t socket : group.sockets) sockets_[socket].leave(group.address, *joined);
      joined = group.cards.erase(joined);
    }
  }
  cards_ = std::move(up);
  for (Group& group : groups_) {
    for (const auto& [index, card] : cards_) join(group, card);
  }
}

void EarsGroups::join(std::span<const packet::Universe> universes) {
  for (const packet::Universe universe : universes) {
    const std::uint16_t number = universe.value();
    if (universes_.count(number) != 0) continue;
    if (universes_.size() == kMostUniverses) {
      left_out_.insert(number);
      continue;
    }
    universes_.insert(number);
    add(packet::multicast_group(universe), number);
  }
}

void EarsGroups::leave(std::span<const packet::Universe> universes) {
  for (const packet::Universe universe : universes) {
    const std::uint16_t number = universe.value();
    left_out_.erase(number);
    if (universes_.erase(number) == 0) continue;
    const auto group = std::find_if(groups_.begin(), groups_.end(), [number](const Group& each) {
      return each.universe == number;
    });
    const std::vector<std::size_t> sockets = std::move(group->sockets);
    groups_.erase(group);
    // From the last on, so that the numbers of the others stay.
    for (auto socket = sockets.rbegin(); socket != sockets.rend(); ++socket) close(*socket);
  }
}

void EarsGroups::close(std::size_t socket) {
  dropped_before_ += sockets_[socket].dropped();
  sockets_.erase(sockets_.begin() + static_cast<std::ptrdiff_t>(socket));
  for (Group& group : groups_) {
    for (std::size_t& each : group.sockets) {
      if (each > socket) --each;
    }
  }
}

void EarsGroups::add(const Host& group, std::uint16_t universe) {
  groups_.push_back({.address = group, .universe = universe, .sockets = {}, .cards = {}});
  for (const auto& [index, card] : cards_) join(groups_.back(), card);
}

void EarsGroups::join(Group& group, const Card& card) {
  if (group.cards.count(card.index) != 0) return;
  const auto try_last = [this, &group, &card] {
    return group.sockets.empty() ? ENOBUFS
                                 : sockets_[group.sockets.back()].join(group.address, card.index);
  };
  int error = try_last();
  if (error == ENOBUFS) {
    const auto opened = open(group.address);
    if (!opened) return;
    group.sockets.push_back(*opened);
    error = try_last();
  }
  if (error == 0) {
    group.cards.insert(card.index);
  } else {
    not_joined_[{card.name, error}].insert(group.universe);
  }
}

std::optional<std::size_t> EarsGroups::open(const Host& group) {
  if (sockets_.size() == kMostSockets) {
    group_error_ = EMFILE;
    return std::nullopt;
  }
  auto opened = EarsSocket::open(group, port_, EarsSocket::Shares::kFromStart);
  if (!opened) {
    group_error_ = opened.error();
    return std::nullopt;
  }
  any_group_open_ = true;
  sockets_.push_back(std::move(opened).value());
  return sockets_.size() - 1;
}

std::vector<std::uint16_t> EarsGroups::joined() const {
  std::vector<std::uint16_t> universes;
  for (const Group& group : groups_) {
    if (group.universe != 0 && !group.cards.empty()) universes.push_back(group.universe);
  }
  std::sort(universes.begin(), universes.end());
  return universes;
}

std::vector<std::string> EarsGroups::troubles() const {
  std::vector<std::string> all;
  const std::string port = "UDP port " + std::to_string(port_);
  const bool busy =
      (!alone_ || alone_error_ == EADDRINUSE) && group_error_ == EADDRINUSE && !any_group_open_;
  if (busy) {
    all.push_back("no E1.31 was heard: another program of this machine has " + port +
                  " for itself; stop it, then start this anew");
  } else if (alone_error_ == EADDRINUSE) {
    all.push_back("E1.31 was heard by multicast alone: another program of this machine has " +
                  port + " too, and gets what is sent to this machine");
  } else if (alone_error_ != 0) {
    all.push_back("no E1.31 was heard: " + port + ": " + system_text(alone_error_));
  }
  if (group_error_ != 0 && !busy) {
    all.push_back("some multicast groups were not listened to: " + system_text(group_error_));
  }
  for (const auto& [index, card] : cards_) {
    if (card.takes_multicast || card.is_loopback) continue;
    all.push_back("E1.31 in groups may be missing on the card " + card.name +
                  ": multicast is switched off there");
  }
  for (const auto& [where, universes] : not_joined_) {
    all.push_back(std::to_string(universes.size()) +
                  (universes.size() == 1 ? " multicast group was" : " multicast groups were") +
                  " not joined by the card " + where.first + ": " + system_text(where.second));
  }
  if (!left_out_.empty()) {
    all.push_back(std::to_string(left_out_.size()) +
                  (left_out_.size() == 1 ? " universe was" : " universes were") +
                  " not listened to: " + std::to_string(kMostUniverses) + " are the most");
  }
  return all;
}

}  // namespace panewalk::io
