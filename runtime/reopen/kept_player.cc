#include "runtime/reopen/kept_player.hpp"

#include <fmt/format.h>

#include <algorithm>

#include "runtime/base/json_parts.hpp"

namespace lacestay::runtime {

KeptPlayer kept_player(const compiler::Policy& policy, const Player& player) {
  KeptPlayer kept;
  for (std::size_t i = 0; i < policy.details.size(); ++i)
    if (const auto value = player.readings[i])
      kept.details.push_back({policy.details[i].name, policy.details[i].scale.write_exactly(*value), *value});
  for (const auto piece : player.owns) kept.owns.push_back(policy.pieces[piece].name);
  return kept;
}

Result<Player> player_of(const compiler::Policy& policy, const KeptPlayer& kept) {
  Player player;
  player.readings.resize(policy.details.size());
  for (const auto& detail : kept.details) {
    const auto found = std::find_if(policy.details.begin(), policy.details.end(),
                                    [&](const auto& each) { return each.name == detail.name; });
    const auto at = static_cast<std::size_t>(found - policy.details.begin());
    const bool fits = found != policy.details.end() && detail.value >= policy.tables.asked[at].lowest &&
                      detail.value <= policy.tables.asked[at].highest &&
                      (detail.value - policy.tables.asked[at].lowest) % policy.tables.asked[at].grain == 0;
    if (!fits) return Problem{"", fmt::format("its policy can't have been told {} {}", detail.name, detail.text)};
    player.readings[at] = detail.value;
  }
  for (std::uint32_t i = 0; i < policy.pieces.size(); ++i)
    if (std::find(kept.owns.begin(), kept.owns.end(), policy.pieces[i].name) != kept.owns.end())
      player.owns.push_back(i);
  return player;
}

void put_player(const KeptPlayer& player, nlohmann::json& content) {
  auto details = nlohmann::json::array();
  for (const auto& detail : player.details)
    details.push_back({{"name", detail.name}, {"text", detail.text}, {"value", detail.value}});
  content["details"] = std::move(details);
  content["owns"] = player.owns;
}

KeptPlayer player_in(const nlohmann::json& content) {
  KeptPlayer kept;
  for (const auto& detail : content.at("details"))
    kept.details.push_back({detail.at("name").get<std::string>(), detail.at("text").get<std::string>(),
                            detail.at("value").get<std::int64_t>()});
  kept.owns = content.at("owns").get<std::vector<std::string>>();
  return kept;
}

nlohmann::ordered_json json_of_details(const KeptPlayer& player) {
  return list_of(player.details, [](const auto& detail) {
    return nlohmann::ordered_json{{"detail", detail.name}, {"value", detail.text}};
  });
}

}  // namespace lacestay::runtime
