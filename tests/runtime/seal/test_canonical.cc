// The document's spelling before outside judges: jq writes the same canonical bytes, and coreutils' sha256sum finds the
// same fingerprint. Numbers past 2^53 - 1 are strings, by one rule. And the document is as its published schema says.
#include <catch2/catch.hpp>

#include "runtime/seal/json.hpp"
#include "runtime/seal/sealed_policy.hpp"
#include "tests/runtime/seal/policies.hpp"
#include "tests/support/places.hpp"
#include "tests/support/process.hpp"
#include "tests/support/schema_check.hpp"
#include "tests/support/settings.hpp"

namespace {

using namespace lacestay;
using namespace lacestay::tests;
using compiler::Int128;
using nlohmann::json;

std::vector<NamedPolicy> policies() {
  std::vector<NamedPolicy> all = {{"northgate", shipped_policy("northgate.fitting")},
                                  {"northgate, edition 3", shipped_policy("northgate_edition_3.fitting")},
                                  {"corner shop", compiled(corner_shop())}};
  for (auto& more : {reference_policies(), random_policies(3000, 20)}) all.insert(all.end(), more.begin(), more.end());
  return all;
}

TEST_CASE("jq and sha256sum agree on the canonical form and its fingerprint") {
  for (const auto* judge : {"jq", "sha256sum"})
    if (!installed(judge)) return skipped(std::string("there is no ") + judge + " here");
  for (const auto& each : policies()) {
    INFO(each.name);
    const auto document = runtime::seal(*each.policy);
    const auto again = run_program({"jq", "-cjS", "."}, {.input = document});
    REQUIRE(again.code == 0);
    if (again.out != document) CHECK(again.out == document);
    const auto sum = run_shell("jq -cjS 'del(.sha256)' | sha256sum", {.input = document});
    REQUIRE(sum.code == 0);
    CHECK(sum.out.substr(0, 64) == runtime::sha256_in(document));
    CHECK(document.back() == '}');
  }
}

TEST_CASE("a text's SHA-256 is the source's whole text's, line ends and all") {
  const auto document = json::parse(runtime::seal(*shipped_policy("northgate.fitting")));
  REQUIRE(document["sources"].size() > 5);
  for (const auto& source : document["sources"]) {
    const auto path = in_policies(source["name"].get<std::string>());
    const auto sum = run_program({"sha256sum", path});
    REQUIRE(sum.code == 0);
    CHECK(sum.out.substr(0, 64) == source["sha256"]);
  }
}

TEST_CASE("an integer has one spelling: a number within 2^53 - 1, else a string of its digits") {
  const Int128 edge = (Int128{1} << 53) - 1, largest = ~(Int128{1} << 126 << 1);
  const std::vector<std::pair<Int128, std::string>> spelled = {
      {0, "0"},
      {-1, "-1"},
      {edge, "9007199254740991"},
      {-edge, "-9007199254740991"},
      {edge + 1, "\"9007199254740992\""},
      {-edge - 1, "\"-9007199254740992\""},
      {Int128{INT64_MAX}, "\"9223372036854775807\""},
      {Int128{INT64_MIN}, "\"-9223372036854775808\""},
      {largest, "\"170141183460469231731687303715884105727\""},
      {-largest - 1, "\"-170141183460469231731687303715884105728\""}};
  for (const auto& [value, text] : spelled) {
    INFO(text);
    CHECK(runtime::canonical(runtime::sealed_number(value)) == text);
    CHECK(runtime::number_of(json::parse(text)) == value);
  }
  for (const auto* other :
       {"\"0\"", "\"7\"", "\"9007199254740991\"", "9007199254740992", "18446744073709551615", "\"09007199254740992\"",
        "\"+9007199254740992\"", "\"-\"", "\"\"", "\" 9007199254740992\"", "\"9007199254740992.0\"", "1.0", "1e3",
        "\"170141183460469231731687303715884105728\"", "null", "true", "[]"}) {
    INFO(other);
    CHECK_FALSE(runtime::number_of(json::parse(other)));
  }
}

TEST_CASE("texts are spelled as RFC 8785 has them") {
  const std::string odd = "\u20ac$\x0f\nA'\x42\"\\\\\"/";  // the standard's own example, section 3.2.2.2
  CHECK(runtime::canonical(odd) == "\"\u20ac$\\u000f\\nA'B\\\"\\\\\\\\\\\"/\"");
  CHECK(runtime::canonical(std::string("\b\t\f\r\x7f\x1f")) == "\"\\b\\t\\f\\r\x7f\\u001f\"");
  CHECK(runtime::canonical(std::string("a\xff")) == "\"a\uFFFD\"");
  CHECK(runtime::canonical(*runtime::parsed(R"( { "b" : [ 1 , true , null ] , "a" : "x" } )")) ==
        R"({"a":"x","b":[1,true,null]})");
}

// Keys, anywhere in a schema, that don't say what they are.
void undescribed(const json& schema, const std::string& at, std::vector<std::string>& missing) {
  for (const auto* list : {"properties", "$defs"}) {
    const auto parts = schema.value(list, json::object());
    for (const auto& [key, part] : parts.items()) {
      if (!part.contains("description") && !part.contains("$ref")) missing.push_back(at + "/" + key);
      undescribed(part, at + "/" + key, missing);
    }
  }
  if (schema.contains("items")) undescribed(schema["items"], at, missing);
}

TEST_CASE("the document is as its published schema says, and every key is described there") {
  const auto schema = json::parse(text_of_file("runtime/seal/sealed.schema.json"));
  std::vector<std::string> missing;
  undescribed(schema, "", missing);
  CHECK(missing == std::vector<std::string>());
  for (const auto& each : policies()) {
    INFO(each.name);
    const auto faults = schema_faults(schema, json::parse(runtime::seal(*each.policy)));
    for (std::size_t i = 0; i < faults.size() && i < 5; ++i) FAIL_CHECK(faults[i]);
  }
}

}  // namespace
