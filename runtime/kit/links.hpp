// The links of a problem, made ready for the search: which items of a piece are alike in what they go with, and what
// the items chosen so far leave to a piece that is still to come.
//
// Pieces are decided in the problem's order, so of a link the first piece's item says which items the second may have.
// All that matters of the items chosen is what they together leave to each piece to come: an *allowance*, a set of that
// piece's classes. There are few: cages go with whole makes, and what two items leave is what both do.
//
// Made once for a problem without fault, which must outlive it. Immutable once made, so threads may share it.
#pragma once

#include <cstddef>
#include <cstdint>
#include <map>
#include <optional>
#include <span>
#include <vector>

#include "runtime/kit/problem.hpp"

namespace lacestay::runtime {

using LinkClasses = std::vector<std::uint32_t>;  // of one piece, ascending

class KitLinks {
 public:
  // More sets than this a search does not tell apart: it ends.
  static constexpr std::size_t most_kept = std::size_t{1} << 20;
  explicit KitLinks(const KitProblem& problem);

  // Items of a piece with one class have the same names, of those that matter: all, where nothing is linked to it.
  [[nodiscard]] std::uint32_t class_of(std::size_t piece, std::size_t candidate) const {
    return pieces_[piece].class_of[candidate];
  }
  // Whether all items of a kit go together.
  [[nodiscard]] bool fit(std::span<const std::size_t> choice) const;

  // What an item of a class leaves to a piece after its own.
  struct Leaves {
    std::size_t piece;
    LinkClasses classes;
  };
  // To the pieces after it that are linked to it.
  [[nodiscard]] const std::vector<Leaves>& leaves(std::size_t piece, std::uint32_t each) const {
    return pieces_[piece].leaves[each];
  }
  // So many allowances at most can be left to a piece, or too many to count (most_kept); 0: no piece before it is
  // linked to it.
  [[nodiscard]] std::size_t most_allowances(std::size_t piece) const { return pieces_[piece].most_allowances; }

 private:
  struct Piece {
    std::vector<std::uint32_t> class_of;      // by candidate
    std::vector<std::vector<Leaves>> leaves;  // by class
    std::size_t most_allowances = 0;
  };
  const KitProblem& problem_;
  std::vector<Piece> pieces_;
};

// The allowances of one piece met in a search, numbered as they are met; 0 is all its classes.
class KitAllowances {
 public:
  static constexpr std::uint32_t empty = 0xFFFF'FFFF;
  // What is left of an allowance: its number, or `empty`.
  [[nodiscard]] std::uint32_t narrowed(std::uint32_t allowance, const LinkClasses& left);
  [[nodiscard]] bool holds(std::uint32_t allowance, std::uint32_t each) const;

 private:
  std::vector<LinkClasses> sets_{{}};  // the first stands for all
  std::map<LinkClasses, std::uint32_t> known_;
};

// The first kit of the least list prices whose items go together, deals and the limit aside; nothing where none do. For
// a problem without fault. Linear.
[[nodiscard]] std::optional<std::vector<std::size_t>> plainest_kit(const KitProblem& problem);

}  // namespace lacestay::runtime
