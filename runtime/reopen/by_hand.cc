#include "runtime/reopen/by_hand.hpp"

#include <fmt/format.h>
#include <fmt/ranges.h>

#include <nlohmann/json.hpp>

#include "compiler/values/days.hpp"
#include "compiler/values/names.hpp"
#include "runtime/base/json_parts.hpp"
#include "runtime/base/layout.hpp"
#include "runtime/base/table_words.hpp"

namespace lacestay::runtime {

using Json = nlohmann::json;

Result<std::vector<std::string>> pieces_named(const compiler::Policy& policy, const std::string& what) {
  const auto words = "_" + plain_name(what) + "_";
  std::vector<std::string> named, all;
  for (const auto& piece : policy.pieces) {
    all.push_back(piece.name);
    for (const auto& name : {piece.name, piece.label})
      if (words.find("_" + plain_name(name) + "_") != std::string::npos) {
        named.push_back(piece.name);
        break;
      }
  }
  if (named.empty())
    return Problem{"", fmt::format("'{}' names no piece of that policy; there are {}", what, compiler::listed(all))};
  return named;
}

NewEntry entry_of(const compiler::Policy& policy, const std::string& sha256, const FittedByHand& fitted) {
  NewEntry made;
  made.kind = EntryKind::by_hand;
  made.policy = sha256;
  Json content = {{"format", content_form},  {"day", compiler::iso_day(fitted.day)},
                  {"nobody", fitted.nobody}, {"what", fitted.what},
                  {"by", fitted.by},         {"why", fitted.why}};
  put_player(fitted, content);
  made.content = compact_text(content);
  for (const auto& piece : pieces_named(policy, fitted.what).value()) made.names.push_back("piece " + piece);
  return made;
}

std::optional<FittedByHand> fitted_by_hand_in(const Entry& entry) {
  if (entry.kind != EntryKind::by_hand || !entry.content) return std::nullopt;
  try {
    const auto json = Json::parse(*entry.content);
    const auto day = compiler::day_from_iso(json.at("day").get<std::string>());
    if (!day) return std::nullopt;
    return FittedByHand{player_in(json),
                        *day,
                        json.at("nobody").get<std::vector<std::string>>(),
                        json.at("what").get<std::string>(),
                        json.at("by").get<std::string>(),
                        json.at("why").get<std::string>()};
  } catch (const Json::exception&) {
    return std::nullopt;
  }
}

std::string text_of(const FittedByHand& fitted) {
  std::string out = "Told\n";
  for (const auto& detail : fitted.details) out += wrapped(detail.name + " " + detail.text, 4, "  -");
  if (!fitted.owns.empty()) out += wrapped("owns " + compiler::listed(fitted.owns), 4, "  -");
  out += "\nThe policy has nobody like that\n";
  for (const auto& sentence : fitted.nobody) out += wrapped(sentence, 4, "  -");
  out += "\nFitted by hand\n" + wrapped(fitted.what, 4, "  -") + wrapped("by " + fitted.by, 4, "  -") +
         wrapped("because " + fitted.why, 4, "  -");
  return out + "\n" + wrapped(by_hand_caution, 0);
}

}  // namespace lacestay::runtime
