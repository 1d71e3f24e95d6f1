#pragma once

#include <array>
#include <cstdint>
#include <deque>
#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "base/instant.hpp"

/// Who may come in where others reach the server. No clock and no chance inside.
namespace panewalk::web {

using base::Duration;
using base::Instant;

/// What a code is made of: none is taken for another, so without 0 O 1 I L, B (8), G (6), S (5),
/// U (V) and Z (2).
inline constexpr std::string_view kCodeLetters = "23456789ACDEFHJKMNPQRTVWXY";
/// 26 letters, so 8 of them are one of 2.1e11 codes, 37.6 bits. At 20 tries a minute half of these
/// take 10'000 years.
inline constexpr std::size_t kCodeSize = 8;

/// Each letter as likely as the others where each octet is; nothing where too few can be used.
/// 64 octets are enough.
std::optional<std::string> make_code(std::span<const std::uint8_t> octets);
/// "ABCD-2345".
std::string grouped(const std::string& code);

/// 128 random bits as 32 hexadecimal digits.
using TokenOctets = std::array<std::uint8_t, 16>;
std::string to_token(const TokenOctets& octets);

/// The join code, the wrong tries and the sessions.
class Join {
 public:
  static constexpr std::size_t kMostSessions = 64;  ///< the one that is idle longest goes
  static constexpr Duration kIdle = std::chrono::hours{12};
  static constexpr std::size_t kWrongFromOne = 5;   ///< address, within kWithin
  static constexpr std::size_t kWrongFromAll = 20;  ///< within kWithin
  static constexpr Duration kWithin = std::chrono::minutes{1};

  explicit Join(std::string code) : code_{std::move(code)} {}
  [[nodiscard]] const std::string& code() const { return code_; }

  enum class Verdict { kRight, kWrong, kTooMany };
  struct Tried {
    Verdict verdict = Verdict::kWrong;
    Duration wait{};  ///< kTooMany: until the next try is looked at
  };
  /// Case, spaces and hyphens don't count. How long it takes does not tell how much was right.
  Tried attempt(std::string_view typed, const std::string& from, Instant now);

  void admit(std::string token, Instant now);
  /// The session that a Cookie header names; being asked for keeps it.
  std::optional<std::string> session_of(std::string_view cookie, Instant now);
  /// Somebody is still there.
  void keep(std::string_view token, Instant now);
  void forget(std::string_view token);

 private:
  struct Session {
    std::string token;
    Instant used{};
  };
  struct Wrong {
    Instant at{};
    std::string from;
  };
  [[nodiscard]] Duration wait_for(const std::string& from, Instant now) const;

  std::string code_;
  std::vector<Session> sessions_;
  std::deque<Wrong> wrong_;  // of the last minute, oldest first
};

}  // namespace panewalk::web
