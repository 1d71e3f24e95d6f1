#pragma once

#include <functional>

#include "web/join.hpp"
#include "web/response.hpp"

namespace panewalk::web {

/// /api/join, /api/leave, /api/joined: the calls that need no session.
bool is_about_joining(std::string_view target);

/// A new token; nothing where the system gives no random numbers.
using NewToken = std::function<std::optional<std::string>()>;

struct JoinAnswer {
  Response response;
  std::string left = {};  ///< the session that ended by this call; "" for none
};

/// `join` is null where no code is needed, which is not refused: everybody there has joined.
JoinAnswer join_answer(const Request& request, Join* join, Instant now, const NewToken& new_token);

/// 401, for every other call without a session.
Response not_joined(const Request& request);

}  // namespace panewalk::web
