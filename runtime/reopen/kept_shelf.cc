#include "runtime/reopen/kept_shelf.hpp"

#include <algorithm>
#include <nlohmann/json.hpp>

#include "runtime/base/json_parts.hpp"

namespace lacestay::runtime {

using Json = nlohmann::json;

namespace {

Json json_of(const ItemValue& value) {
  if (!value.known) return nullptr;
  return Json::array({value.members, value.low, value.high});
}

ItemValue value_from(const Json& json) {
  if (json.is_null()) return {};
  return {true, json.at(0).get<std::uint64_t>(), json.at(1).get<std::int64_t>(), json.at(2).get<std::int64_t>()};
}

Json json_of(const StockItem& item) {
  auto values = Json::array(), covers = Json::array();
  for (const auto& value : item.values) values.push_back(json_of(value));
  for (const auto& value : item.covers) covers.push_back(json_of(value));
  Json kept{{"item", item.number},
            {"make", item.make},
            {"model", item.model},
            {"price", item.price},
            {"there", item.on_hand > 0},
            {"certified_until", item.certified_until ? Json(*item.certified_until) : Json(nullptr)},
            {"used", item.used},
            {"values", values},
            {"covers", covers}};
  if (item.made) kept["made"] = *item.made;  // shelves of before lack it
  if (!item.goes_with.empty()) kept["goes_with"] = item.goes_with;
  return kept;
}

StockItem item_from(const Json& json) {
  StockItem item;
  item.number = json.at("item").get<std::string>();
  item.make = json.at("make").get<std::string>();
  item.model = json.at("model").get<std::string>();
  item.price = json.at("price").get<std::int64_t>();
  item.on_hand = json.at("there").get<bool>() ? 1 : 0;
  if (!json.at("certified_until").is_null()) item.certified_until = json.at("certified_until").get<std::int64_t>();
  if (const auto made = json.find("made"); made != json.end()) item.made = made->get<std::int64_t>();
  if (const auto with = json.find("goes_with"); with != json.end()) item.goes_with = with->get<std::string>();
  item.used = json.at("used").get<bool>();
  for (const auto& value : json.at("values")) item.values.push_back(value_from(value));
  for (const auto& value : json.at("covers")) item.covers.push_back(value_from(value));
  return item;
}

// A value that this property, or detail, can have at all.
bool can_be(const ItemValue& value, const compiler::Scale& scale) {
  if (!value.known) return true;
  if (!scale.has_members()) return value.low <= value.high;
  const auto count = scale.members.size();
  return value.members != 0 && (count >= 64 || value.members >> count == 0);
}

}  // namespace

std::vector<std::string> shelves_of(const compiler::Policy& policy, const Stock& stock,
                                    const std::vector<std::size_t>& items) {
  std::vector<std::string> shelves;
  for (std::size_t i = 0; i < items.size();) {
    const auto piece = stock.items[items[i]].piece;
    auto all = Json::array();
    for (; i < items.size() && stock.items[items[i]].piece == piece; ++i) all.push_back(json_of(stock.items[items[i]]));
    shelves.push_back(compact_text(Json{{"piece", policy.pieces[piece].name}, {"items", std::move(all)}}));
  }
  return shelves;
}

std::optional<Stock> stock_of_shelves(const compiler::Policy& policy, const std::vector<std::string>& shelves) {
  Stock stock;
  stock.covered = covered_columns(policy);
  std::vector<std::vector<StockItem>> by_piece(policy.pieces.size());
  try {
    for (const auto& text : shelves) {
      const auto shelf = Json::parse(text);
      const auto found = std::find_if(policy.pieces.begin(), policy.pieces.end(),
                                      [&](const auto& each) { return each.name == shelf.at("piece"); });
      if (found == policy.pieces.end()) return std::nullopt;
      const auto piece = static_cast<std::uint32_t>(found - policy.pieces.begin());
      for (const auto& each : shelf.at("items")) {
        auto item = item_from(each);
        item.piece = piece;
        bool good = item.price > 0 && item.values.size() == found->properties &&
                    item.covers.size() == stock.covered[piece].size();
        for (std::size_t i = 0; good && i < item.values.size(); ++i)
          good = can_be(item.values[i], policy.properties[found->first_property + i].scale);
        for (std::size_t i = 0; good && i < item.covers.size(); ++i)
          good = can_be(item.covers[i], policy.scale_of(stock.covered[piece][i]));
        if (!good) return std::nullopt;
        by_piece[piece].push_back(std::move(item));
      }
    }
  } catch (const Json::exception&) {
    return std::nullopt;
  }
  for (auto& items : by_piece) {
    stock.first.push_back(stock.items.size());
    std::move(items.begin(), items.end(), std::back_inserter(stock.items));
  }
  stock.first.push_back(stock.items.size());
  return stock;
}

}  // namespace lacestay::runtime
