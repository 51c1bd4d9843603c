#include "runtime/compare/json.hpp"

#include "runtime/advice/json.hpp"
#include "runtime/base/json_parts.hpp"
#include "runtime/compare/text.hpp"

namespace lacestay::runtime {

using Json = nlohmann::ordered_json;

namespace {

constexpr int format = 1;

Json edition_json(const EditionLine& line) {
  return Json{{"policy", line.policy}, {"edition", line.edition}, {"in_force", line.in_force}, {"file", line.file}};
}

Json details_json(const std::vector<std::pair<std::string, std::string>>& details) {
  return list_of(details, [](const auto& detail) { return Json{{"detail", detail.first}, {"value", detail.second}}; });
}

Json becomes_json(const BecomesLine& line) {
  const auto part = [](const Part& each) { return json_of(each); };
  return Json{{"where", line.where},
              {"before", line.before},
              {"now", line.after},
              {"settled", line.settled},
              {"player", line.settled ? details_json(line.complete) : Json(nullptr)},
              {"why_before", list_of(line.why_before, part)},
              {"why_now", list_of(line.why_after, part)}};
}

Json item_json(const std::optional<ItemLine>& item) {
  if (!item) return nullptr;
  return Json{{"values", list_of(item->values,
                                 [](const auto& value) {
                                   return Json{{"property", value.first}, {"value", value.second}};
                                 })},
              {"used", item->used},
              {"label", item->label},
              {"not_covered", item->not_covered},
              {"price", text_or_null(item->price)},
              {"made", text_or_null(item->made)},
              {"by", item->by}};
}

Json items_json(const ItemsBecomeLine& line) {
  return Json{{"where", line.where},
              {"some_no_longer", line.some_lost},
              {"some_now", line.some_gained},
              {"settled", line.settled},
              {"player", line.settled ? details_json(line.complete) : Json(nullptr)},
              {"no_longer", item_json(line.lost)},
              {"now", item_json(line.gained)}};
}

// `about` is the key of what changes.
template <typename What>
Json change_json(const ChangeLinesOf<What>& change, const char* about, Json (*becomes)(const What&)) {
  return Json{{about, change.answer},
              {"settled", change.settled},
              {"statements", list_of(change.statements,
                                     [&](const StatementLineOf<What>& statement) {
                                       return Json{{"who", statement.who},
                                                   {"but_not", statement.but_not},
                                                   {"share_of_space", statement.share},
                                                   {"becomes", list_of(statement.becomes, becomes)}};
                                     })},
              {"left_out", change.left_out}};
}

Json also_json(const AlsoLine& line) {
  return Json{{"about", line.about}, {"before", text_or_null(line.before)}, {"now", text_or_null(line.after)}};
}

Json shut_out_json(const ShutOutLine& line) {
  return Json{{"who", line.who},
              {"sentence", line.sentence},
              {"settled", line.settled},
              {"player", line.complete.empty() ? Json(nullptr) : details_json(line.complete)}};
}

Json people_json(const PeopleLines& people) {
  return Json{
      {"people", people.people},
      {"compared", people.compared},
      {"by_answer", list_of(people.by_answer,
                            [](const auto& each) {
                              return Json{{"answer", each.first}, {"people", each.second}};
                            })},
      {"changed",
       list_of(people.changed,
               [](const PeopleLines::Changed& changed) {
                 return Json{
                     {"player", changed.name},
                     {"answers", list_of(changed.answers, [](const PeopleLines::Becomes& becomes) {
                        return Json{{"answer", becomes.answer}, {"before", becomes.before}, {"now", becomes.after}};
                      })}};
               })},
      {"passed_over", people.passed_over},
      {"outside", people.outside}};
}

}  // namespace

Json json_of(const Comparison& comparison) {
  return Json{
      {"format", format},
      {"before", edition_json(comparison.earlier)},
      {"now", edition_json(comparison.later)},
      {"shared_players", !comparison.apart},
      {"shut_out_now", list_of(comparison.shut_out_now, shut_out_json)},
      {"let_in_now", list_of(comparison.let_in_now, shut_out_json)},
      {"changes", list_of(comparison.changes,
                          [](const ChangeLines& change) { return change_json(change, "answer", becomes_json); })},
      {"handed_over",
       list_of(comparison.items, [](const ItemsLines& items) { return change_json(items, "piece", items_json); })},
      {"same", list_of(comparison.same, [](const SameLine& line) { return text_of(line); })},
      {"asked", list_of(comparison.asked, also_json)},
      {"texts", list_of(comparison.texts, also_json)},
      {"held_to", list_of(comparison.held_to, also_json)},
      {"shop", list_of(comparison.shop, also_json)},
      {"people", comparison.people ? people_json(*comparison.people) : Json(nullptr)}};
}

}  // namespace lacestay::runtime
