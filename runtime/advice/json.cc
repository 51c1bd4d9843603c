#include "runtime/advice/json.hpp"

#include "grammar/text/csv.hpp"
#include "runtime/advice/words.hpp"
#include "runtime/base/json_parts.hpp"

namespace lacestay::runtime {

using compiler::Role;
using Json = nlohmann::ordered_json;

namespace {

constexpr int format = 1;

const char* word_of(Standing standing) {
  switch (standing) {
    case Standing::answered: return "answered";
    case Standing::referred: return "referred";
    case Standing::gap: return "gap";
    case Standing::clash: return "clash";
    case Standing::needed: return "needed";
    case Standing::suggested: return "suggested";
    case Standing::left_out: return "left_out";
    case Standing::not_in_kit: return "not_in_kit";
    case Standing::spoken: return "said";
    case Standing::silent: return "not_said";
  }
  return "";
}

const char* word_of(Role::Kind role) {
  switch (role) {
    case Role::Kind::decides: return "decides";
    case Role::Kind::lifts: return "lifts";
    case Role::Kind::idle: return "idle";
    case Role::Kind::silenced: return "silenced";
    case Role::Kind::overruled: return "overruled";
    case Role::Kind::clashes: return "clashes";
  }
  return "";
}

Json looked_at(const std::vector<LookedAt>& all) {
  return list_of(all, [](const LookedAt& looked) {
    return Json{{"detail", looked.detail}, {"value", looked.value}, {"edge", text_or_null(looked.edge)}};
  });
}

// Where something stands in a spreadsheet, its column too.
Json in_column(const std::string& column, Json told) {
  if (!column.empty()) told["column"] = column;
  return told;
}

Json derived_json(const Part& part) {
  return list_of(part.derived, [](const Derivation& derived) {
    return in_column(derived.column, Json{{"detail", derived.detail},
                                          {"value", derived.value},
                                          {"chart", text_or_null(derived.chart)},
                                          {"because", text_or_null(derived.because)},
                                          {"source", text_or_null(derived.source)},
                                          {"file", derived.file},
                                          {"line", derived.line},
                                          {"looked_at", looked_at(derived.looked_at)}});
  });
}

Json answer_json(const compiler::Policy& policy, const Answer& answer) {
  const auto possible = possible_in_words(policy, answer);
  const auto change_json = [&](const WhatIf& change) {
    return Json{
        {"detail", change.detail}, {"value", change.value}, {"answer", text_of_outcome(policy, answer, change.answer)}};
  };
  return Json{{"certain", answer.certain},
              {"standing", answer.certain ? Json(word_of(answer.standing)) : Json(nullptr)},
              {"answer", answer.certain ? Json(possible.front()) : Json(nullptr)},
              {"possible", possible},
              {"exact", answer.exact},
              {"parts", list_of(answer.parts, [](const Part& part) { return json_of(part); })},
              {"what_if", answer.what_if ? change_json(*answer.what_if) : Json(nullptr)},
              {"measure_again", list_of(answer.measure_again, change_json)}};
}

Json property_json(const compiler::Policy& policy, const PropertyAdvice& property) {
  return Json{{"property", property.name}, {"label", property.label}, {"answer", answer_json(policy, property.answer)}};
}

Json piece_json(const compiler::Policy& policy, const PieceAdvice& piece) {
  return Json{
      {"piece", piece.name},
      {"label", piece.label},
      {"owned", piece.owned},
      {"may_be_in_kit", piece.may_be_in_kit},
      {"presence", answer_json(policy, piece.presence)},
      {"properties", list_of(piece.properties, [&](const auto& property) { return property_json(policy, property); })}};
}

Json caution_json(const Caution& held) {
  const auto& caution = held.part;
  return Json{{"certain", held.certain},
              {"text", caution.says},
              {"rule", caution.rule},
              {"because", text_or_null(caution.because)},
              {"source", text_or_null(caution.source)},
              {"safety", caution.safety},
              {"file", caution.file},
              {"line", caution.line},
              {"looked_at", looked_at(caution.looked_at)},
              {"derived", derived_json(caution)}};
}

Json place_json(const grammar::Span& span) {
  if (!span.source) return nullptr;
  const auto begin = span.source->place(span.begin), end = span.source->place(span.end);
  return in_column(span.source->is_sheet() ? grammar::column_letters(span) : "", Json{{"file", span.source->name()},
                                                                                      {"line", begin.line},
                                                                                      {"character", begin.column},
                                                                                      {"end_line", end.line},
                                                                                      {"end_character", end.column}});
}

}  // namespace

Json json_of(const Part& part) {
  return in_column(part.column, Json{{"role", word_of(part.role)},
                                     {"rule", part.rule},
                                     {"says", part.says},
                                     {"because", text_or_null(part.because)},
                                     {"source", text_or_null(part.source)},
                                     {"safety", part.safety},
                                     {"by", text_or_null(part.by)},
                                     {"file", part.file},
                                     {"line", part.line},
                                     {"looked_at", looked_at(part.looked_at)},
                                     {"derived", derived_json(part)}});
}

Json json_of(const Advice& advice) {
  return Json{
      {"format", format},
      {"policy", advice.policy},
      {"edition", advice.edition},
      {"day", advice.day},
      {"in_force", advice.in_force},
      {"outside_edition", advice.outside_edition},
      {"certain", advice.certain},
      {"faults", advice.faults},
      {"details", list_of(advice.details,
                          [](const auto& detail) {
                            return Json{{"detail", detail.first}, {"value", detail.second}};
                          })},
      {"not_known", advice.not_known},
      {"still_to_ask", advice.still_to_ask},
      {"take_next", advice.take_next ? Json(*advice.take_next) : Json(nullptr)},
      {"pieces", list_of(advice.pieces, [&](const auto& piece) { return piece_json(*advice.given_by, piece); })},
      {"cautions", list_of(advice.cautions, caution_json)},
      {"entry", entry_or_null(advice.entry)}};
}

Json json_of(const Problem& problem) {
  return Json{{"code", problem.code},
              {"message", problem.message},
              {"place", place_json(problem.where)},
              {"notes", list_of(problem.notes,
                                [](const Note& note) {
                                  return Json{{"text", note.text}, {"place", place_json(note.span)}};
                                })},
              {"hint", text_or_null(problem.hint)},
              {"ready_text", text_or_null(problem.ready_text)}};
}

std::string json_text(const Json& json) { return json.dump(2, ' ', false, Json::error_handler_t::replace) + "\n"; }

}  // namespace lacestay::runtime
