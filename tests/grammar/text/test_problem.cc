// A problem's text, the exception that carries one, and the result that holds one.
#include <catch2/catch.hpp>
#include <memory>
#include <type_traits>

#include "grammar/text/result.hpp"

namespace {

using namespace lacestay;

const grammar::Source source{"shop.fitting", "ask age\nask weight\n"};

TEST_CASE("the whole text of a problem") {
  struct Row {
    Problem problem;
    std::string text;
  };
  const std::vector<Row> rows = {
      {{"", "Name a file."}, "Name a file.\n"},
      {{"file-5", "It can't be read."}, "file-5: It can't be read.\n"},
      {{"file-5", "It can't be read.", "check its name"}, "file-5: It can't be read.\n  Try: check its name.\n"},
      {{"names-2", "It is there twice.", "rename one", {&source, 12, 18}, {{"the first one", {&source, 4, 7}}}},
       "names-2: It is there twice.\n"
       "  shop.fitting, line 2, character 5\n"
       "      ask weight\n"
       "          ^^^^^^\n"
       "  the first one: shop.fitting, line 1, character 5\n"
       "      ask age\n"
       "          ^^^\n"
       "  Try: rename one.\n"},
      {{"proof-1", "No answer.", "add this rule", {}, {{"a remark", {}}}, "rule one\n  need stick\n"},
       "proof-1: No answer.\n  a remark\n  Try: add this rule.\n      rule one\n        need stick\n"}};
  for (const auto& row : rows) CHECK(render(row.problem) == row.text);
  CHECK(render(std::vector<Problem>{rows[0].problem, rows[1].problem}) ==
        "Name a file.\n\nfile-5: It can't be read.\n");
}

TEST_CASE("an Error says its problem's message, and a copy of it can't fail") {
  static_assert(std::is_nothrow_copy_constructible_v<Error>);
  const Error error{"sale-9", "There is no sale 3.", "look it up"};
  CHECK(std::string(error.what()) == "There is no sale 3.");
  CHECK(render(error.problem()) == "sale-9: There is no sale 3.\n  Try: look it up.\n");
}

TEST_CASE("a Result holds a value, or says why there is none") {
  Result<std::string> value = "a text", none = Problem{"file-5", "There is no such file."};
  REQUIRE(value);
  CHECK(*value == "a text");
  CHECK(value->size() == 6);
  CHECK(std::move(value).value() == "a text");
  REQUIRE_FALSE(none);
  CHECK(none.problem().code == "file-5");
  CHECK_THROWS_AS(none.value(), Error);
  CHECK_THROWS_AS(*none, Error);
  CHECK_THROWS_WITH(none.value(), "There is no such file.");
  // A pointer to what may be changed does for one to what may not.
  const Result<std::shared_ptr<const int>> pointer = std::make_shared<int>(3);
  CHECK(**pointer == 3);
  CHECK_THROWS_AS((void)pointer.problem(), std::bad_variant_access);
}

}  // namespace
