// What may be handed over under one edition alone, against what the shelf does: on pairs of editions so small that
// every player and every item can be tried, by the matching that a quote rests on.
//
// LACESTAY_WHOLE takes ten times as many pairs; LACESTAY_SEED the one of that seed, with what is told of it.
#include <fmt/format.h>

#include <catch2/catch.hpp>
#include <iostream>

#include "compiler/space/reach.hpp"
#include "compiler/values/days.hpp"
#include "runtime/compare/text.hpp"
#include "runtime/quote/matching.hpp"
#include "tests/reference/draw.hpp"
#include "tests/support/policy/compiled.hpp"
#include "tests/support/settings.hpp"
#include "tests/support/shop/small_shop.hpp"

namespace {

using namespace lacestay;
using compiler::both_sides;
using compiler::Box;
using compiler::OfSides;
using compiler::Side;
using compiler::Standing;
using naive::Draw;

const auto today = tests::day_of(2026, 10, 3);

// An edition as its parts, each drawn by itself; the later edition has some of them drawn again.
using Parts = std::vector<std::string>;
using Part = std::string (*)(Draw&);

std::string for_some(Draw& draw) {
  return draw.pick<std::string>({"", "\n  for age under 10", "\n  for age at least 11", "\n  for skill league",
                                 "\n  for skill new, age under 11"});
}
std::string safety(Draw& draw) { return draw.chance(60) ? "\n  safety" : ""; }
std::string tier(Draw& draw) { return draw.pick<std::string>({"one", "two", "three"}); }
std::string amount(Draw& draw) { return draw.pick<std::string>({"20", "30", "40"}); }
// A rule, or none at all.
std::string rule(Draw& draw, const std::string& name, const std::string& says) {
  if (draw.chance(40)) return "";
  const auto whom = for_some(draw);
  return "rule " + name + "\n  " + says + whom + safety(draw) + "\n";
}

const std::vector<Part> all_parts = {
    [](Draw& draw) { return "protection is " + std::string(draw.chance(30) ? "gear" : "other") + "\n"; },
    [](Draw& draw) {
      const auto low = tier(draw), high = tier(draw);
      return "chart tiers gives gear tier\n  down skill\n    new, improving: " + low + "\n    league: " + high +
             (draw.chance(25) ? "\n  safety\n" : "\n");
    },
    [](Draw& draw) {
      const auto edge = draw.pick<std::string>({"9", "10", "12"}), young = amount(draw), old = amount(draw);
      return "chart sizes gives gear size\n  down age\n    under " + edge + ": " + young + " mm\n    the rest: " + old +
             " mm" + (draw.chance(25) ? "\n  safety\n" : "\n");
    },
    [](Draw& draw) {
      return "chart bends gives gear flex\n  down skill\n    new: 20 to " + amount(draw) +
             " flex\n    improving, league: " + (draw.chance(50) ? "30" : "20") + " to 40 flex\n";
    },
    [](Draw& draw) {
      const auto says = "floor gear tier at " + tier(draw);
      return rule(draw, "tier_floor", says);
    },
    [](Draw& draw) {
      const auto says = "cap gear tier at " + tier(draw);
      return rule(draw, "tier_cap", says);
    },
    [](Draw& draw) {
      const auto says = "floor gear size at " + amount(draw) + " mm";
      return rule(draw, "size_floor", says);
    },
    [](Draw& draw) {
      const auto says = "keep gear flex within 20 to " + amount(draw) + " flex";
      return rule(draw, "soft", says);
    },
    [](Draw& draw) { return draw.chance(85) ? std::string() : rule(draw, "by_hand", "refer gear size"); },
    [](Draw& draw) {
      std::vector<std::string> asked, instead;
      const auto of_order = [&](const std::string& name) {
        const auto how = draw.pick<std::string>({"", " as advised", " at least advised", " at most advised"});
        if (how.empty()) return;
        asked.push_back(name + how);
        if (draw.chance(40))
          instead.push_back(draw.pick<std::string>({"one step up in ", "one step down in ", "two steps down in "}) +
                            name);
      };
      of_order("tier");
      of_order("size");
      if (draw.chance(20)) asked.push_back("tier " + tier(draw));
      if (draw.chance(60)) {
        asked.push_back("flex within advised");
        if (draw.chance(30)) instead.emplace_back("one step up in flex");
      }
      if (draw.chance(20)) asked.emplace_back("condition new");
      if (draw.chance(20)) asked.emplace_back("certified until today");
      if (draw.chance(20)) asked.emplace_back("covers girth");
      if (draw.chance(12))
        asked.push_back(draw.pick<std::string>({"price at most 90 GBP", "price under 90 GBP",
                                                "price at most 90 GBP if used", "price under 90 GBP if new"}));
      if (draw.chance(12))
        asked.push_back(draw.pick<std::string>({"made at most 1 year before today", "made at most 3 years before today",
                                                "made at most 1 year before today if used",
                                                "made at most 3 years before today if new"}));
      // Where new ones are asked for, used ones may be looked for too; of these alone nothing can be asked else.
      const auto ends = [&](const std::string& end) {
        return std::any_of(asked.begin(), asked.end(), [&](const auto& each) { return each.ends_with(end); });
      };
      if (ends("condition new") && (ends(" if used") || instead.empty())) instead.emplace_back("any condition");
      if (asked.empty()) asked.emplace_back("condition new");
      draw.shuffle(asked);
      draw.shuffle(instead);
      if (draw.chance(15)) instead.insert(instead.begin(), "refer");
      std::string text = "accept gear with ";
      for (std::size_t i = 0; i < asked.size(); ++i) text += (i == 0 ? "" : ", ") + asked[i];
      const auto players = draw.chance(65) ? 0 : draw.between(1, 3);  // none but these; or a line for the others too
      const auto others =
          players < 2 ? std::string() : draw.pick<std::string>({" for skill new, improving", " for skill new"});
      if (players > 0) text += " for skill league";
      for (const auto& line : instead) text += "\n  if none in stock, " + line;
      if (!others.empty()) text += "\naccept gear with tier at most advised, condition new" + others;
      return text + "\n";
    },
};

// The same of a choice, which may be left open.
std::string marks(Draw& draw) {
  return draw.pick<std::string>({"one", "two", "one or two", "two or three", "three or one", "any of them"});
}
std::string keep_marks(Draw& draw) {
  const auto says = "keep gear mark within " + marks(draw);
  const auto name = "kept_" + std::to_string(draw.between(1, 1'000'000));
  return rule(draw, name, says);
}
const std::vector<Part> parts_of_a_choice = {
    [](Draw& draw) {
      const auto low = marks(draw), high = marks(draw);
      return "chart listed gives gear mark\n  down skill\n    new, improving: " + low + "\n    league: " + high +
             (draw.chance(25) ? "\n  safety\n" : "\n");
    },
    keep_marks,
    keep_marks,
    [](Draw& draw) { return draw.chance(85) ? std::string() : rule(draw, "by_hand", "refer gear mark"); },
    [](Draw& draw) {
      const auto asked = draw.pick<std::string>(
          {"mark as advised", "mark as advised, condition new", "condition new", "mark two, certified until today"});
      return "accept gear with " + asked + (draw.chance(30) ? " for skill new, improving\n" : "\n");
    },
};
const std::string head_of_a_choice =
    "policy \"Small shop\"\nedition 1, in force from 1 September 2026\nmoney GBP\n"
    "ask age 8 to 13 years, whole\nask skill grades new, improving, league\nask girth 50 to 60 cm\n"
    "piece gear always\n  mark choice one, two, three\npiece other optional\n";

const std::string head =
    "policy \"Small shop\"\nedition 1, in force from 1 September 2026\nmoney GBP\n"
    "ask age 8 to 13 years, whole\nask skill grades new, improving, league\nask girth 50 to 60 cm\n"
    "piece gear always\n  tier grades one, two, three\n  size 20 to 40 mm step 10 mm\n"
    "  flex band 20 to 40 flex step 10 flex\npiece other optional\n";

std::string joined(const std::string& head, const Parts& parts) {
  auto text = head;
  for (const auto& part : parts) text += part;
  return text;
}

struct Item {
  runtime::StockItem item;
  std::string written;
};

// Each of them at two prices, where an edition asks for one, and made at three times, where one asks when.
std::vector<Item> priced_and_made(std::vector<Item> items, bool by_price, bool by_age) {
  const auto with = [&](auto change, std::size_t ways) {
    std::vector<Item> all;
    for (const auto& item : items)
      for (std::size_t way = 0; way < ways; ++way) change(all.emplace_back(item), way);
    items = std::move(all);
  };
  if (by_price)
    with(
        [](Item& item, std::size_t way) {
          item.item.price = std::vector<std::int64_t>{8'999, 9'000, 9'001}[way];
          item.written += fmt::format(", {} pence", item.item.price);
        },
        3);
  if (by_age)
    with(
        [](Item& item, std::size_t way) {
          const std::vector<std::optional<std::int64_t>> days = {compiler::years_after(today, -1),
                                                                 compiler::years_after(today, -1) - 1,
                                                                 compiler::years_after(today, -3) - 1,
                                                                 today + 1,
                                                                 {}};
          item.item.made = days[way];
          item.written += fmt::format(", made {}", days[way] ? compiler::iso_day(*days[way]) : "nobody knows when");
        },
        5);
  return items;
}

std::vector<Item> every_item(const compiler::Policy& policy) {
  const auto one = [](std::int64_t low) { return runtime::ItemValue{true, 0, low, low}; };
  const auto& size = policy.properties[1];
  const auto& flex = policy.properties[2];
  std::vector<Item> all;
  for (std::uint64_t grade = 0; grade < 3; ++grade)
    for (std::int64_t halves = 0; halves < 5; ++halves)
      for (std::int64_t bends = 0; bends < 5; ++bends)
        for (int beside = 0; beside < 12; ++beside) {
          // Not all of these with all values: some of each.
          if (beside > 0 && (halves % 2 != 0 || bends % 2 != 0)) continue;
          Item made;
          auto& item = made.item;
          item.number = "1";
          item.price = 100;
          item.on_hand = 1;
          item.used = beside % 2 != 0;
          const auto label = beside / 2 % 3;
          if (label != 1) item.certified_until = today + (label == 0 ? 1 : -1);
          item.values = {{true, std::uint64_t{1} << grade, 0, 0},
                         one(size.first + halves * size.step / 2),
                         one(flex.first + bends * flex.step / 2)};
          const bool covers = beside < 6;
          const auto& girth = policy.tables.asked[2];
          item.covers = {{true, 0, covers ? girth.lowest : girth.highest + 1, girth.highest + 2}};
          made.written = fmt::format("tier {}, size {}, flex {}, {}{}{}", grade, 20 + 5 * halves, 20 + 5 * bends,
                                     item.used ? "used" : "new",
                                     label == 0   ? ""
                                     : label == 1 ? ", undated"
                                                  : ", out of date",
                                     covers ? "" : ", not covering");
          all.push_back(std::move(made));
        }
  return all;
}

// A cell for each set of the members.
std::vector<Item> every_item_of_a_choice(const compiler::Policy&) {
  std::vector<Item> all;
  for (std::uint64_t members = 1; members < 8; ++members)
    for (int beside = 0; beside < 6; ++beside) {
      Item made;
      made.item.number = "1";
      made.item.price = 100;
      made.item.on_hand = 1;
      made.item.used = beside % 2 != 0;
      const auto label = beside / 2;
      if (label != 1) made.item.certified_until = today + (label == 0 ? 1 : -1);
      made.item.values = {{true, members, 0, 0}};
      made.written = fmt::format("marks {}, {}, label {}", members, made.item.used ? "used" : "new", label);
      all.push_back(std::move(made));
    }
  return all;
}

class Shelf {
 public:
  explicit Shelf(std::shared_ptr<const compiler::Policy> policy) : engine_(tests::engine_of(std::move(policy))) {
    stock_.covered.resize(2);
    stock_.covered[0] = runtime::covered_columns(engine_->policy())[0];
  }
  [[nodiscard]] const runtime::Engine& engine() const { return *engine_; }

  void ask_for(const compiler::Readings& readings) {
    player_ = runtime::player_of(readings);
    possible_ = runtime::possible_answers(*engine_, player_);
  }
  // Of the properties of the first piece.
  [[nodiscard]] std::vector<runtime::Outcome> outcomes() const {
    std::vector<runtime::Outcome> all;
    for (std::size_t property = 0; property < engine_->policy().properties.size(); ++property) {
      const auto table = static_cast<runtime::TableId>(engine_->policy().tables.property_table(property));
      all.push_back(engine_->outcome(table, possible_[table].classes.front()));
    }
    return all;
  }
  // By item: whether it would be handed over if it alone were on hand. What one stage takes is taken off the shelf, so
  // that the next has its turn, until nothing is left that any would take.
  [[nodiscard]] std::vector<bool> handed_over(const std::vector<Item>& items) {
    stock_.items.clear();
    for (const auto& each : items) stock_.items.push_back(each.item);
    stock_.first = {0, items.size(), items.size()};
    std::vector<bool> all(items.size());
    for (;;) {
      const auto matches = runtime::match(*engine_, player_, possible_, stock_, today);
      if (matches.front().kind != runtime::Match::Kind::items) return all;
      for (const auto item : matches.front().items) all[item] = true, stock_.items[item].on_hand = 0;
    }
  }

 private:
  std::shared_ptr<const runtime::Engine> engine_;
  runtime::Stock stock_;
  runtime::Player player_;
  std::vector<runtime::Possible> possible_;
};

struct Tally {
  std::size_t pairs = 0, told = 0, statements = 0, players = 0, gained = 0, lost = 0;
};

void try_pair(const std::string& head, const OfSides<Parts>& parts, std::vector<Item> (*every)(const compiler::Policy&),
              Tally& tally) {
  OfSides<std::shared_ptr<const compiler::Policy>> policies;
  for (const auto side : both_sides) {
    policies[side] = tests::compile_text("small.fitting", joined(head, parts[side])).policy;
    if (!policies[side]) return;
  }
  ++tally.pairs;
  const auto difference = compiler::differences(*policies.earlier, *policies.later);
  REQUIRE(difference.settled());
  OfSides<Shelf> shelves{Shelf(policies.earlier), Shelf(policies.later)};
  // Runs each statement's player through both engines, and throws where an item is not handed over as it says.
  const auto comparison = runtime::comparison_of(shelves.earlier.engine(), shelves.later.engine(), difference);
  if (tests::one_seed()) std::cout << runtime::text_of(comparison);
  REQUIRE(difference.items.size() <= 1);
  const auto none = std::vector<compiler::StatementOf<compiler::ItemsBecome>>();
  const auto& statements = difference.items.empty() ? none : difference.items.front().statements;
  tally.told += difference.items.size();
  tally.statements += statements.size();
  for (const auto& statement : statements)
    for (const auto& becomes : statement.becomes)
      for (const auto side : both_sides) REQUIRE(becomes.sample[side].has_value() == becomes.only_in[side]);

  const auto ask = [&](const char* what) {
    return parts.earlier.back().find(what) != std::string::npos || parts.later.back().find(what) != std::string::npos;
  };
  const auto items = priced_and_made(every(*policies.later), ask("price "), ask("made "));
  compiler::Reach reach(difference.space.tables);
  const auto& asked = difference.space.tables.asked;
  for (auto age = asked[0].lowest; age <= asked[0].highest; age += asked[0].grain)
    for (std::int64_t skill = 0; skill < 3; ++skill) {
      const compiler::Readings player{age, skill, asked[2].lowest};
      OfSides<std::vector<runtime::Outcome>> outcomes;
      bool proved = true;
      for (const auto side : both_sides) {
        shelves[side].ask_for(difference.editions->readings_in(side, player));
        outcomes[side] = shelves[side].outcomes();
        for (const auto& outcome : outcomes[side])
          proved = proved && (outcome.standing == Standing::answered || outcome.standing == Standing::referred);
      }
      if (!proved) continue;  // no quote is made of such an edition
      ++tally.players;
      OfSides<std::string> only_in;
      const auto before = shelves.earlier.handed_over(items), after = shelves.later.handed_over(items);
      for (std::size_t i = 0; i < items.size(); ++i)
        if (before[i] != after[i]) (before[i] ? only_in.earlier : only_in.later) = items[i].written;
      tally.lost += only_in.earlier.empty() ? 0 : 1;
      tally.gained += only_in.later.empty() ? 0 : 1;
      const auto places = reach.at(player);
      const auto inside = [&](const Box& box) {
        return std::all_of(box.begin(), box.end(), [&](const compiler::Cell& cell) {
          return compiler::contains(cell.places, places[cell.column].first);
        });
      };
      OfSides<bool> told{};
      std::size_t ways = 0;
      for (const auto& statement : statements) {
        if (!inside(statement.who) || std::any_of(statement.but_not.begin(), statement.but_not.end(), inside)) continue;
        for (const auto& becomes : statement.becomes)
          if (std::any_of(becomes.where.begin(), becomes.where.end(), inside)) told = becomes.only_in, ++ways;
      }
      INFO("age " << shelves.later.engine().policy().details[0].scale.write(age) << ", skill " << skill
                  << "; before alone: " << only_in.earlier << "; now alone: " << only_in.later
                  << "; told: " << told.earlier << told.later);
      REQUIRE(ways <= 1);
      // Where just the advice differs, nothing need be told: the change of the answer says it.
      if (ways == 0 && policies.earlier->shop.protection.front() == policies.later->shop.protection.front() &&
          parts.earlier.back() == parts.later.back() && outcomes.earlier != outcomes.later)
        continue;
      REQUIRE(told.earlier == !only_in.earlier.empty());
      REQUIRE(told.later == !only_in.later.empty());
    }
}

Tally try_pairs(const std::string& head, const std::vector<Part>& all,
                std::vector<Item> (*every)(const compiler::Policy&), const tests::Seeds& seeds) {
  Tally tally;
  for (const auto seed : seeds) {
    Draw draw(seed);
    OfSides<Parts> parts;
    for (const auto& part : all) parts.earlier.push_back(part(draw));
    parts.later = parts.earlier;
    for (auto edits = draw.between(1, 3); edits > 0; --edits) {
      const auto at = draw.place(all.size());
      parts.later[at] = all[at](draw);
    }
    INFO("seed " << seed << "\n==== before\n"
                 << joined(head, parts.earlier) << "==== now\n"
                 << joined(head, parts.later));
    try_pair(head, parts, every, tally);
  }
  std::cout << tally.pairs << " pairs of editions, " << tally.told << " with other items told in " << tally.statements
            << " statements; " << tally.players << " players, of whom " << tally.gained
            << " may be handed over what they could not be, and " << tally.lost << " no longer what they could be\n";
  return tally;
}

TEST_CASE("who may be handed other items is who would be, by trying every player and every item") {
  const auto tally = try_pairs(head, all_parts, every_item, tests::Seeds(1, tests::whole() ? 3'000 : 300));
  CHECK((tests::one_seed() || tally.told * 3 > tally.pairs));
}

TEST_CASE("so it is of a choice that is left open") {
  const auto tally = try_pairs(head_of_a_choice, parts_of_a_choice, every_item_of_a_choice,
                               tests::Seeds(1, tests::whole() ? 3'000 : 300));
  CHECK((tests::one_seed() || tally.told * 4 > tally.pairs));
}

}  // namespace
