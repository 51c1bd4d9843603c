#include "runtime/chart/chart_json.hpp"

#include "compiler/law/law.hpp"
#include "runtime/advice/words.hpp"
#include "runtime/base/json_parts.hpp"

namespace lacestay::runtime {

using compiler::Dimension;
using compiler::Effect;
using compiler::Policy;
using compiler::Presence;
using compiler::RuleText;
using compiler::Scale;
using compiler::Table;
using Json = nlohmann::ordered_json;

namespace {

constexpr int format = 1;

// What a column's ticks count; quantity.hpp lists their sizes.
const char* word_of(const Scale& scale) {
  if (scale.kind == Scale::Kind::grades) return "grades";
  if (scale.kind == Scale::Kind::choice) return "choice";
  switch (scale.dimension) {
    case Dimension::length: return "length";
    case Dimension::weight: return "weight";
    case Dimension::age: return "age";
    case Dimension::flex: return "flex";
    case Dimension::money: return "money";
    case Dimension::number: return "number";
    case Dimension::day: return "day";
  }
  return "";
}

const char* word_of(Table::Kind kind) {
  switch (kind) {
    case Table::Kind::property: return "property";
    case Table::Kind::piece: return "piece";
    case Table::Kind::caution: return "caution";
    case Table::Kind::detail: return "detail";
    case Table::Kind::shop_line: break;
  }
  return "";
}

const char* word_of(Presence presence) {
  switch (presence) {
    case Presence::always: return "always";
    case Presence::optional: return "optional";
    case Presence::conditional: return "conditional";
  }
  return "";
}

const char* word_of(RuleText::Kind kind) {
  switch (kind) {
    case RuleText::Kind::chart: return "chart";
    case RuleText::Kind::rule: return "rule";
    case RuleText::Kind::declaration: return "declaration";
  }
  return "";
}

const char* word_of(Effect effect) {
  switch (effect) {
    case Effect::base: return "base";
    case Effect::keep: return "keep";
    case Effect::floor: return "floor";
    case Effect::cap: return "cap";
    case Effect::step: return "step";
    case Effect::refer: return "refer";
    case Effect::present: return "present";
    case Effect::need: return "need";
    case Effect::suggest: return "suggest";
    case Effect::omit: return "omit";
    case Effect::caution: return "caution";
    case Effect::value: return "value";
    case Effect::applies: break;
  }
  return "";
}

class Writer {
 public:
  explicit Writer(const Policy& policy) : policy_(policy), tables_(policy.tables) {}

  Json columns() const {
    Json all = Json::array();
    for (std::size_t i = 0; i < tables_.columns.size(); ++i) all.push_back(column(static_cast<compiler::ColumnId>(i)));
    return all;
  }

  Json rules() const {
    Json all = Json::array();
    for (const auto& rule : policy_.rules)
      if (rule.effect != Effect::applies)
        all.push_back(Json{{"rule", rule.name},
                           {"kind", word_of(rule.kind)},
                           {"because", text_or_null(rule.because)},
                           {"source", text_or_null(rule.source)},
                           {"safety", rule.safety},
                           {"file", rule.span.source->name()},
                           {"line", rule.span.source->place(rule.span.begin).line}});
    return all;
  }

  Json shut_out() const {
    Json all = Json::array();
    for (const auto& each : tables_.shut_out) {
      const auto& line = policy_.nobody[each.line];
      all.push_back(Json{{"cells", cells(each.box)},
                         {"sentence", line.sentence},
                         {"file", line.span.source->name()},
                         {"line", line.span.source->place(line.span.begin).line}});
    }
    return all;
  }

  Json tables() const {
    Json all = Json::array();
    for (const auto& table : tables_.tables)
      if (table.kind != Table::Kind::shop_line) all.push_back(table_json(table));  // no advice turns on those
    return all;
  }

 private:
  Json column(compiler::ColumnId id) const {
    const auto& known = tables_.columns[id];
    const auto& scale = policy_.scale_of(id);
    Json cuts = Json::array(), places = Json::array();
    for (std::uint32_t i = 0; i < known.cuts.size(); ++i)
      cuts.push_back(Json{{"at", known.cuts[i].at},
                          {"after", known.cuts[i].after},
                          {"text", policy_.write_places(id, {{i + 1, known.places - 1}})}});
    for (std::uint32_t i = 0; i < known.places; ++i) places.push_back(policy_.write_places(id, {{i, i}}));
    return Json{{"detail", policy_.name_of(id)},
                {"comes", known.worked_out ? "worked_out" : "asked"},
                {"counts", word_of(scale)},
                {"asked", known.worked_out ? Json(nullptr) : asked(known.detail)},
                {"rests_on", known.worked_out ? inputs(known.detail) : Json::array()},
                {"members", scale.members},
                {"cuts", std::move(cuts)},
                {"places", std::move(places)}};
  }

  Json asked(std::size_t detail) const {
    const auto& domain = tables_.asked[detail];
    const auto& text = policy_.details[detail];
    return Json{{"question", text_or_null(text.question)},
                {"lowest", domain.lowest},
                {"highest", domain.highest},
                {"grain", domain.grain},
                {"from", text.scale.write_edge(domain.lowest)},
                {"to", text.scale.write_edge(domain.highest)},
                {"may_change", text.may_change},
                {"may_be_blank", text.may_be_blank}};
  }

  Json inputs(std::size_t worked_out) const {
    Json all = Json::array();
    for (const auto input : tables_.worked_out[worked_out].inputs) all.push_back(policy_.details[input].name);
    return all;
  }

  Json table_json(const Table& table) const {
    Json columns = Json::array(), rows = Json::array(), outranks = Json::array();
    for (const auto column : table.columns) columns.push_back(policy_.name_of(column));
    for (const auto& row : table.rows) rows.push_back(row_json(table, row));
    for (const auto& [over, under] : table.outranks)
      outranks.push_back(Json{{"over", policy_.rules[over].name}, {"under", policy_.rules[under].name}});
    return Json{{"kind", word_of(table.kind)},   {"target", target(table)}, {"answers", answers(table)},
                {"columns", std::move(columns)}, {"rows", std::move(rows)}, {"outranks", std::move(outranks)}};
  }

  Json target(const Table& table) const {
    Json target{{"piece", nullptr},   {"property", nullptr}, {"detail", nullptr},
                {"caution", nullptr}, {"label", nullptr},    {"presence", nullptr}};
    const auto name_piece = [&](std::size_t piece) {
      target["piece"] = policy_.pieces[piece].name;
      target["presence"] = word_of(tables_.presence[piece]);
    };
    switch (table.kind) {
      case Table::Kind::property:
        name_piece(policy_.properties[table.target].piece);
        target["property"] = policy_.properties[table.target].name;
        target["label"] = policy_.properties[table.target].label;
        break;
      case Table::Kind::piece:
        name_piece(table.target);
        target["label"] = policy_.pieces[table.target].label;
        break;
      case Table::Kind::caution: target["caution"] = policy_.rules[policy_.cautions[table.target]].caution; break;
      case Table::Kind::detail: target["detail"] = policy_.worked_out[table.target].name; break;
      case Table::Kind::shop_line: break;
    }
    return target;
  }

  // A property's steps by their place in the list; what other tables can answer follows from their kind.
  Json answers(const Table& table) const {
    if (table.kind != Table::Kind::property) return nullptr;
    const auto& space = tables_.answers[table.target];
    Json steps = Json::array();
    for (std::uint32_t step = 0; step < space.steps; ++step)
      steps.push_back(policy_.properties[table.target].write(step, step));
    return Json{{"ordered", space.ordered}, {"band", space.band}, {"steps", std::move(steps)}};
  }

  Json cells(const compiler::Box& box) const {
    Json all = Json::array();
    for (const auto& cell : box) {
      Json places = Json::array();
      for (const auto& range : cell.places) places.push_back(Json{{"first", range.first}, {"last", range.last}});
      all.push_back(Json{{"column", policy_.name_of(cell.column)},
                         {"places", std::move(places)},
                         {"text", policy_.write_places(cell.column, cell.places)}});
    }
    return all;
  }

  Json row_json(const Table& table, const compiler::Row& row) const {
    const auto& rule = policy_.rules[row.rule];
    const auto& span = row.entry < rule.entries.size() ? rule.entries[row.entry] : rule.span;
    const bool answers =
        table.kind == Table::Kind::detail || compiler::names_steps(row.effect) || compiler::moves_base(row.effect);
    const bool open = table.kind == Table::Kind::property && compiler::leaves_open(row.low);
    return Json{{"rule", rule.name},
                {"effect", word_of(row.effect)},
                {"cells", cells(row.box)},
                {"low", answers && !open ? Json(row.low) : Json(nullptr)},
                {"high", answers && !open ? Json(row.high) : Json(nullptr)},
                {"any_of", open ? any_of(table, row) : Json(nullptr)},
                {"text", answers ? Json(answer_text(table, row)) : Json(nullptr)},
                {"safety", row.safety},
                {"file", span.source->name()},
                {"line", span.source->place(span.begin).line}};
  }

  // The members of a choice that a row leaves open, by their places.
  Json any_of(const Table& table, const compiler::Row& row) const {
    Json all = Json::array();
    for (std::uint32_t step = 0; step < tables_.answers[table.target].steps; ++step)
      if (compiler::has_member(compiler::members_of(row.low), step)) all.push_back(step);
    return all;
  }

  std::string answer_text(const Table& table, const compiler::Row& row) const {
    if (compiler::moves_base(row.effect)) return says(policy_, table, row);
    return table.kind == Table::Kind::detail ? policy_.worked_out[table.target].scale.write(row.low)
                                             : policy_.properties[table.target].write(row.low, row.high);
  }

  const Policy& policy_;
  const compiler::Tables& tables_;
};

}  // namespace

Json chart_json(const Policy& policy) {
  const auto day = [](std::int64_t number) { return compiler::show(number, Dimension::day, {}); };
  const Writer writer(policy);
  return Json{{"format", format},
              {"policy", policy.title},
              {"edition", policy.edition},
              {"in_force_from", day(policy.in_force_from)},
              {"in_force_to", policy.in_force_to ? Json(day(*policy.in_force_to)) : Json(nullptr)},
              {"currency", text_or_null(policy.currency)},
              {"columns", writer.columns()},
              {"rules", writer.rules()},
              {"shut_out", writer.shut_out()},
              {"tables", writer.tables()}};
}

}  // namespace lacestay::runtime
