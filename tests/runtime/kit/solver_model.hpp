// A kit's problem as a mixed integer program, for solvers from outside the project; what they answer, read back.
//
// A variable says that a piece has an item under certain deals (so what several parts take off one line together, and
// its rounding, is its cost); others, that an application stands, and that a deal does. Sums are whole numbers, so
// that a solver that works in floating point is far from any doubt.
#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <vector>

#include "runtime/kit/problem.hpp"

namespace lacestay::kits {

class SolverModel {
 public:
  explicit SolverModel(const runtime::KitProblem& problem);

  enum class Verdict : std::uint8_t { kit, none, gave_up };
  struct Answer {
    Verdict verdict = Verdict::gave_up;
    std::vector<std::size_t> choice;  // for a kit
    double seconds = 0;               // processor time of its whole process
  };
  // Runs the solver on the model in a folder of this process's own, for so many seconds of processor time.
  [[nodiscard]] Answer ask_glpsol(int seconds) const;
  [[nodiscard]] Answer ask_cbc(int seconds) const;

 private:
  struct Column {
    std::size_t piece, candidate;
  };
  std::string text_;             // in the LP format both read
  std::vector<Column> columns_;  // the first ones: x0, x1, ...
};

}  // namespace lacestay::kits
