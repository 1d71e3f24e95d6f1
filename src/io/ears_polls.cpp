#include "io/ears_polls.hpp"

#include <algorithm>
#include <cerrno>

#include "base/check.hpp"
#include "io/ears_errors.hpp"
#include "io/error_words.hpp"
#include "packet/artnet.hpp"

namespace panewalk::io {
namespace {

constexpr Host kEverybody{255, 255, 255, 255};
/// More errors than questions of a round can bring.
constexpr int kMostErrors = 1024;

bool tells_of_host(int error) {
  return error == ECONNREFUSED || error == EHOSTUNREACH || error == ENETUNREACH;
}

void tell(const Host& host, std::uint16_t port, int error, Hearers heard) {
  if (!tells_of_host(error)) return;
  for (scan::Heard* const one : heard) {
    if (error == ECONNREFUSED) {
      one->refused(host, port);
    } else {
      one->unreachable(host);
    }
  }
}

}  // namespace

EarsPolls::EarsPolls(std::uint16_t port, std::vector<Node> nodes)
    : port_{port}, nodes_{std::move(nodes)} {
  PANEWALK_CHECK(packet::encode(packet::ArtPoll{}, poll_) == poll_.size());
  auto asks = EarsSocket::open({}, port, EarsSocket::Shares::kOnceOurs);
  if (!asks) {
    error_ = asks.error();
    shared_ = error_ == EADDRINUSE;
    asks = EarsSocket::open({}, 0, EarsSocket::Shares::kOnceOurs);
    if (!asks) return;
  }
  const int on = 1;
  set_option(asks.value().descriptor(), IPPROTO_IP, IP_RECVERR, on);
  sockets_.push_back(std::move(asks).value());
  if (shared_) open_broadcast(kEverybody);
}

void EarsPolls::use(std::span<const Card> cards) {
  cards_.assign(cards.begin(), cards.end());
  if (!shared_) return;
  for (const Card& card : cards_) {
    if (card.broadcast) open_broadcast(*card.broadcast);
  }
}

void EarsPolls::open_broadcast(const Host& broadcast) {
  constexpr std::size_t kMost = 64;
  if (sockets_.empty() || broadcasts_.size() == kMost || broadcasts_.count(broadcast) != 0) return;
  auto opened = EarsSocket::open(broadcast, port_, EarsSocket::Shares::kFromStart);
  if (opened) {
    broadcasts_.insert(broadcast);
    sockets_.push_back(std::move(opened).value());
  } else {
    broadcast_error_ = opened.error();
  }
}

void EarsPolls::ask(Hearers heard) {
  if (sockets_.empty()) return;
  const EarsSocket& socket = sockets_.front();
  const auto note = [this](int error, const std::string& whom, const Host& host) {
    if (error == 0) {
      polled_.insert(host);
      not_asked_.erase(whom);
    } else {
      not_asked_[whom] = error;
    }
  };
  for (const Card& card : cards_) {
    if (!card.broadcast) continue;
    note(socket.send(poll_, *card.broadcast, port_, &card), "by the card " + card.name,
         *card.broadcast);
  }
  for (const Node& node : nodes_) {
    const int error = socket.send(poll_, node.host, node.port, nullptr);
    tell(node.host, node.port, error, heard);
    if (!tells_of_host(error)) note(error, "to " + to_text(node.host), node.host);
  }
}

bool EarsPolls::is_ours(const HeardPacket& packet) const {
  if (sockets_.empty() || packet.from_port != sockets_.front().port()) return false;
  const bool from_us = std::any_of(cards_.begin(), cards_.end(), [&packet](const Card& card) {
    return card.address == packet.from;
  });
  return from_us && std::ranges::equal(packet.bytes, poll_);
}

void EarsPolls::take_errors(Hearers heard) const {
  if (sockets_.empty()) return;
  for (int i = 0; i < kMostErrors; ++i) {
    const auto answer = next_network_error(sockets_.front().descriptor());
    if (!answer) return;
    tell(answer->to, answer->port, answer->error, heard);
  }
}

std::vector<std::string> EarsPolls::troubles() const {
  std::vector<std::string> all;
  const std::string port = "UDP port " + std::to_string(port_);
  if (shared_ && !broadcasts_.empty()) {
    all.push_back(
        "Art-Net was heard by broadcast alone, and answers may be missing: another program of "
        "this machine has " +
        port + " too");
  } else if (shared_ && broadcast_error_ == EADDRINUSE) {
    all.push_back("most of Art-Net was not heard: another program of this machine has " + port +
                  " for itself; stop it, then start this anew");
  } else if (error_ != 0) {
    all.push_back("no Art-Net was heard: " + port + ": " + system_text(error_));
  }
  for (const auto& [whom, error] : not_asked_) {
    all.push_back("no ArtPoll " + whom + ": " + std::string{in_words(error)});
  }
  return all;
}

}  // namespace panewalk::io
