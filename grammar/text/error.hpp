// The exception of this project: there is no way on, and this is why.
//
// Thrown where a caller can do nothing but pass the problem on: the disk fails, a file is none of ours. Whoever can do
// something else gets a Result. What the kinds beside this base add: DatabaseError SQLite's code, Stop an exit code.
#pragma once

#include <exception>
#include <memory>
#include <string>
#include <utility>

#include "grammar/text/problem.hpp"

namespace lacestay {

class Error : public std::exception {
 public:
  explicit Error(Problem problem) : problem_(std::make_shared<const Problem>(std::move(problem))) {}
  // Of a problem without a place.
  Error(std::string code, std::string message, std::string hint)
      : Error(Problem{std::move(code), std::move(message), std::move(hint)}) {}

  [[nodiscard]] const Problem& problem() const noexcept { return *problem_; }
  // The problem's message.
  [[nodiscard]] const char* what() const noexcept override { return problem_->message.c_str(); }

 private:
  std::shared_ptr<const Problem> problem_;  // shared, so that a copy can't fail while an exception is on its way
};

}  // namespace lacestay
