// The grammar itself: PEGTL's analysis finds no rule that could loop without reading, and every unit of the closed
// table is one the grammar reads.
#include <catch2/catch.hpp>
#include <tao/pegtl/contrib/analyze.hpp>

#include "grammar/read/reader.hpp"
#include "grammar/read/rules.hpp"

namespace {

namespace rules = lacestay::grammar::rules;

TEST_CASE("no rule of the grammar can loop without reading anything") {
  CHECK(tao::pegtl::analyze<rules::layout::file>() == 0);
  CHECK(tao::pegtl::analyze<rules::line::item_line>() == 0);
  CHECK(tao::pegtl::analyze<rules::line::property_line>() == 0);
  CHECK(tao::pegtl::analyze<rules::line::rule_line>() == 0);
  CHECK(tao::pegtl::analyze<rules::line::chart_line>() == 0);
  CHECK(tao::pegtl::analyze<rules::line::sheet_row_begin>() == 0);
  CHECK(tao::pegtl::analyze<rules::line::sheet_column>() == 0);
  CHECK(tao::pegtl::analyze<rules::line::sheet_cell>() == 0);
  CHECK(tao::pegtl::analyze<rules::line::player_line>() == 0);
  CHECK(tao::pegtl::analyze<rules::line::lone_value>() == 0);
}

TEST_CASE("the grammar reads every unit of the closed table, and only those") {
  using namespace lacestay::grammar;
  for (const auto& [spelling, unit] : unit_spellings()) {
    const Source source{"unit", "12 " + std::string(spelling)};
    const auto value = read_value(source);
    INFO(spelling);
    REQUIRE(value);
    CHECK(std::get<Quantity>(*value).parts.front().unit == unit);
  }
  for (const auto* word : {"12 ell", "12 mmm", "12 stones", "12 k g", "12 %%", "kg", "12 kg 3"}) {
    const Source source{"unit", word};
    INFO(word);
    CHECK_FALSE(read_value(source));
  }
}

}  // namespace
