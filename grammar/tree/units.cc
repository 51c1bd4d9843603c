#include "grammar/tree/units.hpp"

#include <algorithm>
#include <array>
#include <string>

#include "grammar/text/letters.hpp"

namespace lacestay::grammar {

const std::vector<UnitSpelling>& unit_spellings() {
  static const std::vector<UnitSpelling> spellings = [] {
    std::vector<UnitSpelling> all = {
        {"mm", Unit::millimetre}, {"cm", Unit::centimetre},  {"m", Unit::metre},     {"metres", Unit::metre},
        {"in", Unit::inch},       {"inch", Unit::inch},      {"inches", Unit::inch}, {"ft", Unit::foot},
        {"foot", Unit::foot},     {"feet", Unit::foot},      {"g", Unit::gram},      {"kg", Unit::kilogram},
        {"kilo", Unit::kilogram}, {"kilos", Unit::kilogram}, {"pound", Unit::pound}, {"pounds", Unit::pound},
        {"oz", Unit::ounce},      {"lb", Unit::pound},       {"lbs", Unit::pound},   {"st", Unit::stone},
        {"stone", Unit::stone},   {"years", Unit::year},     {"year", Unit::year},   {"months", Unit::month},
        {"month", Unit::month},   {"flex", Unit::flex},      {"%", Unit::percent},
    };
    std::stable_sort(all.begin(), all.end(),
                     [](const auto& a, const auto& b) { return a.text.size() > b.text.size(); });
    return all;
  }();
  return spellings;
}

std::optional<Unit> unit_named(std::string_view word) {
  const auto same = [](char a, char b) { return lower(a) == b; };
  for (const auto& [text, unit] : unit_spellings())
    if (std::equal(word.begin(), word.end(), text.begin(), text.end(), same)) return unit;
  return std::nullopt;
}

std::string_view spelling(Unit unit, bool one) {
  switch (unit) {
    case Unit::millimetre: return "mm";
    case Unit::centimetre: return "cm";
    case Unit::metre: return "m";
    case Unit::inch: return "in";
    case Unit::foot: return "ft";
    case Unit::gram: return "g";
    case Unit::kilogram: return "kg";
    case Unit::ounce: return "oz";
    case Unit::pound: return "lb";
    case Unit::stone: return "st";
    case Unit::year: return one ? "year" : "years";
    case Unit::month: return one ? "month" : "months";
    case Unit::flex: return "flex";
    case Unit::percent: return "%";
  }
  return "";
}

std::optional<int> currency_digits(std::string_view code) {
  struct Group {
    int digits;
    std::string_view codes;
  };
  static constexpr std::array groups = {
      Group{0, "BIF CLP DJF GNF ISK JPY KMF KRW PYG RWF UGX UYI VND VUV XAF XOF XPF "},
      Group{3, "BHD IQD JOD KWD LYD OMR TND "},
      Group{4, "CLF UYW "},
      Group{2,
            "AED AFN ALL AMD ANG AOA ARS AUD AWG AZN BAM BBD BDT BGN BMD BND BOB BRL BSD BTN BWP BYN BZD CAD CDF CHF "
            "CNY COP CRC CUP CVE CZK DKK DOP DZD EGP ERN ETB EUR FJD FKP GBP GEL GHS GIP GMD GTQ GYD HKD HNL HTG HUF "
            "IDR ILS INR IRR JMD KES KGS KHR KPW KYD KZT LAK LBP LKR LRD LSL MAD MDL MGA MKD MMK MNT MOP MRU MUR MVR "
            "MWK MXN MYR MZN NAD NGN NIO NOK NPR NZD PAB PEN PGK PHP PKR PLN QAR RON RSD RUB SAR SBD SCR SDG SEK SGD "
            "SHP SLE SOS SRD SSP STN SVC SYP SZL THB TJS TMT TOP TRY TTD TWD TZS UAH USD UYU UZS VES WST XCD YER ZAR "
            "ZMW "},
  };
  if (code.size() != 3 || code.find(' ') != std::string_view::npos) return std::nullopt;
  for (const auto& group : groups)
    if (group.codes.find(std::string(code) + " ") != std::string_view::npos) return group.digits;
  return std::nullopt;
}

}  // namespace lacestay::grammar
