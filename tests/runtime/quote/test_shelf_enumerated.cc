// What is proved holds for what is handed over: on small generated policies whose every player is tried, the items that
// may be handed over, with blanks too, are those the naive evaluator finds; no item that a quote proposes breaks a
// safety rule or a `make sure` line; and such a line is proved just where trying everybody finds nothing against it.
#include <fmt/format.h>

#include <algorithm>
#include <catch2/catch.hpp>
#include <set>

#include "compiler/proof/proof.hpp"
#include "tests/reference/generate/shelf_policies.hpp"
#include "tests/runtime/quote/shelf_shop.hpp"
#include "tests/support/policy/compiled.hpp"
#include "tests/support/settings.hpp"
#include "tests/support/shop/small_shop.hpp"

namespace {

using namespace lacestay;
using compiler::Finding;

const auto today = tests::day_of(2026, 10, 3);

struct Tally {
  std::map<std::string, std::size_t> counts, constructs;
  // By what differs: how often, and the shortest policy that shows it.
  std::map<std::string, std::pair<std::size_t, std::string>> differences;

  void differs(const std::string& what, const std::string& text, const std::string& how) {
    auto& [times, smallest] = differences[what];
    ++times;
    const auto told = text + "----\n" + how;
    if (smallest.empty() || told.size() < smallest.size()) smallest = told;
  }
};

// A player whose details may be blank: a step for each asked detail, or nothing.
using Steps = std::vector<std::optional<std::int64_t>>;

class Judged {
 public:
  Judged(std::uint64_t seed, Tally& tally) : draw_(seed * 2 + 1), tally_(tally) {
    const auto generated = naive::generate_shelf(seed);
    for (const auto& file : generated.files) text_ += fmt::format("---- {} (seed {})\n{}", file.name, seed, file.text);
    auto made = tests::compile_files(generated.files);
    if (!made.policy) {
      tally_.differs("it does not compile", text_, render(made.diagnostics));
      return;
    }
    naive_ = naive::prepare(generated.files);
    shelf_.emplace(naive_);
    policy_ = made.policy;
    asked_ = judges::asked_ranges(naive_);
    std::size_t count = 1;
    for (const auto& range : asked_) count *= static_cast<std::size_t>(range.last) + 1;
    for (std::size_t i = 0; i < count; ++i) everybody_.push_back(shelf_->fitted(judges::player_of(asked_, steps(i))));
    for (const auto& player : everybody_) sound_ &= answered(player) && !worth_twice(player);
    for (const auto& [construct, times] : generated.counts) tally_.constructs[construct] += times;
    ++tally_.counts["policies"];
  }

  void run() {
    if (!policy_) return;
    const auto proof = compiler::prove(*policy_);
    const bool refused = std::any_of(proof.findings.begin(), proof.findings.end(), [](const Finding& finding) {
      return finding.refuses() && finding.kind != Finding::Kind::sure_broken;
    });
    same("the proof refuses it for its answers", refused, "trying everybody does", !sound_);
    if (!sound_) return;
    ++tally_.counts["policies whose answers are proved"];
    tally_.counts["players"] += everybody_.size();
    claims(proof);
    const tests::ShelfShop shop(tests::engine_of(policy_), naive_, 150, today, draw_);
    if (!shop.misread().empty()) tally_.differs("rows set aside", text_, shop.misread());
    tally_.counts["items"] += shop.stock().items.size();
    for (auto left = tests::whole() ? 40 : 12; left > 0; --left) shelf(shop, blanked());
    for (auto left = 8; left > 0; --left) quotes(shop, blanked());
  }

 private:
  [[nodiscard]] std::vector<std::int64_t> steps(std::size_t player) const {
    std::vector<std::int64_t> all;
    for (const auto& range : asked_) {
      const auto values = static_cast<std::size_t>(range.last) + 1;
      all.push_back(static_cast<std::int64_t>(player % values));
      player /= values;
    }
    return all;
  }

  bool answered(const naive::Fitted& player) const {
    for (std::size_t piece = 0; piece < naive_.pieces.size(); ++piece)
      if (shelf_->two_lines(piece, player)) return false;
    for (const auto& [name, piece] : player.outcome.pieces) {
      if (piece.standing == naive::Standing::clash) return false;
      for (const auto& [of, told] : piece.properties)
        if (told.kind == naive::PropertyOutcome::Kind::gap || told.kind == naive::PropertyOutcome::Kind::clash)
          return false;
    }
    return true;
  }

  // Two lines say what a step of one property is worth to him.
  [[nodiscard]] bool worth_twice(const naive::Fitted& player) const {
    std::set<std::string> seen;
    for (const auto& item : naive_.files.front().items)
      if (const auto* worth = std::get_if<grammar::Worth>(&item.form))
        if (naive::holds(naive_, player.player, worth->when) && !seen.insert(worth->property.joined()).second)
          return true;
    return false;
  }

  void same(const std::string& a, bool is_a, const std::string& b, bool is_b) {
    if (is_a != is_b) tally_.differs(is_a ? a : b, text_, fmt::format("{}: {}; {}: {}\n", a, is_a, b, is_b));
  }

  // ---- claims

  void claims(const compiler::Proof& proof) {
    if (naive_.claims.size() != policy_->sures.size()) return tally_.differs("claims got lost", text_, "");
    std::vector<const Finding*> refuted(naive_.claims.size(), nullptr);
    for (const auto& finding : proof.findings) {
      if (finding.kind == Finding::Kind::sure_broken) refuted[finding.sure] = &finding, shown(finding);
      if (finding.kind == Finding::Kind::not_settled) tally_.differs("not settled", text_, "");
    }
    for (std::size_t i = 0; i < naive_.claims.size(); ++i) {
      const auto& claim = naive_.claims[i];
      const bool broken = shelf_->broken(claim, everybody_);
      if ((refuted[i] != nullptr) != broken)
        tally_.differs(broken ? "a claim that is broken" : "a claim that holds", text_,
                       fmt::format("the {}. claim, of {}\n", i + 1, claim.tree->subject.joined()));
      ++tally_.counts[!refuted[i]        ? "claims proved"
                      : refuted[i]->item ? "claims refuted by an item"
                                         : "claims refuted by an advice"];
      if (!broken) proved_.push_back(&claim);
    }
  }

  // Who is shown is one of those by whom it is refuted.
  void shown(const Finding& finding) {
    const auto& claim = naive_.claims[finding.sure];
    const auto at = judges::steps_of(asked_, *policy_, finding.players.at(0));
    const auto player = shelf_->fitted(judges::player_of(asked_, at));
    if (!finding.item) return same("shown by an advice", true, "it breaks it", shelf_->broken_by_advice(claim, player));
    const auto stages = shelf_->stages(claim.piece);
    if (finding.item->stage >= stages.size()) return tally_.differs("there is no such stage", text_, "");
    const bool breaks = shelf_->broken_by_item(claim, stages[finding.item->stage], finding.item->step, player);
    if (!breaks)
      tally_.differs("shown by an item", text_,
                     fmt::format("at stage {} with step {} for {}, which does not break {}\n", finding.item->stage,
                                 finding.item->step, judges::written(*policy_, finding.players.at(0)),
                                 claim.tree->subject.joined()));
  }

  // ---- the shelf

  // Anybody, with none, one or two details blank.
  Steps blanked() {
    Steps some;
    for (const auto step : steps(draw_.place(everybody_.size()))) some.emplace_back(step);
    for (auto blanks = draw_.between(0, 2); blanks > 0; --blanks) some[draw_.place(some.size())].reset();
    return some;
  }
  [[nodiscard]] std::vector<const naive::Fitted*> completions(const Steps& some) const {
    std::vector<const naive::Fitted*> all;
    for (std::size_t i = 0; i < everybody_.size(); ++i) {
      const auto known = steps(i);
      bool could_be = true;
      for (std::size_t k = 0; k < some.size(); ++k) could_be &= !some[k] || *some[k] == known[k];
      if (could_be) all.push_back(&everybody_[i]);
    }
    return all;
  }
  [[nodiscard]] runtime::Player player_of(const Steps& some) const {
    std::vector<std::int64_t> known;
    for (const auto& step : some) known.push_back(step.value_or(0));
    auto player = runtime::player_of(judges::readings_of(asked_, *policy_, known));
    for (std::size_t i = 0; i < some.size(); ++i) {
      if (some[i]) continue;
      for (std::size_t k = 0; k < policy_->details.size(); ++k)
        if (policy_->details[k].name == asked_[i].name) player.readings[k].reset();
    }
    return player;
  }
  [[nodiscard]] std::string written(const Steps& some) const {
    std::string out = "player:";
    for (std::size_t i = 0; i < some.size(); ++i) {
      const auto& range = asked_[i];
      out += " " + range.name + "=" +
             (!some[i]                 ? "blank"
              : !range.members.empty() ? range.members[static_cast<std::size_t>(*some[i])]
                                       : naive::plain(range.value(*some[i])));
    }
    return out + "\n";
  }

  // Mostly nothing.
  std::vector<std::uint32_t> owned() {
    std::vector<std::uint32_t> all;
    for (std::uint32_t piece = 0; piece < policy_->pieces.size(); ++piece)
      if (draw_.chance(12)) all.push_back(piece);
    return all;
  }

  // The whole stock, single items, and a few at a time, so that every stage is come to.
  void shelf(const tests::ShelfShop& shop, const Steps& some) {
    const auto possible = completions(some);
    auto player = player_of(some);
    player.owns = owned();
    ++tally_.counts["players with blanks, or none, on the shelf"];
    std::vector<std::size_t> all;
    for (std::size_t i = 0; i < shop.stock().items.size(); ++i) all.push_back(i);
    std::vector<std::vector<std::size_t>> stocks = {all, {}};
    if (!all.empty()) {
      for (auto left = 25; left > 0; --left) stocks.push_back({draw_.pick(all)});
      for (auto left = 8; left > 0; --left) {
        std::set<std::size_t> few;
        for (auto more = draw_.between(2, 8); more > 0; --more) few.insert(draw_.pick(all));
        stocks.emplace_back(few.begin(), few.end());
      }
    }
    for (const auto& places : stocks) {
      const auto stock = shop.of(places);
      const auto program = shop.by_program(player, stock), letter = shop.by_letter(possible, player.owns, stock);
      ++tally_.counts["shelves"];
      count(program);
      if (!policy_->shop.links.empty()) ++tally_.counts["shelves of pieces that go together"];
      if (program == letter) continue;
      std::string rows;
      for (const auto& item : stock.items)
        if (stock.items.size() < 10 || program.find(item.number) != letter.find(item.number))
          rows += shop.row(item.number) + "\n";
      tally_.differs("who may have what", text_,
                     written(some) + rows + "---- the program\n" + program + "---- by the letter\n" + letter);
    }
    for (std::uint32_t piece = 0; piece < policy_->pieces.size(); ++piece) {
      const auto stock = shop.stock();
      const auto match =
          runtime::match(shop.engine(), player, runtime::possible_answers(shop.engine(), player), stock, today);
      for (const auto& one : match)
        if (one.piece == piece)
          for (const auto item : one.items) holds(shop, possible, piece, stock.items[item], written(some));
    }
  }

  void count(const std::string& told) {
    for (const auto* kind : {": items", ": none", ": refer", ": order", ": not certain", ": not sold"})
      if (told.find(kind) != std::string::npos) ++tally_.counts[std::string("matches") + kind];
    if (told.find(", by line") != std::string::npos) ++tally_.counts["matches by a line below"];
  }

  void holds(const tests::ShelfShop& shop, const std::vector<const naive::Fitted*>& possible, std::uint32_t piece,
             const runtime::StockItem& item, const std::string& who) {
    ++tally_.counts["items held to what must hold"];
    const auto broken = shop.shelf().breaks(shop.naive_piece(piece), possible, shop.known(item), proved_, shop.day());
    if (!broken.empty())
      tally_.differs("what must hold", text_,
                     who + shop.row(item.number) + "\nit is handed over, and breaks " + broken + "\n");
  }

  // ---- the till

  // Every item a quote names is one that may be handed over.
  void quotes(const tests::ShelfShop& shop, const Steps& some) {
    if (shop.stock().items.empty()) return;
    std::set<std::size_t> few;
    for (auto more = draw_.between(10, 90); more > 0; --more) few.insert(draw_.place(shop.stock().items.size()));
    const auto stock = shop.of({few.begin(), few.end()});
    const auto possible = completions(some);
    const std::optional<std::int64_t> limit =
        draw_.chance(40) ? std::nullopt : std::optional(draw_.between(500, 6'000));
    auto player = player_of(some);
    player.owns = owned();
    const auto made = runtime::quote(shop.engine(), player, stock, today, limit);
    ++tally_.counts["quotes"];
    const auto letter = shop.by_letter(possible, player.owns, stock);
    const auto who = written(some);
    const auto place = [&](const std::string& name) {
      return static_cast<std::uint32_t>(std::find_if(policy_->pieces.begin(), policy_->pieces.end(),
                                                     [&](const auto& piece) { return piece.name == name; }) -
                                        policy_->pieces.begin());
    };
    // Whatever stands on the bill goes with all else that does.
    for (const auto* lines : {&made.lines, &made.worth_adding})
      for (const auto& line : *lines)
        for (const auto& other : made.lines) {
          const auto &a = stock.items[line.item.item], &b = stock.items[other.item.item];
          if (!shop.shelf().go_together(shop.naive_piece(place(line.piece)), shop.known(a),
                                        shop.naive_piece(place(other.piece)), shop.known(b)))
            tally_.differs("what is quoted together", text_,
                           who + shop.row(a.number) + "\n" + shop.row(b.number) + "\ndo not go together\n");
          tally_.counts["items quoted that go with another"] += line.goes_with.empty() ? 0 : 1;
        }
    const auto look = [&](const runtime::QuotedItem& quoted) {
      const auto& item = stock.items[quoted.item];
      ++tally_.counts["items quoted"];
      if ((letter + " ").find(" " + item.number) == std::string::npos)
        tally_.differs("what is quoted", text_,
                       who + shop.row(item.number) + "\nit is quoted, and may not be handed over\n" + letter);
      holds(shop, possible, item.piece, item, who);
    };
    for (const auto* lines : {&made.lines, &made.worth_adding})
      for (const auto& line : *lines) {
        look(line.item);
        if (line.runner_up) look(line.runner_up->item), ++tally_.counts["runners-up quoted"];
        for (const auto& unlike : line.unlike)
          if (unlike.as_advised) look(*unlike.as_advised);
      }
    tally_.counts["suggested items quoted"] += made.worth_adding.size();
    for (const auto& given : made.deals)
      for_all_of_them<grammar::Deal>(possible, "deal " + given.label,
                                     [&](auto& deal) { return deal.name.text == given.label ? &deal.when : nullptr; });
    for (const auto& step : made.over) {
      if (step.kind == compiler::PlanStep::Kind::settle) {
        settled(shop, possible, step, stock, who);
        continue;
      }
      for_all_of_them<grammar::OverTheLimit>(possible, "over the limit, " + step.piece, [&](auto& plan) {
        const std::vector<grammar::Condition>* when = nullptr;
        for (const auto& one : plan.steps)
          if (!one.other && one.piece.joined() == step.piece) when = &one.when;
        return when;
      });
    }
    tally_.counts["deals given"] += made.deals.size();
    tally_.counts["steps over the limit"] += made.over.size();
  }

  // What was settled for may be handed over at a stage that a line makes which is for each of them.
  void settled(const tests::ShelfShop& shop, const std::vector<const naive::Fitted*>& possible,
               const runtime::PlanLine& step, const runtime::Stock& stock, const std::string& who) {
    ++tally_.counts["steps that settle"];
    for (const auto& other : step.other_items) {
      if (other.piece != step.piece) continue;
      const auto& item = stock.items[other.item.item];
      const auto piece = shop.naive_piece(item.piece);
      const auto known = shop.known(item);
      const auto stages = shop.shelf().stages(piece);
      ++tally_.counts["items settled for"];
      if (std::none_of(stages.begin(), stages.end(), [&](const auto& stage) {
            return stage.settled && shop.shelf().may_settle(piece, stage, possible, known, shop.day());
          }))
        tally_.differs("what is settled for", text_, who + shop.row(item.number) + "\nmay not be settled for\n");
      holds(shop, possible, item.piece, item, who);
    }
  }

  // A line of the till was taken, so it is for each player the customer could be.
  template <typename Form, typename When>
  void for_all_of_them(const std::vector<const naive::Fitted*>& possible, const std::string& what, When when_of) {
    for (const auto& file : naive_.files)
      for (const auto& item : file.items) {
        const auto* form = std::get_if<Form>(&item.form);
        const auto* when = form ? when_of(*form) : nullptr;
        if (!when) continue;
        ++tally_.counts["lines of the till taken"];
        if (!when->empty()) ++tally_.counts["lines of the till taken that are for some"];
        for (const auto* player : possible)
          if (!naive::holds(naive_, player->player, *when))
            return tally_.differs("a line for others", text_, what + "\n");
      }
  }

  naive::Draw draw_;
  Tally& tally_;
  std::string text_;
  std::shared_ptr<const compiler::Policy> policy_;
  naive::Policy naive_;
  std::optional<naive::Shelf> shelf_;
  std::vector<judges::AskedRange> asked_;
  std::vector<naive::Fitted> everybody_;
  bool sound_ = true;
  std::vector<const naive::Claim*> proved_;
};

}  // namespace

TEST_CASE("who may be handed what, and what is proved of it, is as trying everybody with every item finds") {
  Tally tally;
  const tests::Seeds seeds(1, tests::whole() ? 2'000 : 500);
  for (const auto seed : seeds) Judged(seed, tally).run();
  fmt::print("{}\n", seeds.told());
  for (const auto& [what, times] : tally.counts) fmt::print("  {}: {}\n", what, times);
  for (const auto& [what, times] : tally.constructs)
    if (tests::loud()) fmt::print("  written, {}: {}\n", what, times);
  CHECK(tally.counts.at("policies whose answers are proved") > 0);
  for (const auto& [what, shown] : tally.differences) {
    INFO(what << ", " << shown.first << " times; the smallest:\n" << shown.second);
    CHECK(shown.first == 0);
  }
  // Each kind of answer was come to, and often.
  for (const auto* what :
       {"claims proved", "claims refuted by an advice", "claims refuted by an item", "items quoted",
        "items quoted that go with another", "shelves of pieces that go together", "matches by a line below",
        "lines of the till taken that are for some", "matches: items", "matches: none", "matches: not certain",
        "matches: not sold", "matches: order", "matches: refer", "runners-up quoted", "suggested items quoted",
        "deals given", "items settled for", "steps over the limit"}) {
    INFO(what);
    CHECK(tally.counts[what] * 40 >= seeds.count());
  }
}
