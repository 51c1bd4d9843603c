// No item that a quote by the shipped policy proposes breaks a safety rule or a `make sure` line, whatever is on the
// shelf: players drawn at the policy's edges, some with blanks, and for each a shelf of items like the advised ones and
// unlike them. Judged by the naive evaluator.
#include <fmt/format.h>

#include <algorithm>
#include <catch2/catch.hpp>

#include "runtime/quote/quote.hpp"
#include "tests/compiler/proof/asked.hpp"
#include "tests/reference/evaluator.hpp"
#include "tests/reference/players.hpp"
#include "tests/reference/shelf.hpp"
#include "tests/support/policy/shipped.hpp"
#include "tests/support/settings.hpp"
#include "tests/support/shop/small_shop.hpp"

namespace {

using namespace lacestay;
using naive::Rational;

const auto today = tests::day_of(2026, 10, 3);

// An item as the program has it, and as the naive evaluator does.
struct Both {
  runtime::StockItem item;
  naive::ShelfItem known;
};

class DrawnShelf {
 public:
  DrawnShelf(const naive::Shelf& shelf, std::uint64_t seed)
      : shelf_(shelf), draw_(seed), source_(tests::naive_shipped(), seed) {}

  // A player, and who he could be: with blanks, some of those.
  void draw_player() {
    const auto whole = source_.draw();
    auto texts = whole.texts;
    possible_.clear();
    possible_.push_back(shelf_.fitted(whole.exact));
    if (draw_.chance(30)) {
      std::vector<std::string> names;
      for (const auto& [name, text] : texts) names.push_back(name);
      draw_.shuffle(names);
      names.resize(static_cast<std::size_t>(draw_.between(1, 2)));
      for (int others = 0; others < 8; ++others) {
        auto other = whole.exact;
        const auto drawn = source_.draw().exact;
        for (const auto& name : names) other[name] = drawn.at(name);
        if (naive::can_be(tests::naive_shipped(), other)) possible_.push_back(shelf_.fitted(other));
      }
      for (const auto& name : names) texts[name] = "";
    }
    grammar::Diagnostics problems;
    runtime::PlayerReader reader(tests::shipped().policy(), problems);
    for (const auto& [name, text] : texts) reader.set(name, text);
    REQUIRE(problems.empty());
    player_ = reader.take().value();
    line_ = whole.line();
    for (const auto& [name, text] : texts)
      if (text.empty()) line_ += " but for " + name;
  }

  void draw_stock() {
    const auto& policy = tests::shipped().policy();
    stock_ = {};
    known_.clear();
    stock_.covered = runtime::covered_columns(policy);
    stock_.first = {0};
    for (std::uint32_t piece = 0; piece < policy.pieces.size(); ++piece) {
      const auto& told = possible_.front().outcome.pieces.at(policy.pieces[piece].name);
      const auto rows = told.properties.empty() ? 1 : draw_.between(1, 8);
      for (auto row = 0; row < rows && !policy.shop.accepts[piece].empty(); ++row) {
        auto made = item(piece, told);
        made.item.number = fmt::format("{:03}", row);
        stock_.items.push_back(std::move(made.item));
        known_.push_back(std::move(made.known));
      }
      stock_.first.push_back(stock_.items.size());
    }
  }

  // What is quoted and may not be, in words.
  std::string broken() {
    const auto& policy = tests::shipped().policy();
    std::vector<const naive::Claim*> proved;
    for (const auto& claim : tests::naive_shipped().claims) proved.push_back(&claim);
    std::vector<const naive::Fitted*> possible;
    for (const auto& one : possible_) possible.push_back(&one);
    const auto limit = draw_.chance(50) ? std::nullopt : std::optional(draw_.between(50'00, 900'00));
    const auto made = runtime::quote(tests::shipped(), player_, stock_, today, limit, 200'000);
    std::string out;
    const auto look = [&](const runtime::QuotedItem& item, bool below) {
      const auto piece = stock_.items[item.item].piece;
      ++quoted, fallbacks += below ? 1 : 0;
      const auto what =
          shelf_.breaks(naive_piece(piece), possible, known_[item.item], proved, naive::Day(std::chrono::days(today)));
      if (!what.empty()) out += fmt::format("{}: {} breaks {}\n", line_, policy.pieces[piece].name, what);
    };
    for (const auto* lines : {&made.lines, &made.worth_adding})
      for (const auto& line : *lines) {
        look(line.item, !line.instead.empty());
        if (line.runner_up) look(line.runner_up->item, !line.instead.empty());
        for (const auto& unlike : line.unlike)
          if (unlike.as_advised) look(*unlike.as_advised, !line.instead.empty());
      }
    return out;
  }

  std::size_t quoted = 0, fallbacks = 0;

 private:
  static std::size_t naive_piece(std::uint32_t piece) {
    const auto& pieces = tests::naive_shipped().pieces;
    const auto named = [&](const auto& one) { return one.name == tests::shipped().policy().pieces[piece].name; };
    return static_cast<std::size_t>(std::find_if(pieces.begin(), pieces.end(), named) - pieces.begin());
  }

  // Each value as advised, near it, any, or blank.
  Both item(std::uint32_t piece, const naive::PieceOutcome& told) {
    const auto& policy = tests::shipped().policy();
    Both made;
    made.item.piece = piece;
    made.item.make = draw_.chance(50) ? "Fellwick" : "Tarnquist";
    made.item.price = draw_.between(5'00, 90'00);
    made.item.on_hand = 1;
    made.item.used = made.known.used = draw_.chance(10);
    if (draw_.chance(80)) {
      made.item.certified_until = today + (draw_.chance(85) ? 400 : -1);
      made.known.certified_until = naive::Day(std::chrono::days(*made.item.certified_until));
    }
    const auto& properties = tests::naive_shipped().pieces[naive_piece(piece)].properties;
    const auto& text = policy.pieces[piece];
    for (std::uint32_t k = 0; k < text.properties; ++k) {
      const auto& property = policy.properties[text.first_property + k];
      const auto found = told.properties.find(property.name);
      const auto* answer = found != told.properties.end() && found->second.answer ? &*found->second.answer : nullptr;
      const auto last = properties[k].last();
      const auto drawn = draw_.between(1, 100);
      auto low = answer && drawn <= 88 ? draw_.between(answer->low, answer->high) : draw_.between(0, last);
      if (answer && drawn > 76 && drawn <= 88) low = std::clamp<std::int64_t>(low + draw_.between(-2, 2), 0, last);
      const auto high = drawn > 95 ? std::min(last, low + 1) : low;
      runtime::ItemValue value;
      naive::ShelfCell cell;
      if (draw_.chance(94)) {
        value.known = true;
        if (property.scale.has_members()) {
          const bool one = property.scale.kind == compiler::Scale::Kind::grades;
          for (auto at = low; at <= (one ? low : high); ++at) value.members |= 1u << at, cell.members.push_back(at);
        } else {
          value.low = property.at(low), value.high = property.at(high);
          const auto& at = properties[k];
          cell.amount = naive::Stretch{at.amount_at(low), at.amount_at(high)};
          // A shaft of several lengths nobody has said how to stamp.
          if (property.name == "length") value.high = value.low, cell.amount->high = cell.amount->low;
        }
      }
      made.item.values.push_back(value);
      made.known.values.push_back(std::move(cell));
    }
    return made;
  }

  const naive::Shelf& shelf_;
  naive::Draw draw_;
  naive::PlayerSource source_;
  std::vector<naive::Fitted> possible_;
  runtime::Player player_;
  std::string line_;
  runtime::Stock stock_;
  std::vector<naive::ShelfItem> known_;
};

}  // namespace

TEST_CASE("no item that the shipped policy's quotes propose breaks a safety rule or a claim, whatever is in stock") {
  REQUIRE(tests::naive_shipped().claims.size() > 20);
  const naive::Shelf shelf(tests::naive_shipped());
  DrawnShelf drawn(shelf, tests::one_seed().value_or(1));
  const int players = tests::whole() ? 10'000 : 250;
  std::string broken;
  for (int i = 0; i < players && broken.empty(); ++i) {
    drawn.draw_player();
    drawn.draw_stock();
    broken = drawn.broken();
  }
  fmt::print("{} players and stocks, {} items quoted, {} of them by a line below\n", players, drawn.quoted,
             drawn.fallbacks);
  INFO(broken);
  CHECK(broken.empty());
  CHECK(drawn.quoted > static_cast<std::size_t>(players) * 3);
  CHECK(drawn.fallbacks > static_cast<std::size_t>(players) / 20);
}
