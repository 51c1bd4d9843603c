// Every number that the shipped policy can show on its own account (the ends of what it asks, every edge, every step of
// a property, every value that a chart works out or a rounding leaves), and none that its owner did not write so: in
// the same unit, to the last digit, in fractions where fractions were written.
#include <fmt/format.h>

#include <catch2/catch.hpp>
#include <iostream>
#include <map>
#include <numeric>
#include <set>

#include "compiler/values/quantity.hpp"
#include "grammar/read/reader.hpp"
#include "grammar/text/letters.hpp"
#include "tests/support/policy/shipped.hpp"

namespace {

using namespace lacestay;

// A quantity as it is written: each part's number in lowest terms, whether it is a fraction, and its unit.
std::string as_written(const grammar::Quantity& quantity) {
  std::string out;
  for (const auto& part : quantity.parts) {
    const auto factor = std::gcd(part.numerator, part.denominator);
    const auto below = part.denominator / factor;
    out += fmt::format("{}/{}{}{} ", part.numerator / factor, below, part.in_fractions && below > 1 ? " fraction" : "",
                       part.unit ? fmt::format(" {}", grammar::spelling(*part.unit)) : " " + part.currency);
  }
  return out;
}

// What stands in the texts of a policy, without its comments and what is said in quotes.
class Written {
 public:
  explicit Written(const compiler::Policy& policy) {
    for (const auto& source : policy.sources) {
      bool quoted = false, comment = false;
      std::string line;
      for (const char c : std::string(source->text()) + "\n") {
        if (c == '\n') {
          take(line);
          line.clear(), quoted = comment = false;
          continue;
        }
        comment |= c == '#' && !quoted;
        if (c == '"') quoted = !quoted;
        if (!quoted && !comment) line += c;
      }
    }
  }

  // A number that stands on its own may be one of a unit that nothing else can be meant by: an age, a cell of a chart.
  [[nodiscard]] bool has(const grammar::Quantity& shown) const {
    auto bare = shown;
    bare.parts.back().unit.reset();
    const bool may_be_bare = shown.parts.size() == 1 && shown.parts.front().unit == grammar::Unit::year;
    return known_.contains(as_written(shown)) || (may_be_bare && known_.contains(as_written(bare)));
  }
  void add(const grammar::Quantity& quantity) { known_.insert(as_written(quantity)); }
  [[nodiscard]] std::size_t size() const { return known_.size(); }

 private:
  static std::optional<grammar::Quantity> read(const std::string& text) {
    const grammar::Source source("written", text);
    const auto value = grammar::read_value(source);
    const auto* quantity = value ? std::get_if<grammar::Quantity>(&*value) : nullptr;
    return quantity ? std::optional(*quantity) : std::nullopt;
  }

  void take(const std::string& line) {
    std::optional<grammar::Quantity> before;
    std::size_t before_end = 0;
    for (std::size_t at = 0; at < line.size();) {
      const bool word_goes_on = at > 0 && (grammar::is_letter(line[at - 1]) || line[at - 1] == '_');
      const bool begins = grammar::is_digit(line[at]) || line[at] == '\xC2' || line[at] == '\xE2';
      std::size_t length = begins && !word_goes_on ? std::min<std::size_t>(line.size() - at, 24) : 0;
      std::optional<grammar::Quantity> found;
      // No word is cut short for a unit: `160 step` is no 160 stone.
      const auto cuts_a_word = [&] {
        return at + length < line.size() && grammar::is_letter(line[at + length]) &&
               grammar::is_letter(line[at + length - 1]);
      };
      while (length > 0 && (!(found = read(line.substr(at, length))) || cuts_a_word())) --length;
      if (length == 0) {
        ++at;
        continue;
      }
      add(*found);
      // `4 to 90 years`, `46, 48 in`: the unit serves what stands before it.
      const auto between = before ? line.substr(before_end, at - before_end) : "";
      if (before && (between == " to " || between == "to " || between == ", ") && before->parts.front().bare()) {
        before->parts.front().unit = found->parts.back().unit;
        before->parts.front().currency = found->parts.back().currency;
        add(*before);
      }
      before = found;
      at = before_end = at + length;
    }
  }

  std::set<std::string> known_;
};

class Showing {
 public:
  explicit Showing(const compiler::Policy& policy) : policy_(policy), written_(policy) {}

  void run() {
    properties();
    for (compiler::ColumnId column = 0; column < policy_.tables.columns.size(); ++column) of_column(column);
    for (const auto& table : policy_.tables.tables)
      if (table.kind == compiler::Table::Kind::detail)
        for (const auto& row : table.rows) {
          const auto& scale = policy_.worked_out[table.target].scale;
          number(policy_.worked_out[table.target].name, scale, row.low, scale.write(row.low), true);
        }
    CHECK(numbers_ > 1500);
    std::cout << numbers_ << " numbers shown, " << written_.size() << " ways of writing some\n";
  }

 private:
  // A range with a step writes all its steps.
  void properties() {
    for (std::size_t i = 0; i < policy_.properties.size(); ++i) {
      const auto& text = policy_.properties[i];
      if (text.scale.kind != compiler::Scale::Kind::amount) continue;
      const auto steps = std::int64_t{policy_.tables.answers[i].steps};
      const auto ends = {std::int64_t{0}, steps - 1};
      for (const auto end : ends) number(text.name, text.scale, text.at(end), text.write(end, end), true);
      for (std::int64_t step = 0; step < steps; ++step)
        number(text.name, text.scale, text.at(step), text.write(step, step), false);
    }
  }

  void of_column(compiler::ColumnId column) {
    const auto& known = policy_.tables.columns[column];
    const auto& scale = policy_.scale_of(column);
    if (scale.kind != compiler::Scale::Kind::amount) return;
    const auto& name = policy_.name_of(column);
    for (const auto& cut : known.cuts) {
      const auto at = policy_.edge_as_meant(column, cut).at;
      number(name, scale, at, scale.write_edge(at), true);
    }
    if (!known.worked_out) {
      const auto& domain = policy_.tables.asked[known.detail];
      for (const auto end : {domain.lowest, domain.highest}) number(name, scale, end, scale.write_edge(end), true);
      return;
    }
    const auto& made = policy_.tables.worked_out[known.detail];
    if (!made.rounded()) return;
    // Whatever a rounding leaves.
    const auto& rounding = made.formula.back();
    const auto step = rounding.numerator * (made.plain_number ? 1'000'000'000 : 1) / rounding.denominator;
    constexpr int most = 5000;
    auto value = compiler::ceil_divide(made.lowest.numerator, made.lowest.denominator * step) * step;
    for (int i = 0; i < most && value * made.highest.denominator <= made.highest.numerator; ++i, value += step)
      number(name, scale, static_cast<std::int64_t>(value), scale.write(static_cast<std::int64_t>(value)), false);
  }

  // What is shown is just what it stands for; and, where it stands in the policy itself, a way it is written there.
  void number(const std::string& name, const compiler::Scale& scale, std::int64_t ticks, const std::string& text,
              bool stands_there) {
    ++numbers_;
    INFO(name << " " << text);
    const grammar::Source source("shown", text);
    const auto value = grammar::read_value(source);
    const auto* quantity = value ? std::get_if<grammar::Quantity>(&*value) : nullptr;
    REQUIRE(quantity);
    const auto read = compiler::ticks_of(*quantity, {scale.dimension, policy_.currency, scale.bare_unit});
    CHECK(std::get_if<std::int64_t>(&read) != nullptr);
    if (const auto* held = std::get_if<std::int64_t>(&read)) CHECK(*held == ticks);
    if (stands_there)
      CHECK(written_.has(*quantity));
    else
      written_.add(*quantity);
  }

  const compiler::Policy& policy_;
  Written written_;
  std::size_t numbers_ = 0;
};

TEST_CASE("no number of the shipped policy is shown as its owner did not write it") {
  Showing(tests::shipped().policy()).run();
}

}  // namespace
