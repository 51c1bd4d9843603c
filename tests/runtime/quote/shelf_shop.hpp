// A policy with a shelf of random items beside it, each read by the program and known to the naive evaluator; and what
// the two say of who may have which.
#pragma once

#include <map>
#include <memory>
#include <string>
#include <vector>

#include "runtime/quote/quote.hpp"
#include "tests/compiler/proof/asked.hpp"
#include "tests/reference/draw.hpp"
#include "tests/reference/shelf.hpp"

namespace lacestay::tests {

class ShelfShop {
 public:
  // Items of every piece the policy accepts something for: each value a cell can hold, some pairs and ranges, blanks,
  // and rows that must be set aside; at most so many a piece. `today` is a day number.
  ShelfShop(std::shared_ptr<const runtime::Engine> engine, const naive::Policy& naive, std::size_t most_items,
            std::int64_t today, naive::Draw& draw);

  [[nodiscard]] const runtime::Engine& engine() const { return *engine_; }
  [[nodiscard]] const naive::Shelf& shelf() const { return shelf_; }
  [[nodiscard]] const runtime::Stock& stock() const { return stock_; }
  [[nodiscard]] const naive::ShelfItem& known(const runtime::StockItem& item) const { return items_.at(item.number); }
  [[nodiscard]] naive::Day day() const { return naive::Day(std::chrono::days(today_)); }
  [[nodiscard]] std::size_t naive_piece(std::uint32_t piece) const { return naive_piece_.at(piece); }
  // What a row said, as it stood in its file.
  [[nodiscard]] std::string row(const std::string& number) const { return rows_.at(number); }
  // What was read otherwise than it should be: a row set aside, or not; empty where all is well.
  [[nodiscard]] const std::string& misread() const { return misread_; }

  // Just these of the stock, by place, ascending.
  [[nodiscard]] runtime::Stock of(const std::vector<std::size_t>& places) const;
  // Each piece's line: "helmet: items H001 H004, line 1", by the program and by the letter. `possible`: the players
  // that the one with blanks could be, who all own what he does.
  [[nodiscard]] std::string by_program(const runtime::Player& player, const runtime::Stock& stock) const;
  [[nodiscard]] std::string by_letter(const std::vector<const naive::Fitted*>& possible,
                                      const std::vector<std::uint32_t>& owns, const runtime::Stock& stock) const;

 private:
  struct Written {
    std::string text;
    naive::ShelfCell cell;
    bool set_aside = false;
  };
  [[nodiscard]] static std::vector<Written> cells(const naive::Property& property);
  [[nodiscard]] bool has_blank(const std::string& number) const;  // one may be wanted, and the row set aside
  void write(std::uint32_t piece, std::size_t most_items, naive::Draw& draw,
             std::vector<std::pair<std::string, std::string>>& files);

  std::shared_ptr<const runtime::Engine> engine_;
  const naive::Policy& naive_;
  naive::Shelf shelf_;
  std::int64_t today_;
  std::vector<std::size_t> naive_piece_;  // by piece of the compiled policy
  std::map<std::string, naive::ShelfItem> items_;
  std::map<std::string, std::string> rows_;
  std::map<std::string, bool> set_aside_;  // by number: must it be
  runtime::Stock stock_;
  std::string misread_;
};

}  // namespace lacestay::tests
