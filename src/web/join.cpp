#include "web/join.hpp"

#include <algorithm>

namespace panewalk::web {
namespace {

constexpr std::string_view kCookie = "panewalk=";

/// Looks at every letter, whatever the first ones are. The sizes are no secret.
bool same(std::string_view left, std::string_view right) {
  if (left.size() != right.size()) return false;
  unsigned differ = 0;
  for (std::size_t i = 0; i < left.size(); ++i) {
    differ |= static_cast<unsigned char>(left[i]) ^
              static_cast<unsigned>(static_cast<unsigned char>(right[i]));
  }
  return differ == 0;
}

std::string as_made(std::string_view typed) {
  std::string code;
  for (const char letter : typed) {
    if (letter == ' ' || letter == '-') continue;
    const bool small = letter >= 'a' && letter <= 'z';
    code += small ? static_cast<char>(letter - 'a' + 'A') : letter;
  }
  return code;
}

/// The values of our cookie, RFC 6265 section 4.2.1. Another service of this host may have set one
/// of the same name.
std::vector<std::string_view> tokens_in(std::string_view cookie) {
  std::vector<std::string_view> tokens;
  while (!cookie.empty()) {
    const std::size_t end = cookie.find(';');
    std::string_view pair = cookie.substr(0, end);
    cookie.remove_prefix(end == std::string_view::npos ? cookie.size() : end + 1);
    while (!pair.empty() && pair.front() == ' ') pair.remove_prefix(1);
    while (!pair.empty() && pair.back() == ' ') pair.remove_suffix(1);
    if (pair.substr(0, kCookie.size()) == kCookie) tokens.push_back(pair.substr(kCookie.size()));
  }
  return tokens;
}

}  // namespace

std::optional<std::string> make_code(std::span<const std::uint8_t> octets) {
  // Beyond the last whole round of the letters the first ones would be likelier.
  constexpr std::size_t kFair = 256 / kCodeLetters.size() * kCodeLetters.size();
  std::string code;
  for (const std::uint8_t octet : octets) {
    if (code.size() == kCodeSize) break;
    if (octet < kFair) code += kCodeLetters[octet % kCodeLetters.size()];
  }
  if (code.size() < kCodeSize) return std::nullopt;
  return code;
}

std::string grouped(const std::string& code) {
  return code.substr(0, kCodeSize / 2) + '-' + code.substr(kCodeSize / 2);
}

std::string to_token(const TokenOctets& octets) {
  constexpr std::string_view kDigits = "0123456789abcdef";
  std::string token;
  for (const std::uint8_t octet : octets) {
    token += kDigits[octet >> 4U];
    token += kDigits[octet & 0x0fU];
  }
  return token;
}

Join::Tried Join::attempt(std::string_view typed, const std::string& from, Instant now) {
  while (!wrong_.empty() && now - wrong_.front().at >= kWithin) wrong_.pop_front();
  const Duration wait = wait_for(from, now);
  if (wait > Duration{0}) return {.verdict = Verdict::kTooMany, .wait = wait};
  if (same(as_made(typed), code_)) return {.verdict = Verdict::kRight};
  wrong_.push_back({.at = now, .from = from});
  return {.verdict = Verdict::kWrong};
}

Duration Join::wait_for(const std::string& from, Instant now) const {
  std::size_t of_this = 0;
  Instant oldest = now;
  for (const Wrong& wrong : wrong_) {
    if (wrong.from == from && of_this++ == 0) oldest = wrong.at;
  }
  Duration wait{0};
  if (of_this >= kWrongFromOne) wait = oldest + kWithin - now;
  if (wrong_.size() >= kWrongFromAll) wait = std::max(wait, wrong_.front().at + kWithin - now);
  return wait;
}

void Join::admit(std::string token, Instant now) {
  if (sessions_.size() >= kMostSessions) {
    sessions_.erase(std::min_element(
        sessions_.begin(), sessions_.end(),
        [](const Session& left, const Session& right) { return left.used < right.used; }));
  }
  sessions_.push_back({.token = std::move(token), .used = now});
}

std::optional<std::string> Join::session_of(std::string_view cookie, Instant now) {
  std::erase_if(sessions_, [now](const Session& each) { return now - each.used >= kIdle; });
  std::optional<std::string> token;
  for (const std::string_view named : tokens_in(cookie)) {
    for (Session& session : sessions_) {
      if (!same(named, session.token)) continue;
      session.used = now;
      token = session.token;
    }
  }
  return token;
}

void Join::keep(std::string_view token, Instant now) {
  for (Session& session : sessions_) {
    if (same(token, session.token)) session.used = now;
  }
}

void Join::forget(std::string_view token) {
  std::erase_if(sessions_, [token](const Session& each) { return same(token, each.token); });
}

}  // namespace panewalk::web
