// A value, or the problem that there is none.
//
// For a function whose caller can go on without the value, and may want to say why it has to. `std::optional` remains
// for what may simply be absent, where there is nothing to say.
#pragma once

#include <concepts>
#include <utility>
#include <variant>

#include "grammar/text/error.hpp"

namespace lacestay {

template <typename Value>
class [[nodiscard]] Result {
 public:
  // From whatever the value can be made of, so that `return made;` does, also for a pointer to a const type.
  template <typename From>
  requires(std::convertible_to<From, Value> && !std::same_as<std::remove_cvref_t<From>, Problem> &&
           !std::same_as<std::remove_cvref_t<From>, Result>) Result(From&& value)
      : held_(std::in_place_index<0>, std::forward<From>(value)) {}               // NOLINT: meant to be implicit
  Result(Problem problem) : held_(std::in_place_index<1>, std::move(problem)) {}  // NOLINT

  explicit operator bool() const noexcept { return held_.index() == 0; }

  // The value. Where there is none, throws an Error with the problem: a caller that has nothing to add need not look.
  [[nodiscard]] Value& value() & { return demand(), std::get<0>(held_); }
  [[nodiscard]] const Value& value() const& { return demand(), std::get<0>(held_); }
  [[nodiscard]] Value value() && { return demand(), std::get<0>(std::move(held_)); }
  [[nodiscard]] Value& operator*() & { return value(); }
  [[nodiscard]] const Value& operator*() const& { return value(); }
  [[nodiscard]] Value operator*() && { return std::move(*this).value(); }
  [[nodiscard]] Value* operator->() { return &value(); }
  [[nodiscard]] const Value* operator->() const { return &value(); }

  // Only where there is no value: with one, throws std::bad_variant_access.
  [[nodiscard]] const Problem& problem() const { return std::get<1>(held_); }

 private:
  void demand() const {
    if (const auto* problem = std::get_if<1>(&held_)) throw Error(*problem);
  }

  std::variant<Value, Problem> held_;
};

}  // namespace lacestay
