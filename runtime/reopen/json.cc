#include "runtime/advice/json.hpp"

#include "compiler/values/days.hpp"
#include "runtime/base/json_parts.hpp"
#include "runtime/quote/json.hpp"
#include "runtime/reopen/reopened.hpp"

namespace lacestay::runtime {

using Json = nlohmann::ordered_json;

namespace {

Json json_of_others(const std::vector<AnsweredAgain::Other>& others) {
  return list_of(others, [](const auto& other) {
    return Json{{"about", other.about}, {"before", text_or_null(other.before)}, {"now", text_or_null(other.now)}};
  });
}

Json json_of_handed_over(const HandedOver& said) {
  return Json{{"about", said.about()},
              {"advised", said.advised},
              {"what", said.what},
              {"by", said.by},
              {"why", said.why},
              {"safety_rules", said.safety},
              {"protection", said.protection},
              {"broken_rules", list_of(said.broken, [](const auto& each) {
                 return Json{{"rule", each.rule}, {"asks", each.asks}};
               })}};
}

Json parts_json(const Advice& advice, const std::string& about) {
  auto all = Json::array();
  for (const auto& part : parts_of(advice, about))
    if (speaks(part)) all.push_back(json_of(part));
  return all;
}

Json json_of_under(const Reopened& opened, const UnderPolicy& under) {
  const auto others = under.answered ? under.answered->others : std::vector<AnsweredAgain::Other>();
  return Json{{"file", under.file},
              {"policy", under.title},
              {"edition", under.edition},
              {"day", under.day},
              {"left_blank", under.passed_over},
              {"nobody", under.nobody},
              {"changes", list_of(others, [&](const auto& other) {
                 return Json{
                     {"about", other.about},
                     {"before", text_or_null(other.before)},
                     {"now", text_or_null(other.now)},
                     {"why_before", opened.again ? parts_json(opened.again->advice, other.about) : Json::array()},
                     {"why_now", parts_json(under.answered->advice, other.about)}};
               })}};
}

Json json_of_record(const KeptAdvice& kept) {
  Json out = {{"day", compiler::iso_day(kept.day)},
              {"details", json_of_details(kept)},
              {"owns", kept.owns},
              {"answers", list_of(kept.answers,
                                  [](const auto& answer) {
                                    return Json{{"about", answer.about},         {"possible", answer.possible},
                                                {"decided", answer.decided},     {"outranked", answer.outranked},
                                                {"overruled", answer.overruled}, {"for_fitter", answer.for_fitter},
                                                {"near_edge", answer.near_edge}};
                                  })},
              {"quote", nullptr}};
  if (kept.quote)
    out["quote"] = {{"currency", text_or_null(kept.quote->currency)},
                    {"lines", list_of(kept.quote->lines,
                                      [](const auto& line) {
                                        return Json{{"piece", line.piece}, {"item", line.item}, {"price", line.price}};
                                      })},
                    {"total", kept.quote->total},
                    {"limit", kept.quote->limit ? Json(*kept.quote->limit) : Json(nullptr)}};
  return out;
}

Json json_of_by_hand(const FittedByHand& fitted) {
  return {{"day", compiler::iso_day(fitted.day)},
          {"details", json_of_details(fitted)},
          {"owns", fitted.owns},
          {"nobody", fitted.nobody},
          {"what", fitted.what},
          {"by", fitted.by},
          {"why", fitted.why}};
}

}  // namespace

Json json_of(const Reopened& opened) {
  const auto& entry = opened.entry;
  Json out = {{"format", 1},
              {"entry", {{"number", entry.number}, {"hash", entry.hash}}},
              {"at", entry.at},
              {"kind", word_of(entry.kind)},
              {"policy", nullptr},
              {"stock", entry.stock ? Json(*entry.stock) : Json(nullptr)},
              {"served_by", opened.kept && opened.kept->served_by ? Json(*opened.kept->served_by) : Json(nullptr)},
              {"about", entry.about ? Json(*entry.about) : Json(nullptr)},
              {"altered", opened.altered},
              {"sold", opened.sold},
              {"given_back", opened.given_back},
              {"erased", opened.erased()},
              {"same_answer", opened.kept && !opened.as_recorded() ? Json(opened.same_answer()) : Json(nullptr)},
              {"same_bytes", opened.again ? Json(opened.again->same_bytes) : Json(nullptr)},
              {"others", opened.again ? json_of_others(opened.again->others) : Json::array()},
              {"why_not", text_or_null(opened.why_not)},
              {"advice", opened.again ? json_of(opened.again->advice) : Json(nullptr)},
              {"quote", opened.again && opened.again->quote ? json_of(*opened.again->quote) : Json(nullptr)},
              {"handed_over", Json::array()},
              {"erasure", nullptr},
              {"under", opened.under ? json_of_under(opened, *opened.under) : Json(nullptr)}};
  if (opened.policy)
    out["policy"] = {
        {"title", opened.policy->title}, {"edition", opened.policy->edition}, {"seal", opened.policy->seal}};
  if (opened.handed_over) out["handed_over"].push_back(json_of_handed_over(*opened.handed_over));
  for (const auto& said : opened.instead) out["handed_over"].push_back(json_of_handed_over(said));
  if (opened.by_hand) out["by_hand"] = json_of_by_hand(*opened.by_hand);
  if (opened.erasure) out["erasure"] = {{"erased", opened.erasure->erased}, {"why", opened.erasure->why}};
  if (opened.as_recorded()) out["recorded"] = json_of_record(*opened.kept);
  return out;
}

}  // namespace lacestay::runtime
