#include "tests/grammar/read/dump.hpp"

#include <fmt/format.h>

namespace lacestay::tests {
namespace {

using namespace grammar;

template <typename... Fs>
struct Overloaded : Fs... {
  using Fs::operator()...;
};

std::string list(const std::string& head, const std::vector<std::string>& parts) {
  std::string out = "(" + head;
  for (const auto& part : parts)
    if (!part.empty()) out.append(" ").append(part);
  return out + ")";
}

std::string dump(const Word& word) { return word.text; }
std::string dump(const Phrase& phrase) {
  std::string out;
  for (const auto& word : phrase.words) out.append(out.empty() ? "" : " ").append(word.text);
  return "'" + out + "'";
}
std::string dump(const Text& text) { return "\"" + text.text + "\""; }

std::string dump(const Amount& amount) {
  auto number = fmt::format("{}", amount.numerator);
  if (amount.denominator != 1) number += fmt::format("/{}", amount.denominator);
  return number + (amount.unit ? std::string(spelling(*amount.unit)) : amount.currency);
}
std::string dump(const Quantity& quantity) {
  std::string out;
  for (const auto& part : quantity.parts) out.append(out.empty() ? "" : "+").append(dump(part));
  return out;
}
std::string dump(const Date& date) { return fmt::format("{:04}-{:02}-{:02}", date.year, date.month, date.day); }
std::string dump(const Value& value) {
  return std::visit([](const auto& held) { return dump(held); }, value);
}
std::string dump(const Interval& interval) { return dump(interval.from) + ".." + dump(interval.to); }
std::string dump(const LeftOpen& open) {
  std::string all;
  for (const auto& member : open.members) all += (all.empty() ? "" : "|") + dump(member);
  return open.members.empty() ? "any" : all;
}
std::string dump(const Cell& cell) {
  return std::visit([](const auto& held) { return dump(held); }, cell);
}

std::vector<std::string> dump(const Instead& instead) {
  static constexpr const char* kinds[] = {"step", "any", "refer", "order"};
  return {kinds[static_cast<int>(instead.kind)], instead.steps == 0 ? "" : std::to_string(instead.steps),
          instead.column ? dump(*instead.column) : "", instead.note ? dump(*instead.note) : ""};
}

std::string dump(const Expression& expression);
std::string dump(const Property& property);
std::string dump(const Head& head);

const char* word_of(Relation relation) {
  static constexpr const char* words[] = {"is", "under", "at_least", "over", "at_most", "before", "since", "from_to"};
  return words[static_cast<int>(relation)];
}

std::string dump(const Condition& condition) {
  std::vector<std::string> parts = {dump(condition.subject)};
  if (condition.first) parts.push_back(dump(*condition.first));
  if (condition.value) parts.push_back(dump(*condition.value));
  for (const auto& alternative : condition.alternatives) parts.push_back(dump(alternative));
  return list(word_of(condition.relation), parts);
}

template <typename T>
std::vector<std::string> dump_all(const std::vector<T>& all) {
  std::vector<std::string> out;
  for (const auto& each : all) out.push_back(dump(each));
  return out;
}

std::string when(const std::vector<Condition>& conditions) {
  return conditions.empty() ? "" : list("for", dump_all(conditions));
}

std::string dump(const Expression& expression) {
  using Kind = Expression::Kind;
  static constexpr const char* names[] = {
      "", "", "", "+", "-", "*", "/", "larger", "smaller", "whole_years", "up", "down", "nearest"};
  if (expression.kind == Kind::quantity) return dump(expression.quantity);
  if (expression.kind == Kind::date) return dump(expression.date);
  if (expression.kind == Kind::name) return dump(expression.name);
  auto parts = dump_all(expression.operands);
  if (expression.kind >= Kind::round_up) parts.push_back(dump(expression.quantity));
  return list(names[static_cast<int>(expression.kind)], parts);
}

std::string dump(const Domain& domain) {
  std::vector<std::string> parts;
  if (domain.interval) parts.push_back(dump(*domain.interval));
  if (domain.whole) parts.push_back("whole");
  if (domain.step) parts.push_back("step=" + dump(*domain.step));
  for (const auto& size : domain.sizes) parts.push_back(dump(size));
  for (const auto& member : domain.members)
    parts.push_back(member.text + (member.shown_as ? "=" + dump(*member.shown_as) : ""));
  for (const auto& unit : domain.shown_in) parts.push_back("shown=" + unit.text);
  const auto* kind = domain.kind == Domain::Kind::grades   ? "grades"
                     : domain.kind == Domain::Kind::choice ? "choice"
                     : domain.band                         ? "band"
                     : !domain.sizes.empty()               ? "sizes"
                                                           : "amount";
  return list(kind, parts);
}

std::string clauses(const Clauses& clauses) {
  std::string out = when(clauses.when);
  const auto add = [&](const std::string& part) { out.append(out.empty() ? "" : " ").append(part); };
  if (clauses.because) add("because=" + dump(*clauses.because));
  if (clauses.source) add("source=" + dump(*clauses.source));
  for (const auto& under : clauses.outranks) add("outranks=" + dump(under));
  if (clauses.safety) add("safety");
  return out;
}

std::string dump(const Head& head) {
  static constexpr const char* names[] = {"under", "at_most", "before", "rest", "members"};
  auto parts = dump_all(head.members);
  if (head.edge) parts.push_back(dump(*head.edge));
  return list(names[static_cast<int>(head.kind)], parts);
}

std::string dump(const Row& row) {
  auto parts = dump_all(row.cells);
  parts.insert(parts.begin(), dump(row.head));
  return list("row", parts);
}

std::string dump(const Property& property) {
  return list("property", {dump(property.name), dump(property.domain), property.label ? dump(*property.label) : ""});
}

std::string dump(const Action& action) {
  static constexpr const char* names[] = {"set",  "size",    "keep", "floor", "cap",    "step",
                                          "need", "suggest", "omit", "refer", "caution"};
  auto parts = dump_all(action.targets);
  if (action.kind == Action::Kind::step) parts.insert(parts.begin(), std::to_string(action.steps));
  if (action.answer) parts.push_back(dump(*action.answer));
  if (action.from) parts.push_back(dump(*action.from));
  if (action.to) parts.push_back("to " + dump(*action.to));
  if (action.never_under) parts.push_back("never under " + dump(*action.never_under));
  if (action.never_over) parts.push_back("never over " + dump(*action.never_over));
  if (action.text) parts.push_back(dump(*action.text));
  return list(names[static_cast<int>(action.kind)], parts);
}

std::string dump(const Reading& reading) {
  return list("reading", {dump(reading.phrase), reading.value ? dump(*reading.value) : "",
                          reading.words ? dump(*reading.words) : "", reading.blank ? "blank" : ""});
}

std::string dump(const LeavesWith& claim) {
  static constexpr const char* names[] = {"with", "without", "refer",   "caution", "no_caution",
                                          "next", "item",    "no_item", "total",   "total_at_most"};
  std::string others;
  for (const auto& other : claim.others) others += "|" + dump(other);
  return list(names[static_cast<int>(claim.kind)],
              {claim.phrase.words.empty() ? "" : dump(claim.phrase) + others, claim.value ? dump(*claim.value) : "",
               claim.text ? dump(*claim.text) : ""});
}

}  // namespace

std::string dump(const Item& item) {
  return std::visit(
      Overloaded{
          [](const Heading& form) {
            static constexpr const char* names[] = {"policy", "part", "pack"};
            return list(names[static_cast<int>(form.kind)], {dump(form.title)});
          },
          [](const Edition& form) {
            return list("edition", {dump(form.number), dump(form.from), form.to ? dump(*form.to) : ""});
          },
          [](const Money& form) { return list("money", {dump(form.code)}); },
          [](const AlongWith& form) {
            return list("along_with", {dump(form.file), when(form.when)});
          },
          [](const ReliesOn& form) {
            return list("relies_on", {dump(form.detail), form.whole ? "whole" : "", form.unit ? dump(*form.unit) : ""});
          },
          [](const Ask& form) {
            return list("ask", {dump(form.name), dump(form.domain), form.question ? dump(*form.question) : "",
                                form.may_change ? "may_change" : "", form.may_be_blank ? "may_be_blank" : "",
                                form.give_or_take ? "give_or_take=" + dump(*form.give_or_take) : ""});
          },
          [](const WorkOut& form) {
            return list("work_out", {dump(form.name), dump(form.formula)});
          },
          [](const Piece& form) {
            auto parts = dump_all(form.properties);
            const auto* presence = form.presence == Piece::Presence::always     ? "always"
                                   : form.presence == Piece::Presence::optional ? "optional"
                                                                                : "";
            parts.insert(parts.begin(),
                         {dump(form.name), presence, when(form.when), form.label ? dump(*form.label) : ""});
            return list("piece", parts);
          },
          [](const Chart& form) {
            std::vector<std::string> parts = {dump(form.name), dump(form.gives)};
            if (form.graded_as) parts.push_back(list("graded as", {dump(*form.graded_as)}));
            if (form.sheet) parts.push_back("from=" + dump(*form.sheet));
            if (form.across) {
              auto heads = dump_all(form.across->heads);
              heads.insert(heads.begin(), dump(form.across->detail));
              parts.push_back(list("across", heads));
            }
            if (form.down) parts.push_back(list("down", {dump(*form.down)}));
            for (const auto& row : form.rows) parts.push_back(dump(row));
            parts.push_back(clauses(form.clauses));
            return list("chart", parts);
          },
          [](const Rule& form) {
            return list("rule", {dump(form.name), form.action ? dump(*form.action) : "", clauses(form.clauses)});
          },
          [](const MakeSure& form) {
            static constexpr const char* names[] = {"needed", "left_out",    "at_least",   "at_most",
                                                    "within", "never_falls", "never_rises"};
            return list("make_sure",
                        {dump(form.subject), names[static_cast<int>(form.kind)], form.bound ? dump(*form.bound) : "",
                         form.detail ? dump(*form.detail) : "", when(form.when)});
          },
          [](const PieceGroup& form) {
            auto parts = dump_all(form.pieces);
            parts.insert(parts.begin(), dump(form.name));
            return list("group", parts);
          },
          [](const Nobody& form) {
            auto parts = dump_all(form.has);
            parts.push_back(dump(form.sentence));
            return list("nobody", parts);
          },
          [](const Protection& form) { return list("protection", dump_all(form.pieces)); },
          [](const GoesWith& form) {
            return list("goes_with", {dump(form.piece), dump(form.partner)});
          },
          [](const Accept& form) {
            std::vector<std::string> parts = {dump(form.piece)};
            static constexpr const char* relations[] = {"as_advised", "at_least", "at_most",     "within", "covers",
                                                        "in_date",    "is",       "new_or_used", "price",  "made"};
            static constexpr const char* goods[] = {"", "if_new", "if_used"};
            for (const auto& each : form.requirements)
              parts.push_back(list(relations[static_cast<int>(each.kind)],
                                   {each.column.words.empty() ? "" : dump(each.column),
                                    each.once_cut_to ? "once_cut_to=" + dump(*each.once_cut_to) : "",
                                    each.amount ? word_of(each.relation) : "", each.amount ? dump(*each.amount) : "",
                                    goods[static_cast<int>(each.goods)]}));
            parts.push_back(when(form.when));
            for (const auto& each : form.instead) parts.push_back(list("if_none", dump(each)));
            return list("accept", parts);
          },
          [](const Worth& form) {
            return list("worth", {dump(form.property), dump(form.amount), when(form.when)});
          },
          [](const Deal& form) {
            std::vector<std::string> parts = {dump(form.name), form.label ? dump(*form.label) : "", when(form.when)};
            if (form.lines) {
              std::vector<std::string> lines = {
                  form.lines->count ? dump(*form.lines->count) : "", form.lines->whole_kit ? "whole_kit" : "",
                  form.lines->one_make ? "one_make" : "", form.lines->make ? dump(*form.lines->make) : ""};
              for (const auto& each : form.lines->pieces)
                lines.push_back(each.tag ? list(word_of(each.relation), {dump(each.name), dump(*each.tag)})
                                         : dump(each.name));
              parts.push_back(list("for", lines));
            }
            if (form.gives) {
              auto given = dump_all(form.gives->pieces);
              given.insert(given.begin(), dump(form.gives->amount));
              parts.push_back(list(form.gives->together ? "together" : "off", given));
            }
            for (const auto& other : form.adds_to) parts.push_back("adds_to=" + dump(other));
            if (form.because) parts.push_back("because=" + dump(*form.because));
            return list("deal", parts);
          },
          [](const RoundPercentages& form) { return list("round_percentages", {form.bill ? "bill" : "each_line"}); },
          [](const OverTheLimit& form) {
            std::vector<std::string> parts;
            static constexpr const char* kinds[] = {"hire", "borrow", "buy_used", "put_off", "settle"};
            for (const auto& step : form.steps) {
              auto said = step.other ? dump(*step.other) : std::vector{dump(step.piece)};
              said.insert(said.end(), {step.cost ? dump(*step.cost) : "", when(step.when)});
              parts.push_back(list(kinds[static_cast<int>(step.kind)], said));
            }
            return list("over_the_limit", parts);
          },
          [](const PlayersOf& form) { return list("players_of", {dump(form.policy)}); },
          [](const Player& form) {
            std::vector<std::string> parts = {dump(form.name), form.text ? dump(*form.text) : ""};
            for (const auto& reading : form.readings) parts.push_back(dump(reading));
            for (const auto& owned : form.owns) parts.push_back("owns=" + dump(owned));
            if (form.can_spend) parts.push_back("can_spend=" + dump(*form.can_spend));
            for (const auto& claim : form.leaves_with) parts.push_back(dump(claim));
            return list("player", parts);
          }},
      item.form);
}

}  // namespace lacestay::tests
