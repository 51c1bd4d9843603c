// The table of currencies before outside judges: iso-codes' list of ISO 4217's codes (Debian's iso-codes), which has no
// minor digits, and for those the Unicode Consortium's currency data (ICU).
#include <unicode/ucurr.h>
#include <unicode/ustring.h>

#include <array>
#include <catch2/catch.hpp>
#include <fstream>
#include <map>
#include <nlohmann/json.hpp>
#include <set>
#include <string>

#include "grammar/tree/units.hpp"
#include "tests/support/settings.hpp"

namespace {

using lacestay::grammar::currency_digits;

// Every word of three capitals that is a currency here.
std::set<std::string> codes_of_the_table() {
  std::set<std::string> codes;
  for (char a = 'A'; a <= 'Z'; ++a)
    for (char b = 'A'; b <= 'Z'; ++b)
      for (char c = 'A'; c <= 'Z'; ++c)
        if (const std::string code{a, b, c}; currency_digits(code)) codes.insert(code);
  return codes;
}

TEST_CASE("the codes are ISO 4217's, less those no shop is paid in") {
  const auto* const list = "/usr/share/iso-codes/json/iso_4217.json";
  std::ifstream in(list);
  if (!in) return lacestay::tests::skipped(std::string("there is no ") + list + " (Debian: iso-codes)");
  const auto listed = nlohmann::json::parse(in);
  std::set<std::string> expected;
  for (const auto& each : listed.at("4217")) expected.insert(each.at("alpha_3").get<std::string>());
  const std::map<std::string, std::set<std::string>> left_out = {
      {"funds, and units that loans are reckoned in", {"BOV", "CHE", "CHW", "COU", "MXV", "USN", "XDR", "XSU", "XUA"}},
      {"bonds and metals", {"XAG", "XAU", "XBA", "XBB", "XBC", "XBD", "XPD", "XPT"}},
      {"no money, and for tests", {"XTS", "XXX"}},
      {"a second code for the money of VES", {"VED"}},
      {"withdrawn since the list was made, or about to be", {"CUC", "HRK", "SLL", "ZWL"}},
  };
  for (const auto& [why, codes] : left_out)
    for (const auto& code : codes) {
      INFO(code << ": " << why);
      CHECK(expected.erase(code) == 1);
    }
  CHECK(codes_of_the_table() == expected);
}

TEST_CASE("the minor digits are those of the Unicode Consortium's data, but where small coins have gone out of use") {
  // There it has the digits that prices are written with, none, and not the standard's.
  const std::map<std::string, int> of_the_standard = {{"AFN", 2}, {"ALL", 2}, {"IQD", 3}, {"IRR", 2}, {"KPW", 2},
                                                      {"LAK", 2}, {"LBP", 2}, {"MGA", 2}, {"MMK", 2}, {"RSD", 2},
                                                      {"SOS", 2}, {"SYP", 2}, {"YER", 2}};
  std::size_t checked = 0;
  for (const auto& code : codes_of_the_table()) {
    INFO(code);
    std::array<UChar, 4> wide{};
    u_charsToUChars(code.c_str(), wide.data(), 3);
    auto error = U_ZERO_ERROR;
    const auto digits = ucurr_getDefaultFractionDigits(wide.data(), &error);
    REQUIRE(U_SUCCESS(error));
    const auto other = of_the_standard.find(code);
    if (other != of_the_standard.end()) CHECK(digits == 0);
    CHECK(currency_digits(code) == (other != of_the_standard.end() ? other->second : digits));
    ++checked;
  }
  CHECK(checked > 150);
}

TEST_CASE("what is no currency has no minor digits") {
  for (const auto* word : {"", "GB", "gbp", "GBPX", "ABC", "XTS", "BP ", " GB", "P C"}) CHECK(!currency_digits(word));
}

}  // namespace
