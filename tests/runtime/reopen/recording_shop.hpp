// A shop's folder in which the program is run with a daybook, and its texts without what is another each time.
#pragma once

#include <catch2/catch.hpp>
#include <filesystem>
#include <regex>
#include <string>

#include "tests/support/program_folder.hpp"

namespace lacestay::tests {

inline const std::string policy_text = R"(policy "Corner shop"
edition 1, in force from 1 September 2026
money GBP
ask age 4 to 90 years, whole
ask weight 12 to 180 kg
piece stick always "Stick"
  flex  band 20 to 110 flex step 5 flex "Flex"
piece neck_guard optional "Neck guard"
chart flex_chart gives stick flex
  down weight
    under 40 kg:  35 to 45 flex
    the rest:     60 to 75 flex
  because "It must bend."
rule young_neck
  need neck_guard
  for age under 18
  because "Cuts to the neck are rare and can kill."
  safety
accept stick with flex within advised
accept neck_guard with condition new
)";
inline const std::string sticks =
    "item,make,model,price,on hand,flex (flex)\nST-1,Fennimoor,Ash,19.95,2,40\n"
    "ST-2,Lowmarch,Elm,24.95,1,40\nST-3,Lowmarch,Elm,24.95,1,70\n";
inline const std::string guards = "item,make,model,price,on hand,condition\nNG-1,Fennimoor,Anvil,23.95,4,new\n";

// A shop's folder, and commands run in it.
class RecordingShop : public ProgramFolder {
 public:
  RecordingShop() {
    write("shop.fitting", policy_text);
    std::filesystem::create_directory(folder() / "stock");
    write("stock/stick.csv", sticks);
    write("stock/neck_guard.csv", guards);
  }
};

// The text with `to` where `from` stands first.
inline std::string edited(std::string text, const std::string& from, const std::string& to) {
  const auto at = text.find(from);
  REQUIRE(at != text.npos);
  return text.replace(at, from.size(), to);
}

// A text without what is another each time.
inline std::string without_times(const std::string& text) {
  static const std::regex in_utc(R"(\d{4}-\d\d-\d\d[-0-9:. T]*Z)"), here(R"(\d{4}-\d\d-\d\d[-0-9:. T]*)"),
      hash("[0-9a-f]{64}");
  const auto without_utc = std::regex_replace(text, in_utc, "TIME UTC");
  return std::regex_replace(std::regex_replace(without_utc, here, "TIME "), hash, "HASH");
}

// Details of a player, as words of a command.
inline const std::string a_child = "age=9 weight='38 kg' --on 2026-10-03";

}  // namespace lacestay::tests
