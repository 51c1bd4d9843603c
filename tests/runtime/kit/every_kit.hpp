// The best kit by looking at every kit, and a bill by trying every set of deals: written from what
// runtime/kit/problem.hpp says the deals mean. It shares no code with the builder, and is only for small shops.
#pragma once

#include <cstddef>
#include <cstdint>
#include <optional>
#include <utility>
#include <vector>

#include "runtime/kit/problem.hpp"

namespace lacestay::kits {

struct PlainBill {
  struct Application {
    std::size_t deal;
    int make;
    std::vector<std::size_t> lines;
    friend bool operator==(const Application&, const Application&) = default;
  };
  std::int64_t exact = 0;  // in 1/denominator(problem) minor units
  std::int64_t paid = 0;
  std::vector<Application> applications;
};

// Of all parts and halves; exact money is in its fractions.
[[nodiscard]] std::int64_t denominator(const runtime::KitProblem& problem);
[[nodiscard]] PlainBill plain_bill(const runtime::KitProblem& problem, const std::vector<std::size_t>& choice);

// Of every two pieces that are linked, the items go together.
[[nodiscard]] bool go_together(const runtime::KitProblem& problem, const std::vector<std::size_t>& choice);

struct PlainKit {
  std::vector<std::size_t> choice;
  std::int64_t value;  // in 1/denominator minor units
};
// `without`: a piece and the candidate it may not have.
[[nodiscard]] std::optional<PlainKit> best_of_every_kit(
    const runtime::KitProblem& problem, std::optional<std::pair<std::size_t, std::size_t>> without = std::nullopt);

}  // namespace lacestay::kits
