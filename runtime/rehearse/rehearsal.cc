#include "runtime/rehearse/rehearsal.hpp"

#include <fmt/format.h>

#include <algorithm>

#include "compiler/values/names.hpp"
#include "grammar/read/reader.hpp"
#include "grammar/text/plain_text.hpp"
#include "runtime/advice/explanation.hpp"
#include "runtime/advice/text.hpp"
#include "runtime/advice/words.hpp"
#include "runtime/base/layout.hpp"
#include "runtime/quote/text.hpp"

namespace lacestay::runtime {

using grammar::LeavesWith;

std::size_t PlayerResult::failed() const {
  return static_cast<std::size_t>(
      std::count_if(wishes.begin(), wishes.end(), [](const WishResult& wish) { return !wish.holds; }));
}

std::size_t PlayerResult::not_looked_at() const {
  return static_cast<std::size_t>(
      std::count_if(wishes.begin(), wishes.end(), [](const WishResult& wish) { return !wish.looked_at; }));
}

namespace {

// A sum in the policy's money; says what is wrong with any other.
std::optional<std::int64_t> money(const compiler::Policy& policy, const grammar::Quantity& quantity,
                                  grammar::Diagnostics& problems) {
  const auto ticks = compiler::ticks_of(quantity, {compiler::Dimension::money, policy.currency, std::nullopt});
  if (const auto* sum = std::get_if<std::int64_t>(&ticks)) return *sum;
  problems.add("players-2", quantity.span, fmt::format("This is no sum in {}.", policy.currency),
               fmt::format("write it as in: 450 {}", policy.currency));
  return std::nullopt;
}

}  // namespace

PlayersFile read_players(const compiler::Policy& policy, std::string name, std::string text,
                         grammar::Diagnostics& problems) {
  PlayersFile file;
  if (auto refused = grammar::refuse_text(text)) {
    refused->message = name + ": " + refused->message;
    problems.add(std::move(*refused));
    return file;
  }
  file.source = std::make_shared<grammar::Source>(std::move(name), std::move(text));
  const auto tree = grammar::read(file.source, problems);
  for (const auto& item : tree.items) {
    if (std::holds_alternative<grammar::PlayersOf>(item.form)) continue;
    const auto* form = std::get_if<grammar::Player>(&item.form);
    if (!form) {
      problems.add("players-1", item.head, "A players file holds only players of and player.",
                   "move this line to the policy");
      continue;
    }
    const auto twice = std::find_if(file.players.begin(), file.players.end(),
                                    [&](const auto& known) { return known.name == form->name.text; });
    if (twice != file.players.end())
      problems
          .add("names-2", form->name.span, fmt::format("There are two players called '{}'.", form->name.text),
               "give one of them another name")
          .notes.push_back({"the first one", twice->span});
    PlayerReader reader(policy, problems);
    reader.set(*form);
    const auto can_spend = form->can_spend ? money(policy, *form->can_spend, problems) : std::nullopt;
    if (auto held = reader.take())
      file.players.push_back({form->name.text, form->text ? form->text->text : "", item.head, std::move(*held),
                              can_spend, form->leaves_with});
  }
  return file;
}

namespace {

// What a wish is about, once its words are understood.
struct Wish {
  std::optional<std::uint32_t> piece, property;
  std::optional<Standing> standing;                            // `needed`, `suggested`
  std::optional<std::pair<std::int64_t, std::int64_t>> steps;  // the answer wanted
};

class Rehearsing {
 public:
  Rehearsing(const Engine& engine, const SamplePlayer& player, grammar::Diagnostics& problems, const Shelf* shelf)
      : engine_(engine),
        policy_(engine.policy()),
        player_(player),
        problems_(problems),
        shelf_(shelf),
        explanation_(engine, player.player) {}

  WishResult run(const LeavesWith& claim) {
    WishResult result;
    result.wanted = std::string(claim.span.text());
    result.line = claim.span.source->place(claim.span.begin).line;
    using Kind = LeavesWith::Kind;
    if (claim.kind == Kind::caution || claim.kind == Kind::no_caution) {
      caution(claim, result);
      return result;
    }
    if (claim.kind == Kind::next) {
      next(claim, result);
      return result;
    }
    if (claim.kind >= Kind::item) {
      result.looked_at = shelf_ != nullptr;
      if (!shelf_)
        result.holds = true;
      else if (claim.kind <= Kind::no_item)
        item(claim, result);
      else
        total(claim, result);
      return result;
    }
    const auto wish = understood(claim);
    if (!wish) {
      result.came = "this line is not understood";
      return result;
    }
    wish->property ? property(claim, *wish, result) : piece(claim, *wish, result);
    return result;
  }

 private:
  std::optional<Wish> refuse(const grammar::Span& span, std::string message, std::string hint) {
    problems_.add("players-2", span, std::move(message), std::move(hint));
    return std::nullopt;
  }

  // The longest known name that begins the phrase; what is left is a member, `needed` or `suggested`.
  std::optional<Wish> understood(const LeavesWith& claim) {
    const auto joined = claim.phrase.joined();
    Wish wish;
    std::size_t length = 0;
    std::vector<std::string> names;
    const auto consider = [&](const std::string& name, bool is_piece, std::uint32_t index) {
      names.push_back(name);
      const bool begins =
          joined.compare(0, name.size(), name) == 0 && (joined.size() == name.size() || joined[name.size()] == '_');
      if (!begins || name.size() <= length) return;
      length = name.size();
      wish.piece = is_piece ? index : policy_.properties[index].piece;
      wish.property = is_piece ? std::nullopt : std::optional(index);
    };
    for (std::uint32_t i = 0; i < policy_.pieces.size(); ++i) consider(policy_.pieces[i].name, true, i);
    for (std::uint32_t i = 0; i < policy_.properties.size(); ++i)
      consider(policy_.pieces[policy_.properties[i].piece].name + "_" + policy_.properties[i].name, false, i);
    // Looked for only where a line is refused: planted slips rehearse the same lines thousands of times.
    const auto or_near = [&](const char* otherwise) {
      const auto near = compiler::nearest_name(joined, names);
      return near.empty() ? std::string(otherwise) : "write " + near;
    };
    if (length == 0)
      return refuse(claim.phrase.span, fmt::format("The kit holds nothing called '{}'.", joined),
                    or_near("name a piece or a property of the policy"));
    const auto rest = length < joined.size() ? joined.substr(length + 1) : std::string();
    if (!wish.property) {
      if (rest == "needed")
        wish.standing = Standing::needed;
      else if (rest == "suggested")
        wish.standing = Standing::suggested;
      else if (!rest.empty() || claim.value)
        return refuse(claim.span,
                      fmt::format("{} has no property called '{}'.", policy_.pieces[*wish.piece].name, rest),
                      or_near("name a property of the piece"));
      return wish;
    }
    return claim.kind == LeavesWith::Kind::has ? with_answer(claim, rest, wish) : wish;
  }

  std::optional<Wish> with_answer(const LeavesWith& claim, const std::string& rest, Wish wish) {
    const auto& text = policy_.properties[*wish.property];
    if (text.scale.has_members()) {
      const auto found = text.scale.member_called(rest, rest);
      if (!found || claim.value)
        return refuse(claim.span,
                      fmt::format("{} is one of {}.", text.name, compiler::listed(text.scale.members, "or")),
                      "write one of them after the property");
      wish.steps = {*found, *found};
      if (claim.others.empty()) return wish;
      const auto& space = policy_.tables.answers[*wish.property];
      if (space.ordered || space.steps > compiler::most_left_open)
        return refuse(claim.others.front().span,
                      fmt::format("{} is never left open, so or joins nothing here.", text.name),
                      "write one of them alone");
      auto members = compiler::members_of(*found);
      for (const auto& other : claim.others) {
        const auto also = text.scale.member_called(other.joined(), other.joined());
        if (!also)
          return refuse(other.span,
                        fmt::format("{} is one of {}.", text.name, compiler::listed(text.scale.members, "or")),
                        "write one of them after or");
        members |= compiler::members_of(*also);
      }
      wish.steps = {compiler::answer_of(members), compiler::answer_of(members)};
      return wish;
    }
    if (!claim.others.empty())
      return refuse(claim.others.front().span,
                    fmt::format("{} is never left open, so or joins nothing here.", text.name),
                    fmt::format("write one answer, as in: {}", text.write(0, 0)));
    if (!rest.empty() || !claim.value)
      return refuse(claim.span, fmt::format("What is wanted of {}?", text.name),
                    fmt::format("write an answer, as in: {}", text.write(0, 0)));
    const auto step = [&](const grammar::Value& value) -> std::optional<std::int64_t> {
      const auto* quantity = std::get_if<grammar::Quantity>(&value);
      if (!quantity) return std::nullopt;
      const auto ticks = compiler::ticks_of(*quantity, {text.scale.dimension, policy_.currency, std::nullopt});
      const auto* held = std::get_if<std::int64_t>(&ticks);
      const auto step = held ? text.step_within(*held) : 0;
      if (!held || step < 0 || step >= policy_.tables.answers[*wish.property].steps || text.at(step) != *held)
        return std::nullopt;
      return step;
    };
    const auto* interval = std::get_if<grammar::Interval>(&*claim.value);
    const auto low = step(interval ? interval->from : std::get<grammar::Value>(*claim.value));
    const auto high = interval ? step(interval->to) : low;
    if (!low || !high)
      return refuse(claim.span, fmt::format("That is no answer {} can have.", text.name),
                    fmt::format("write one as in: {}", text.write(0, 0)));
    wish.steps = {*low, *high};
    return wish;
  }

  // Every answer still possible must be what was wanted.
  template <typename Holds>
  void judge(TableId table, WishResult& result, Holds holds) {
    const auto possible = possible_answers(engine_, table, player_.player);
    result.holds = std::all_of(possible.classes.begin(), possible.classes.end(),
                               [&](ClassId found) { return holds(engine_.outcome(table, found)); });
    if (result.holds) return;
    const auto answer = explanation_.answer(table, possible);
    result.came = joined_by_or(answer, possible_in_words(policy_, answer));
    for (const auto& part : answer.parts)
      if (speaks(part)) result.decided_by.push_back(part);
  }

  static bool in_kit(const Outcome& outcome) { return compiler::in_kit(outcome.standing); }

  void piece(const LeavesWith& claim, const Wish& wish, WishResult& result) {
    const auto table = static_cast<TableId>(policy_.tables.piece_table(*wish.piece));
    if (claim.kind == LeavesWith::Kind::refer) {
      judge(table, result, in_kit);
      if (!result.holds) return;
      // Any of its properties left to the fitter will do.
      const auto& text = policy_.pieces[*wish.piece];
      result.holds = false;
      for (std::uint32_t i = 0; i < text.properties && !result.holds; ++i)
        judge(text.first_property + i, result,
              [](const Outcome& outcome) { return outcome.standing == Standing::referred; });
      return;
    }
    judge(table, result, [&](const Outcome& outcome) {
      if (claim.kind == LeavesWith::Kind::without)
        return outcome.standing == Standing::left_out || outcome.standing == Standing::not_in_kit;
      return wish.standing ? outcome.standing == *wish.standing : in_kit(outcome);
    });
  }

  void property(const LeavesWith& claim, const Wish& wish, WishResult& result) {
    judge(static_cast<TableId>(policy_.tables.piece_table(*wish.piece)), result, in_kit);
    if (!result.holds) return;
    judge(*wish.property, result, [&](const Outcome& outcome) {
      if (claim.kind == LeavesWith::Kind::refer) return outcome.standing == Standing::referred;
      return outcome.standing == Standing::answered && wish.steps && outcome.low == wish.steps->first &&
             outcome.high == wish.steps->second;
    });
    if (!result.holds && wish.steps) result.given_by = who_gives(*wish.property, *wish.steps);
  }

  // A size from a detail stands once for all its steps.
  std::vector<std::string> who_gives(std::uint32_t property, std::pair<std::int64_t, std::int64_t> steps) const {
    std::vector<std::string> places;
    for (const auto& row : policy_.tables.tables[policy_.tables.property_table(property)].rows) {
      if (!compiler::gives_answer(row.effect) || std::pair(row.low, row.high) != steps) continue;
      const auto& rule = policy_.rules[row.rule];
      const auto& place = rule.kind == compiler::RuleText::Kind::chart ? rule.entries[row.entry] : rule.span;
      auto told = fmt::format("{}, {}: {}", place.source->name(), line_text(place), place.text());
      if (std::find(places.begin(), places.end(), told) == places.end()) places.push_back(std::move(told));
    }
    return places;
  }

  void caution(const LeavesWith& claim, WishResult& result) {
    const bool wanted = claim.kind == LeavesWith::Kind::caution;
    for (std::size_t i = 0; i < policy_.cautions.size(); ++i) {
      if (policy_.rules[policy_.cautions[i]].caution.find(claim.text->text) == std::string::npos) continue;
      judge(static_cast<TableId>(policy_.tables.first_caution_table() + i), result,
            [&](const Outcome& outcome) { return outcome.standing == (wanted ? Standing::spoken : Standing::silent); });
      if (result.holds == wanted) return;  // one that is said will do; and one is enough to spoil it
    }
    if (wanted)
      result.came = "no such caution is said";
    else
      result.holds = true;
  }

  void next(const LeavesWith& claim, WishResult& result) {
    const auto found = next_to_take(engine_, player_.player, possible_answers(engine_, player_.player));
    result.holds = found && policy_.details[found->detail].name == claim.phrase.joined();
    if (!result.holds)
      result.came = found ? fmt::format("{} to take next", policy_.details[found->detail].name)
                          : "nothing to take: every answer is certain";
  }

  const Quote& quoted() {
    if (!quote_) quote_ = quote(engine_, player_.player, shelf_->stock, shelf_->today, player_.can_spend);
    return *quote_;
  }

  void item(const LeavesWith& claim, WishResult& result) {
    const auto& items = shelf_->stock.items;
    const auto found =
        std::find_if(items.begin(), items.end(), [&](const auto& each) { return each.number == claim.text->text; });
    if (found == items.end()) {
      refuse(claim.text->span, fmt::format("No item of the stock has the number '{}'.", claim.text->text),
             "write a number that stands in the stock files");
      result.came = "this line is not understood";
      return;
    }
    const auto& piece = policy_.pieces[found->piece];
    const auto& lines = quoted().lines;
    const auto line =
        std::find_if(lines.begin(), lines.end(), [&](const auto& each) { return each.piece == piece.name; });
    const bool there = line != lines.end() && line->item.number == found->number;
    result.holds = there == (claim.kind == LeavesWith::Kind::item);
    if (result.holds) return;
    result.came = line == lines.end()
                      ? fmt::format("no {} is quoted", piece.label)
                      : fmt::format("{}: {} {} {} for {}", line->label, line->item.number, line->item.make,
                                    line->item.model, money_text(quoted(), line->item.price));
  }

  void total(const LeavesWith& claim, WishResult& result) {
    const auto sum = money(policy_, std::get<grammar::Quantity>(std::get<grammar::Value>(*claim.value)), problems_);
    if (!sum) {
      result.came = "this line is not understood";
      return;
    }
    const auto came = quoted().total;
    result.holds = claim.kind == LeavesWith::Kind::total ? came == *sum : came <= *sum;
    if (!result.holds) result.came = "total " + money_text(quoted(), came);
  }

  const Engine& engine_;
  const compiler::Policy& policy_;
  const SamplePlayer& player_;
  grammar::Diagnostics& problems_;
  const Shelf* shelf_;
  Explanation explanation_;
  std::optional<Quote> quote_;  // made when the first line asks for it
};

}  // namespace

PlayerResult rehearse(const Engine& engine, const SamplePlayer& player, grammar::Diagnostics& problems,
                      const Shelf* shelf) {
  PlayerResult result;
  result.name = player.name;
  result.text = player.text;
  result.file = player.span.source->name();
  result.line = player.span.source->place(player.span.begin).line;
  Rehearsing rehearsing(engine, player, problems, shelf);
  for (const auto& wish : player.wishes) result.wishes.push_back(rehearsing.run(wish));
  return result;
}

std::string text_of(const std::vector<PlayerResult>& results) {
  std::string out;
  std::size_t wishes = 0, failed = 0, players_failed = 0, not_looked_at = 0;
  for (const auto& result : results) {
    wishes += result.wishes.size();
    failed += result.failed();
    not_looked_at += result.not_looked_at();
    if (result.failed() == 0) continue;
    ++players_failed;
    out += fmt::format("{}{}{} ({}, line {})\n", result.name, result.text.empty() ? "" : ": ", result.text, result.file,
                       result.line);
    for (const auto& wish : result.wishes) {
      if (wish.holds) continue;
      out += wrapped(fmt::format("{} (line {})", wish.wanted, wish.line), 14, "  file says");
      out += wrapped(wish.came, 14, "  came out");
      for (const auto& part : wish.decided_by)
        out += wrapped(fmt::format("{}: {}", part.says, text_of_rule(part)), 14, "  decided by");
      if (wish.given_by && wish.given_by->empty()) out += wrapped("no rule or chart gives that", 14, "  given by");
      for (const auto& place : wish.given_by.value_or(std::vector<std::string>{}))
        out += wrapped(place, 14, "  given by");
      out += '\n';
    }
  }
  if (not_looked_at > 0)
    out += fmt::format("{} lines about items and totals are not looked at: give the stock with --stock FOLDER.\n",
                       not_looked_at);
  if (failed == 0) return out + fmt::format("{} players, {} lines: all hold.\n", results.size(), wishes);
  return out + fmt::format("{} of {} players don't leave with what their file says ({} of {} lines).\n", players_failed,
                           results.size(), failed, wishes);
}

}  // namespace lacestay::runtime
