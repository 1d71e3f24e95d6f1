#pragma once

#include <optional>
#include <string_view>

#include "base/result.hpp"
#include "config/text.hpp"
#include "web/response.hpp"

/// What every call's form must be, whatever it is about.
namespace panewalk::web {

/// The target without its query.
std::string_view path_of(std::string_view target);

/// The refusal of a method that is not in `allowed` ("GET, HEAD"): 405; and of a query: 400.
std::optional<Response> faulty_form(const Request& request, std::string_view allowed);

enum class NoBody { kIsRefused, kIsAnEmptyObject };

/// The JSON of the body, or its refusal: 413, 415 or 400.
base::Result<config::Tree, Response> json_body(const Request& request, NoBody no_body);

}  // namespace panewalk::web
