#include "tests/runtime/quote/shelf_shop.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <set>

#include "compiler/values/days.hpp"
#include "runtime/engine/possible.hpp"
#include "tests/support/shop/small_shop.hpp"

namespace lacestay::tests {

using naive::HandedOver;
using naive::Rational;
using runtime::Match;

namespace {

// For a heading as for a cell: a property's first value and step stand in the unit that it is declared in.
const Rational& unit_of(const naive::Property& property) { return property.one; }

std::string line_of(const std::string& piece, const std::string& kind, const std::vector<std::string>& numbers,
                    std::optional<std::size_t> stage) {
  std::string out = piece + ": " + kind;
  for (const auto& number : numbers) out += " " + number;
  if (stage) out += fmt::format(", by line {}", *stage + 1);
  return out + "\n";
}

}  // namespace

ShelfShop::ShelfShop(std::shared_ptr<const runtime::Engine> engine, const naive::Policy& naive, std::size_t most_items,
                     std::int64_t today, naive::Draw& draw)
    : engine_(std::move(engine)), naive_(naive), shelf_(naive), today_(today) {
  const auto& policy = engine_->policy();
  Files files;
  for (std::uint32_t piece = 0; piece < policy.pieces.size(); ++piece) {
    const auto named = [&](const naive::Piece& one) { return one.name == policy.pieces[piece].name; };
    naive_piece_.push_back(static_cast<std::size_t>(std::find_if(naive_.pieces.begin(), naive_.pieces.end(), named) -
                                                    naive_.pieces.begin()));
    if (!policy.shop.accepts[piece].empty()) write(piece, most_items, draw, files);
  }
  stock_ = stock_of(policy, files);
  std::map<std::string, bool> read;
  for (const auto& item : stock_.items) read[item.number] = true;
  for (const auto& [number, must] : set_aside_)
    if (read[number] == must && (must || !has_blank(number)))
      misread_ += (must ? "not set aside: " : "set aside: ") + rows_[number] + "\n";
  if (!misread_.empty()) misread_ += render(stock_.problems.sorted());
}

bool ShelfShop::has_blank(const std::string& number) const {
  const auto& values = items_.at(number).values;
  return std::any_of(values.begin(), values.end(), [](const auto& cell) { return cell.blank(); });
}

// Every value by itself, two at once, stretches on the steps and off them, nothing; and what no cell may hold.
std::vector<ShelfShop::Written> ShelfShop::cells(const naive::Property& property) {
  std::vector<Written> all = {{"", {}}};
  const auto kind = property.tree->domain.kind;
  if (kind != grammar::Domain::Kind::amount) {
    for (std::int64_t i = 0; i <= property.last(); ++i)
      all.push_back({property.answers[static_cast<std::size_t>(i)], {{i}, {}}});
    for (std::int64_t i = 0; i < property.last(); ++i)
      all.push_back({fmt::format("\"{}, {}\"", property.answers[static_cast<std::size_t>(i)], property.answers.back()),
                     {{i, property.last()}, {}},
                     kind == grammar::Domain::Kind::grades});
    return all;
  }
  const auto one = unit_of(property);
  const auto at = [&](const Rational& steps) { return property.amount_at(steps); };
  const auto add = [&](const Rational& low, const Rational& high) {
    const auto digits = [&](const Rational& amount) { return naive::plain(amount / one); };
    const bool aside = low < at(0) || high > at(property.last());
    if (low < 0) return;
    all.push_back({(low == high ? digits(low) : digits(low) + " to " + digits(high)) + property.unit,
                   {{}, naive::Stretch{low, high}},
                   aside});
  };
  const Rational half = Rational::of(1, 2);
  for (std::int64_t i = 0; i <= property.last(); ++i) {
    add(at(i), at(i));
    if (i < property.last()) add(at(half + i), at(half + i));
  }
  for (std::int64_t i = 0; i < property.last(); ++i) {
    // Only what isn't cut may be adjusted: how a shaft of several lengths is stamped nobody has said.
    if (property.name == "length") break;
    add(at(i), at(i + 1));
    if (i + 2 <= property.last()) add(at(half + i), at(half + i + 1)), add(at(i), at(i + 2));
  }
  add(at(property.last() + 1), at(property.last() + 1));
  add(at(-1), at(-1));
  return all;
}

void ShelfShop::write(std::uint32_t piece, std::size_t most_items, naive::Draw& draw,
                      std::vector<std::pair<std::string, std::string>>& files) {
  const auto& policy = engine_->policy();
  const auto& of = naive_.pieces[naive_piece_[piece]];
  std::vector<std::vector<Written>> columns;
  std::size_t combinations = 1;
  std::string text = "item,make,price,on hand,condition,certified until,made,goes with";
  for (const auto& property : of.properties) {
    columns.push_back(cells(property));
    combinations *= columns.back().size();
    text += "," + property.name;
  }
  std::vector<std::string> covered;
  const auto columns_covered = runtime::covered_columns(policy);
  for (const auto column : columns_covered[piece]) covered.push_back(policy.name_of(column));
  for (const auto& name : covered) text += "," + name;
  text += "\n";
  const std::size_t rows = std::min(combinations, most_items);
  for (std::size_t i = 0; i < rows; ++i) {
    std::size_t pick = combinations <= most_items ? i : draw.place(combinations);
    naive::ShelfItem item;
    const auto number = fmt::format("{}{:04}", of.name, i);
    const auto drawn = draw.between(1, 100);
    item.on_hand = drawn > 4;
    item.used = drawn > 4 && drawn <= 24;
    std::string certified;
    if (drawn > 55) {
      const auto until = today_ + draw.between(-1, 1) * (drawn > 80 ? 1 : 400);
      item.certified_until = naive::Day(std::chrono::days(until));
      certified = compiler::iso_day(until);
    }
    const auto price = draw.between(5, 90);
    item.price = price;
    std::string made;
    if (draw.chance(80)) {
      const auto day = compiler::years_after(today_, -draw.between(0, 4)) + draw.between(-1, 1);
      item.made = naive::Day(std::chrono::days(day));
      made = compiler::iso_day(day);
    }
    item.number = number;
    item.make = draw.chance(50) ? "Fellwick" : "Tarnquist";
    // A make, an item or two of some piece, or nothing.
    std::string with;
    for (auto names = draw.between(0, 2); names > 0; --names) {
      item.goes_with.push_back(draw.chance(50) ? "Fellwick"
                               : draw.chance(70)
                                   ? "Tarnquist"
                                   : fmt::format("{}{:04}", draw.pick(naive_.pieces).name, draw.between(0, 9)));
      with += (with.empty() ? "" : draw.chance(50) ? " / " : "; ") + item.goes_with.back();
    }
    auto row = fmt::format("{},{},{},{},{},{},{},{}", number, item.make, price, item.on_hand ? 2 : 0,
                           item.used ? "used" : "new", certified, made, with);
    bool aside = false;
    for (const auto& column : columns) {
      const auto& cell = column[pick % column.size()];
      pick /= column.size();
      item.values.push_back(cell.cell);
      aside |= cell.set_aside;
      row += "," + cell.text;
    }
    for (const auto& name : covered) {
      const auto low = draw.between(0, 3), high = draw.between(low, 3);
      item.covers[name] = {low, high};
      row += low == high ? fmt::format(",{}", low) : fmt::format(",{} to {}", low, high);
    }
    items_[number] = std::move(item);
    rows_[number] = row;
    set_aside_[number] = aside;
    text += row + "\n";
  }
  files.emplace_back(of.name + ".csv", text);
}

runtime::Stock ShelfShop::of(const std::vector<std::size_t>& places) const {
  runtime::Stock some;
  some.folder = stock_.folder;
  some.files = stock_.files;
  some.covered = stock_.covered;
  some.first = {0};
  std::size_t at = 0;
  for (std::uint32_t piece = 0; piece + 1 < stock_.first.size(); ++piece) {
    for (; at < places.size() && places[at] < stock_.first[piece + 1]; ++at)
      some.items.push_back(stock_.items[places[at]]);
    some.first.push_back(some.items.size());
  }
  return some;
}

std::string ShelfShop::by_program(const runtime::Player& player, const runtime::Stock& stock) const {
  const auto possible = runtime::possible_answers(*engine_, player);
  std::string out;
  for (const auto& match : runtime::match(*engine_, player, possible, stock, today_)) {
    static constexpr const char* kinds[] = {"items",       "none",      "refer",    "order",
                                            "not certain", "no answer", "not sold", "not sold"};
    std::vector<std::string> numbers;
    for (const auto item : match.items) numbers.push_back(stock.items[item].number);
    out += line_of(engine_->policy().pieces[match.piece].name, kinds[static_cast<int>(match.kind)], numbers,
                   match.instead);
  }
  return out;
}

std::string ShelfShop::by_letter(const std::vector<const naive::Fitted*>& possible,
                                 const std::vector<std::uint32_t>& owns, const runtime::Stock& stock) const {
  std::vector<std::vector<naive::ShelfItem>> items(naive_.pieces.size());
  std::set<std::size_t> owned;
  for (const auto piece : owns) owned.insert(naive_piece_[piece]);
  for (std::uint32_t piece = 0; piece < naive_piece_.size(); ++piece)
    for (auto at = stock.first[piece]; at < stock.first[piece + 1]; ++at)
      items[naive_piece_[piece]].push_back(known(stock.items[at]));
  const auto handed = shelf_.hand_over_kit(possible, owned, items, day());
  std::string out;
  for (std::uint32_t piece = 0; piece < naive_piece_.size(); ++piece) {
    const auto found = handed.find(naive_piece_[piece]);
    if (found == handed.end()) continue;
    static constexpr const char* kinds[] = {"items", "none", "refer", "order", "not certain", "not sold"};
    std::vector<std::string> numbers;
    for (const auto item : found->second.items) numbers.push_back(stock.items[stock.first[piece] + item].number);
    out += line_of(engine_->policy().pieces[piece].name, kinds[static_cast<int>(found->second.kind)], numbers,
                   found->second.instead);
  }
  return out;
}

}  // namespace lacestay::tests
