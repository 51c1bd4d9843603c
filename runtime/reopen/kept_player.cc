#include "runtime/reopen/kept_player.hpp"

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
