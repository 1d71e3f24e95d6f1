#pragma once

#include <gtest/gtest.h>

#include <string>

#include "find/answer.hpp"
#include "find/sight.hpp"
#include "practice/fault.hpp"

/// Somebody who looks at a prop with a fault, and errs in nothing.
namespace panewalk::test {

class Builder {
 public:
  Builder(const practice::Subject& subject, const std::string& fault)
      : subject_{subject}, sound_{practice::as_described(subject)} {
    const auto read = practice::read_fault(subject, fault);
    if (!read) {
      ADD_FAILURE() << to_line(read.error());
      return;
    }
    seen_.fault = read.value();
    seen_.built = practice::with_fault(subject, sound_, seen_.fault);
  }

  /// To kHold always "dark".
  [[nodiscard]] find::Said answer(const find::Question& question) const {
    const find::Sight sight{subject_, sound_, question};
    return find::said(subject_, question, sight.of(seen_));
  }

 private:
  practice::Subject subject_;
  practice::AsBuilt sound_;
  find::Hypothesis seen_;
};

}  // namespace panewalk::test
