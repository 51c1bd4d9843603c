#include "runtime/rehearse/slips.hpp"

#include <fmt/format.h>
#include <fmt/ranges.h>

#include <algorithm>
#include <map>

#include "compiler/values/days.hpp"
#include "grammar/read/sheet.hpp"

namespace lacestay::runtime {

using compiler::Scale;
using grammar::Span;
using Kind = Slip::Kind;

namespace {

constexpr int most_digits = 13;  // of a number with its unit, as a person might write it

class Planting {
 public:
  explicit Planting(const compiler::Policy& policy) : policy_(policy) {}

  std::vector<Slip> run() {
    const auto files = grammar::read_again(policy_.sources);
    for (const auto& file : files)
      for (const auto& item : file.items)
        if (const auto* group = std::get_if<grammar::PieceGroup>(&item.form))
          one_of_[group->name.text] = group->pieces.front().joined();
    for (const auto& file : files) {
      for (const auto& item : file.items) {
        item_ = &item;
        std::visit([&](const auto& form) { plant(form); }, item.form);
      }
    }
    std::map<const grammar::Source*, std::size_t> rank;
    for (const auto& source : policy_.sources) rank.emplace(source.get(), rank.size());
    std::stable_sort(slips_.begin(), slips_.end(), [&](const Slip& a, const Slip& b) {
      return std::pair(rank[a.place.source], a.place.begin) < std::pair(rank[b.place.source], b.place.begin);
    });
    return std::move(slips_);
  }

 private:
  // ---- what stands where
  void plant(const grammar::Chart& chart) {
    const auto* gives = scale_given(chart.gives);
    const auto* down = chart.down ? scale_of_detail(chart.down->joined()) : nullptr;
    if (chart.across) {
      const auto* across = scale_of_detail(chart.across->detail.joined());
      for (const auto& head : chart.across->heads) on_head(head, across, chart.across->detail.joined());
    }
    for (std::size_t i = 0; i < chart.rows.size(); ++i) {
      const auto& row = chart.rows[i];
      if (chart.down) {
        on_head(row.head, down, chart.down->joined());
        add(Kind::row_lost, row.span, {{row.span.begin, row.span.end, ""}},
            fmt::format("the row '{}' is lost", row.span.text()));
      }
      for (const auto& cell : row.cells) on_answer(with_unit(cell, gives), gives, chart.gives);
      if (i > 0) swap(chart.rows[i - 1], row);
    }
    on_clauses(chart.clauses);
    lose_item("chart");
  }

  void plant(const grammar::Rule& rule) {
    if (rule.action) {
      const auto& action = *rule.action;
      if (action.answer && !action.targets.empty())
        on_answer(*action.answer, scale_given(action.targets.front()), action.targets.front());
      for (const auto* bound : {&action.never_under, &action.never_over})
        if (*bound) on_answer(grammar::Cell(**bound), scale_given(action.targets.front()), action.targets.front());
      if (action.kind == grammar::Action::Kind::step) turn_step(Kind::step_turned, action.span, action.steps > 0);
      if (action.targets.size() > 1)
        for (std::size_t i = 0; i < action.targets.size(); ++i)
          lose_one(Kind::rule_lost, action.targets, i, fmt::format("'{}' is lost", action.targets[i].span.text()));
    }
    on_clauses(rule.clauses);
    lose_item("rule");
  }

  void plant(const grammar::PieceGroup& group) {
    for (std::size_t i = 0; i < group.pieces.size() && group.pieces.size() > 1; ++i)
      lose_one(Kind::grouped_lost, group.pieces, i, fmt::format("'{}' is lost", group.pieces[i].span.text()));
  }
  void plant(const grammar::Piece& piece) { on_conditions(piece.when, "always"); }
  void plant(const grammar::AlongWith& along) { on_conditions(along.when, ""); }
  void plant(const grammar::WorkOut& work) { on_formula(work.formula); }
  void plant(const grammar::Accept& accept) {
    const auto first = slips_.size();
    for (std::size_t i = 0; i < accept.requirements.size(); ++i) {
      const auto& requirement = accept.requirements[i];
      if (accept.requirements.size() > 1)
        lose_one(Kind::requirement_lost, accept.requirements, i, fmt::format("'{}' is lost", requirement.span.text()));
      if (requirement.kind == grammar::Requirement::Kind::as_advised && has_order(accept.piece, requirement.column))
        replace(Kind::relation_weakened, requirement.span,
                fmt::format("{} at least advised", requirement.column.span.text()));
      if (requirement.amount)
        for (const int by : {-1, 1})
          if (const auto text = moved(grammar::Value(*requirement.amount), By{by, 1}))
            replace(Kind::edge_moved, requirement.amount->span, *text);
    }
    on_conditions(accept.when, "");
    for (const auto& line : accept.instead) {
      lose_line(Kind::instead_lost, line.span, fmt::format("'{}' is lost", line.span.text()));
      if (line.kind == grammar::Instead::Kind::step) turn_step(Kind::instead_turned, line.span, line.steps > 0);
    }
    for (auto slip = first; slip < slips_.size(); ++slip) slips_[slip].of_accept = true;
  }

  void plant(const grammar::Protection& protection) {
    const auto& pieces = protection.pieces;
    for (std::size_t i = 0; i < pieces.size(); ++i) {
      const auto says = fmt::format("'{}' is lost", pieces[i].span.text());
      if (pieces.size() > 1)
        lose_one(Kind::protection_lost, pieces, i, says);
      else
        add(Kind::protection_lost, pieces[i].span, {{item_->span.begin, item_->span.end, ""}}, says);
    }
  }

  void plant(const grammar::GoesWith&) {
    add(Kind::link_lost, item_->head, {{item_->span.begin, item_->span.end, ""}},
        fmt::format("'{}' is lost", item_->head.text()));
  }

  template <typename Other>
  void plant(const Other&) {}

  void turn_step(Kind kind, const Span& line, bool up) {
    const auto word = line.text().find(up ? " up " : " down ");
    if (word == std::string_view::npos) return;
    auto turned = std::string(line.text());
    turned.replace(word, up ? 4 : 6, up ? " down " : " up ");
    replace(kind, line, turned);
  }

  void on_clauses(const grammar::Clauses& clauses) {
    on_conditions(clauses.when, "");
    for (std::size_t i = 0; i < clauses.outranks.size(); ++i) {
      const auto says = fmt::format("'outranks {}' is lost", clauses.outranks[i].span.text());
      if (clauses.outranks.size() > 1)
        lose_one(Kind::outranks_lost, clauses.outranks, i, says);
      else
        lose_line(Kind::outranks_lost, clauses.outranks.front().span, says);
    }
    if (clauses.safety) lose_line(Kind::safety_lost, *clauses.safety, "'safety' is lost");
  }

  // `otherwise` stands for no conditions at all.
  void on_conditions(const std::vector<grammar::Condition>& all, const std::string& otherwise) {
    for (std::size_t i = 0; i < all.size(); ++i) {
      const auto says = fmt::format("'{}' is lost", all[i].span.text());
      if (all.size() > 1)
        lose_one(Kind::condition_lost, all, i, says);
      else
        add(Kind::condition_lost, all[i].span, {{before_word(all[i].span.begin, "for"), all[i].span.end, otherwise}},
            says);
      on_condition(all[i]);
    }
  }

  void on_condition(const grammar::Condition& condition) {
    if (condition.relation == grammar::Relation::is) return on_members(condition);
    if (condition.relation == grammar::Relation::from_to) return on_span(condition);
    const auto* scale = scale_of_detail(condition.subject.joined());
    if (!condition.value || !scale) return;
    on_edge(*condition.value, *scale, condition.subject.joined());
    using grammar::Relation;
    const char* other = condition.relation == Relation::under      ? "at most"
                        : condition.relation == Relation::at_most  ? "under"
                        : condition.relation == Relation::over     ? "at least"
                        : condition.relation == Relation::at_least ? "over"
                                                                   : nullptr;
    if (scale->has_members() || !other) return;
    turn({condition.span.source, condition.subject.span.end, grammar::span_of(*condition.value).begin},
         fmt::format(" {} ", other), condition.span);
    note_edge(*condition.value, *scale, condition.subject.joined());
  }

  // `sessions 2 to 4`: either end, by one.
  void on_span(const grammar::Condition& condition) {
    if (!condition.first) {
      const auto [scale, first] = member_in(condition.subject);
      if (!scale || first.empty()) return;
      const auto begin = condition.subject.span.end - static_cast<std::uint32_t>(first.size());
      const grammar::Phrase phrase{{{first, {}}}, {condition.span.source, begin, condition.subject.span.end}};
      if (phrase.span.text().find_first_of(" .") == std::string_view::npos)
        on_neighbours(Kind::edge_moved, phrase, *scale);
      return on_neighbours(Kind::edge_moved, *condition.value, *scale);
    }
    const auto detail = condition.subject.joined();
    const auto* scale = scale_of_detail(detail);
    if (!scale) return;
    on_edge(*condition.first, *scale, detail);
    on_edge(*condition.value, *scale, detail);
    // The last value belongs to it, so the edge is at the next one.
    const auto next =
        scale->kind == Scale::Kind::day ? 1 : compiler::ticks_per(scale->shown.back(), scale->money_digits);
    for (auto slip = slips_.end() - std::min<std::ptrdiff_t>(2, std::ssize(slips_)); slip != slips_.end(); ++slip)
      if (slip->place.begin == grammar::span_of(*condition.value).begin) slip->at += next;
  }

  // `skill new`: the detail's scale, and the member that the phrase ends in.
  [[nodiscard]] std::pair<const Scale*, std::string> member_in(const grammar::Phrase& subject) const {
    const auto joined = subject.joined();
    const Scale* scale = nullptr;
    for (auto at = joined.rfind('_'); at != std::string::npos && at > 0 && !scale; at = joined.rfind('_', at - 1))
      scale = scale_of_detail(joined.substr(0, at));
    std::string first;
    if (scale)
      for (const auto& member : scale->members)
        if (joined.ends_with('_' + member) && member.size() > first.size()) first = member;
    return {scale, first};
  }

  // `skill new, improving`: the first phrase holds the detail and its first member.
  void on_members(const grammar::Condition& condition) {
    const auto [scale, first] = member_in(condition.subject);
    if (!scale || first.empty()) return;
    std::vector<std::string> named = {first};
    for (const auto& phrase : condition.alternatives) named.push_back(phrase.joined());
    // The first member's own words, from the end of the phrase.
    const auto words = std::min<std::size_t>(static_cast<std::size_t>(std::count(first.begin(), first.end(), '_')) + 1,
                                             condition.subject.words.size() - 1);
    const auto begin = condition.subject.words[condition.subject.words.size() - words].span.begin;
    write_members(Span{condition.span.source, begin, condition.span.end}, named, *scale);
  }

  void on_head(const grammar::Head& head, const Scale* scale, const std::string& detail) {
    if (!scale || head.kind == grammar::Head::Kind::rest) return;
    if (head.kind == grammar::Head::Kind::members) {
      std::vector<std::string> named;
      for (const auto& phrase : head.members) named.push_back(phrase.joined());
      return write_members(head.span, named, *scale);
    }
    if (!head.edge) return;
    on_edge(*head.edge, *scale, detail);
    if (head.kind == grammar::Head::Kind::before) return;
    turn({head.span.source, head.span.begin, grammar::span_of(*head.edge).begin},
         head.kind == grammar::Head::Kind::under ? "at most " : "under ", head.span);
    note_edge(*head.edge, *scale, detail);
  }

  void write_members(const Span& span, const std::vector<std::string>& named, const Scale& scale,
                     Kind kind = Kind::member_changed, const char* between = ", ") {
    // A comma would part a spreadsheet's cell in two.
    if (span.source->is_sheet()) between = " or ";
    const auto write = [&](const std::vector<std::string>& members, const std::string& says) {
      add(kind, span, {{span.begin, span.end, fmt::to_string(fmt::join(members, between))}}, says);
    };
    for (std::size_t i = 0; i < named.size() && named.size() > 1; ++i) {
      auto less = named;
      less.erase(less.begin() + static_cast<std::ptrdiff_t>(i));
      write(less, fmt::format("'{}' is left out", named[i]));
    }
    for (const auto& member : scale.members) {
      if (std::find(named.begin(), named.end(), member) != named.end()) continue;
      auto more = named;
      more.push_back(member);
      write(more, fmt::format("'{}' is added", member));
    }
  }

  void on_edge(const grammar::Value& value, const Scale& scale, const std::string& detail) {
    if (scale.has_members()) return on_neighbours(Kind::edge_moved, value, scale);
    for (const int by : {-1, 1}) {
      const auto text = moved(value, By{by, 1});
      if (!text) continue;
      replace(Kind::edge_moved, grammar::span_of(value), *text);
      note_edge(value, scale, detail);
    }
  }
  // The slip just planted stands on this edge.
  void note_edge(const grammar::Value& value, const Scale& scale, const std::string& detail) {
    slips_.back().detail = detail;
    slips_.back().at = ticks(value, scale);
  }
  [[nodiscard]] std::int64_t ticks(const grammar::Value& value, const Scale& scale) const {
    if (const auto* date = std::get_if<grammar::Date>(&value)) return compiler::day_number(*date);
    const auto* quantity = std::get_if<grammar::Quantity>(&value);
    if (!quantity) return 0;
    const auto found = compiler::ticks_of(*quantity, {scale.dimension, policy_.currency, scale.bare_unit});
    const auto* held = std::get_if<std::int64_t>(&found);
    return held ? *held : 0;
  }

  // The members on either side of the one named.
  void on_neighbours(Kind kind, const grammar::Value& value, const Scale& scale) {
    const auto* phrase = std::get_if<grammar::Phrase>(&value);
    if (!phrase) return;
    const auto& all = scale.members;
    const auto at = std::find(all.begin(), all.end(), phrase->joined());
    if (at == all.end()) return;
    if (at != all.begin()) replace(kind, phrase->span, *(at - 1));
    if (at + 1 != all.end()) replace(kind, phrase->span, *(at + 1));
  }

  // A bare number in a chart's cells is in the unit it is shown in.
  [[nodiscard]] static grammar::Cell with_unit(const grammar::Cell& cell, const Scale* scale) {
    if (!scale || scale->kind != Scale::Kind::amount || scale->bare_unit) return cell;
    grammar::Amount other;
    other.unit = scale->shown.back().unit, other.currency = scale->shown.back().currency;
    return grammar::in_unit_of(cell, other);
  }

  void on_answer(const grammar::Cell& cell, const Scale* scale, const grammar::Phrase& given) {
    if (!scale) return;
    const auto neighbour = [&](const grammar::Value& of, int by) {
      const auto away = steps_given(given, ticks(of, *scale), by);
      return away ? moved(of, in_unit(of, *away, *scale)) : std::nullopt;
    };
    if (const auto* value = std::get_if<grammar::Value>(&cell)) {
      if (scale->has_members()) return on_neighbours(Kind::answer_changed, *value, *scale);
      for (const int by : {-1, 1})
        if (const auto text = neighbour(*value, by)) replace(Kind::answer_changed, grammar::span_of(*value), *text);
      return;
    }
    if (const auto* open = std::get_if<grammar::LeftOpen>(&cell)) {
      std::vector<std::string> named;
      for (const auto& phrase : open->members) named.push_back(phrase.joined());
      write_members(open->span, named.empty() ? scale->members : named, *scale, Kind::answer_changed, " or ");
      return;
    }
    // One end at a time; both are written with their unit.
    const auto& interval = std::get<grammar::Interval>(cell);
    for (const bool low : {true, false}) {
      for (const int by : {-1, 1}) {
        const auto& end = low ? interval.from : interval.to;
        const auto text = neighbour(end, by);
        const auto other = moved(low ? interval.to : interval.from, By{0, 1});
        if (text && other)
          replace(Kind::answer_changed, interval.span,
                  low ? fmt::format("{} to {}", *text, *other) : fmt::format("{} to {}", *other, *text));
      }
    }
  }

  void on_formula(const grammar::Expression& formula) {
    for (const auto& operand : formula.operands) on_formula(operand);
    using Step = grammar::Expression::Kind;
    const bool up = formula.kind == Step::round_up;
    if (!up && formula.kind != Step::round_down && formula.kind != Step::round_nearest) return;
    const Span between{formula.span.source, formula.operands.front().span.end, formula.quantity.span.begin};
    // A bracket may close before the word.
    const auto word = between.text().find("rounded");
    if (word == std::string_view::npos) return;
    const Span from{between.source, between.begin + static_cast<std::uint32_t>(word), formula.quantity.span.end};
    const auto last = std::string(formula.quantity.span.text());
    add(Kind::rounding_turned, from, {{from.begin, from.end, (up ? "rounded down to " : "rounded up to ") + last}},
        fmt::format("'{}' becomes '{}'", from.text(), (up ? "rounded down to " : "rounded up to ") + last));
  }

  // ---- edits
  void add(Kind kind, const Span& place, std::vector<Slip::Edit> edits, std::string says) {
    slips_.push_back({kind, place, std::move(edits), std::move(says), {}, 0, false});
  }
  void replace(Kind kind, const Span& span, const std::string& text) {
    add(kind, span, {{span.begin, span.end, text}}, fmt::format("'{}' becomes '{}'", span.text(), text));
  }
  void turn(const Span& relation, const std::string& other, const Span& whole) {
    const auto after = std::string(whole.text().substr(0, relation.begin - whole.begin)) + other +
                       std::string(whole.text().substr(relation.end - whole.begin));
    add(Kind::edge_turned, whole, {{relation.begin, relation.end, other}},
        fmt::format("'{}' becomes '{}'", whole.text(), after));
  }
  // One of several with commas between them.
  template <typename Part>
  void lose_one(Kind kind, const std::vector<Part>& parts, std::size_t i, std::string says) {
    const auto& span = parts[i].span;
    const bool last = i + 1 == parts.size();
    add(kind, span, {{last ? parts[i - 1].span.end : span.begin, last ? span.end : parts[i + 1].span.begin, ""}},
        std::move(says));
  }
  void lose_line(Kind kind, const Span& on_it, std::string says) {
    const auto& source = *on_it.source;
    const auto line = source.place(on_it.begin).line;
    const auto begin = source.line_start(line);
    add(kind, on_it, {{begin, begin + static_cast<std::uint32_t>(source.line(line).size()), ""}}, std::move(says));
  }
  void lose_item(const char* what) {
    add(Kind::rule_lost, item_->head, {{item_->span.begin, item_->span.end, ""}},
        fmt::format("the {} '{}' is lost", what, item_->head.text()));
  }
  void swap(const grammar::Row& above, const grammar::Row& below) {
    if (above.cells.empty() || below.cells.empty()) return;
    const auto cells = [](const grammar::Row& row) {
      return grammar::join(grammar::span_of(row.cells.front()), grammar::span_of(row.cells.back()));
    };
    const auto first = cells(above), second = cells(below);
    if (first.text() == second.text()) return;
    std::vector<Slip::Edit> edits;  // cell by cell: what stands between them is the file's own
    const auto put = [&](const grammar::Row& here, const grammar::Row& there) {
      for (std::size_t i = 0; i < here.cells.size() && i < there.cells.size(); ++i) {
        const auto& span = grammar::span_of(here.cells[i]);
        edits.push_back({span.begin, span.end, std::string(grammar::span_of(there.cells[i]).text())});
      }
    };
    put(above, below);
    put(below, above);
    add(Kind::rows_swapped, first, std::move(edits),
        fmt::format("'{}' and '{}' are swapped", first.text(), second.text()));
  }
  // Where the word before a place begins.
  [[nodiscard]] std::uint32_t before_word(std::uint32_t at, std::string_view word) const {
    const auto text = item_->span.source->text();
    const auto found = text.rfind(word, at);
    return found == std::string_view::npos ? at : static_cast<std::uint32_t>(found);
  }

  // ---- amounts
  struct By {
    std::int64_t numerator, denominator;  // of the last part's unit; of days
  };
  // A value moved, as text: its last part by so much.
  [[nodiscard]] static std::optional<std::string> moved(const grammar::Value& value, std::optional<By> by) {
    if (!by) return std::nullopt;
    if (const auto* date = std::get_if<grammar::Date>(&value)) {
      return compiler::iso_day(compiler::day_number(*date) + by->numerator);
    }
    const auto* quantity = std::get_if<grammar::Quantity>(&value);
    if (!quantity) return std::nullopt;
    std::string out;
    for (std::size_t i = 0; i < quantity->parts.size(); ++i) {
      const auto& part = quantity->parts[i];
      const bool last = i + 1 == quantity->parts.size();
      const auto numerator =
          part.numerator * (last ? by->denominator : 1) + (last ? by->numerator * part.denominator : 0);
      const auto number = compiler::decimal(numerator, part.denominator * (last ? by->denominator : 1), most_digits);
      if (numerator < 0 || !number) return std::nullopt;
      if (i > 0) out += ' ';
      out += *number;
      if (part.unit) out += fmt::format(" {}", grammar::spelling(*part.unit));
      if (!part.currency.empty()) out += " " + part.currency;
    }
    return out;
  }
  // So many ticks in the unit a value is written in.
  [[nodiscard]] static std::optional<By> in_unit(const grammar::Value& value, std::int64_t ticks, const Scale& scale) {
    const auto* quantity = std::get_if<grammar::Quantity>(&value);
    if (!quantity) return By{ticks, 1};
    const auto& part = quantity->parts.back();
    const compiler::ShownUnit unit{part.unit ? part.unit : scale.bare_unit, part.currency};
    return By{ticks, compiler::ticks_per(unit, scale.money_digits)};
  }

  // ---- names
  [[nodiscard]] const Scale* scale_of_detail(const std::string& name) const {
    for (const auto& detail : policy_.details)
      if (detail.name == name) return &detail.scale;
    for (const auto& detail : policy_.worked_out)
      if (detail.name == name) return &detail.scale;
    return nullptr;
  }
  [[nodiscard]] const compiler::PropertyText* property(const grammar::Phrase& phrase) const {
    const auto joined = phrase.joined();
    for (const auto& property : policy_.properties)
      if (policy_.pieces[property.piece].name + "_" + property.name == joined) return &property;
    // Of several pieces they are declared alike, so one stands for all.
    for (const auto& property : policy_.properties) {
      const auto& piece = policy_.pieces[property.piece].name;
      if (joined == "every_piece_" + property.name) return &property;
      for (const auto& [group, one] : one_of_)
        if (one == piece && joined == group + "_" + property.name) return &property;
    }
    return nullptr;
  }
  // Of a property of a piece, by its own name or with the piece's before it.
  [[nodiscard]] bool has_order(const grammar::Phrase& piece, const grammar::Phrase& named) const {
    for (std::size_t i = 0; i < policy_.properties.size(); ++i) {
      const auto& own = policy_.pieces[policy_.properties[i].piece].name;
      const auto full = own + "_" + policy_.properties[i].name;
      const bool meant =
          own == piece.joined() || (one_of_.count(piece.joined()) != 0 && one_of_.at(piece.joined()) == own);
      if (meant && (named.joined() == policy_.properties[i].name || named.joined() == full))
        return policy_.tables.answers[i].ordered;
    }
    return false;
  }
  [[nodiscard]] const Scale* scale_given(const grammar::Phrase& phrase) const {
    const auto* known = property(phrase);
    return known ? &known->scale : scale_of_detail(phrase.joined());
  }
  // From an answer to one so many steps from it, in ticks; of a detail, so many of its unit. Nothing past
  // the sizes that are named.
  [[nodiscard]] std::optional<std::int64_t> steps_given(const grammar::Phrase& phrase, std::int64_t from,
                                                        int by) const {
    if (const auto* known = property(phrase)) {
      if (known->sizes.empty()) return by * known->step;
      const auto step = known->step_within(from) + by;
      if (step < 0 || step >= static_cast<std::int64_t>(known->sizes.size())) return std::nullopt;
      return known->at(step) - from;
    }
    const auto* scale = scale_of_detail(phrase.joined());
    return by * (scale && !scale->shown.empty() ? compiler::ticks_per(scale->shown.back(), scale->money_digits) : 1);
  }

  const compiler::Policy& policy_;
  const grammar::Item* item_ = nullptr;
  std::map<std::string, std::string> one_of_;  // by group, the first of its pieces
  std::vector<Slip> slips_;
};

}  // namespace

const char* name_of(Kind kind) {
  switch (kind) {
    case Kind::edge_moved: return "an edge moved by a step";
    case Kind::edge_turned: return "open for closed";
    case Kind::condition_lost: return "a condition lost";
    case Kind::member_changed: return "a member added or left out";
    case Kind::answer_changed: return "an answer to its neighbour";
    case Kind::row_lost: return "a row lost";
    case Kind::rule_lost: return "a rule or chart lost";
    case Kind::outranks_lost: return "an outranks lost";
    case Kind::safety_lost: return "a safety lost";
    case Kind::rows_swapped: return "two rows swapped";
    case Kind::rounding_turned: return "a rounding turned";
    case Kind::requirement_lost: return "what is asked of an item lost";
    case Kind::relation_weakened: return "as advised to at least";
    case Kind::instead_lost: return "an if none in stock lost";
    case Kind::instead_turned: return "its step turned";
    case Kind::step_turned: return "a step up for down";
    case Kind::grouped_lost: return "a piece of a group lost";
    case Kind::protection_lost: return "a protection lost";
    case Kind::link_lost: return "a goes with lost";
  }
  return "";
}

std::vector<Slip> slips_of(const compiler::Policy& policy) { return Planting(policy).run(); }

compiler::Compiled with_slip(const compiler::Policy& policy, const Slip& slip) {
  const auto text_of = [&](const grammar::Source& source) {
    std::string text(source.text());
    if (&source == slip.place.source)
      for (auto edit = slip.edits.rbegin(); edit != slip.edits.rend(); ++edit)
        text.replace(edit->begin, edit->end - edit->begin, edit->text);
    return text;
  };
  const auto read = [&](const std::string& path) -> Result<std::string> {
    for (const auto& source : policy.sources)
      if (source->name() == path) return text_of(*source);
    return Problem{"file-5", "it is not part of the policy"};
  };
  return compiler::compile(policy.sources.front()->name(), text_of(*policy.sources.front()), read);
}

}  // namespace lacestay::runtime
