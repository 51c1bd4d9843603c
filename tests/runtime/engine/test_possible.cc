// Answers with blanks against plain enumeration. In small policies whose details can be counted through, every set of
// details is left blank in turn, every completion is put to the engine one by one, and the outcomes that come are
// compared with what is said to be possible. In the shipped policy, where nobody can count through, no completion
// tried may get an answer that was not said to be possible.
#include <algorithm>

#include "tests/runtime/engine/counted_through.hpp"
#include "tests/runtime/engine/direct_details.hpp"
#include "tests/support/policy/compiled.hpp"
#include "tests/support/settings.hpp"
#include "tests/support/shop/small_shop.hpp"

namespace {

using namespace lacestay;
using namespace lacestay::tests;

struct Sums {
  std::size_t players = 0, completions = 0, answers = 0, several = 0;
};

// Every set of details blank, the others known from some players.
Sums compare_with_counting(const std::string& items, std::size_t players_each = 6) {
  const auto engine = tests::small_shop(items);
  const auto details = engine->policy().details.size();
  REQUIRE(details <= 6);
  naive::Draw draw(20260901);
  Sums sums;
  for (std::uint32_t blank = 0; blank < (1u << details); ++blank) {
    for (std::size_t each = 0; each < players_each; ++each) {
      auto player = somebody(*engine, draw);
      for (std::size_t i = 0; i < details; ++i)
        if ((blank >> i & 1) != 0) player.readings[i] = std::nullopt;
      const auto counted = count_through(*engine, player);
      ++sums.players;
      sums.completions += counted.completions;
      const auto all_at_once = runtime::possible_answers(*engine, player);
      REQUIRE(all_at_once.size() == engine->answers());
      for (TableId table = 0; table < engine->answers(); ++table) {
        INFO(items << "\n" << described(*engine, player) << "table " << table);
        const auto possible = runtime::possible_answers(*engine, table, player);
        REQUIRE(possible.exact);
        std::set<Plain> outcomes;
        for (const auto found : possible.classes) outcomes.insert(plain(engine->outcome(table, found)));
        REQUIRE(outcomes == counted.outcomes[table]);
        // Reasons are taken from the classes, so those must be the very ones as well.
        REQUIRE(std::is_sorted(possible.classes.begin(), possible.classes.end()));
        REQUIRE(std::set<ClassId>(possible.classes.begin(), possible.classes.end()) == counted.classes[table]);
        REQUIRE(runtime::different_outcomes(*engine, table, possible.classes) == outcomes.size());
        REQUIRE(all_at_once[table].classes == possible.classes);
        REQUIRE(all_at_once[table].exact);
        REQUIRE(possible.concerns == counted.concerns[table]);
        REQUIRE(all_at_once[table].concerns == counted.concerns[table]);
        ++sums.answers;
        sums.several += outcomes.size() > 1 ? 1 : 0;
      }
      if (blank == 0 && each == 0) REQUIRE(counted.completions == 1);
      if (blank + 1 == (1u << details)) break;  // all blank: every player is the same
    }
  }
  CHECK(sums.several > 0);
  return sums;
}

// ---- small policies --------------------------------------------------------------------------------------

// No literal is below nothing, so the gap is moved up by 12.
const char* const sums_and_differences = R"(
ask chest 1 to 12, whole
ask waist 1 to 12, whole
ask skill grades new, improving, league
work out total = chest + waist
work out gap   = chest - waist + 12
piece pads always
  size  grades small, medium, large
  cut   grades slim, even, full
chart size_chart gives pads size
  down total
    under 7:    small
    at most 15: medium
    the rest:   large
chart cut_chart gives pads cut
  across skill  new or improving,  league
  down gap
    under 9:     full,  even
    at most 14:  even,  even
    the rest:    slim,  slim
rule both
  caution "Small but broad."
  for total under 9, gap over 16
rule no_one
  caution "Nobody is both."
  for total under 4, gap over 16
)";

const char* const ratios = R"(
ask foot   140 to 170 mm, whole
ask height 90 to 110 cm, whole
ask age    4 to 9 years, whole
work out share  = foot / height
work out square = share * share * 100
piece skates always
  width grades narrow, regular, wide
chart width_chart gives skates width
  down share
    at most 14%: narrow
    under 16%:   regular
    the rest:    wide
rule growing
  caution "Measure again soon."
  for age under 7, share over 15%
rule squared
  caution "Long feet."
  for square at least 2.25, share at most 16%
rule third
  caution "A third of half a metre."
  for share over 15.5%, square under 2.5, age at least 6
)";

const char* const roundings = R"(
ask foot 200 to 230 mm, whole
ask toe  0 to 9 mm, whole
ask role choice skater, goalkeeper
work out up      = (foot + toe) rounded up to 5 mm
work out down_to = (foot - toe) rounded down to 10 mm
work out nearest = foot * 3 / 7 rounded to the nearest 3 mm
piece skates always
  size 200 to 240 mm step 5 mm
  last grades short, middle, long
rule boot_size
  size skates size from up
rule goal_boot
  refer skates size
  for role goalkeeper, up over 230 mm
chart last_chart gives skates last
  down nearest
    at most 87 mm: short
    under 96 mm:   middle
    the rest:      long
rule apart
  caution "Much room at the toe."
  for up at least 225 mm, down_to under 210 mm
rule same
  caution "All of a size."
  for up at most 215 mm, down_to at least 210 mm, role skater
)";

const char* const years_of_birth = R"(
ask birth_day 1 December 2006 to 28 February 2009
ask role      choice skater, goalkeeper
ask sessions  0 to 3, whole
work out season_age = whole years from birth_day to 31 December 2026
work out today_age  = whole years from birth_day to 28 February 2026
piece neck_guard optional
piece mask always
  tier grades entry, club
rule young_season
  need neck_guard
  for season_age under 19
rule old_enough
  suggest neck_guard
  for season_age at least 19, today_age under 19
chart mask_chart gives mask tier
  down today_age
    under 18: entry
    the rest: club
rule between
  caution "Turns a year older within the season."
  for birth_day since 29 February 2008, birth_day before 2 March 2008, today_age under 18
rule no_one
  caution "Nobody ages two years in one."
  for season_age at least 20, today_age under 18
)";

const char* const larger_and_smaller = R"(
ask chest 50 to 62 cm, whole
ask waist 48 to 60 cm, whole
ask hips  50 to 58 cm, whole
work out broad  = the larger of chest and waist
work out slight = the smaller of (the smaller of chest and waist) and hips
work out spread = broad - slight
piece pads always
  size grades youth, junior, small
chart size_chart gives pads size
  down broad
    under 54 cm:    youth
    at most 57 cm:  junior
    the rest:       small
rule slight_one
  cap pads size at junior
  for slight under 50 cm, broad under 60 cm
rule odd
  caution "Broad above, slight below."
  for spread over 9 cm, hips under 55 cm
rule no_one
  caution "Nobody's smallest is his largest."
  for slight over 55 cm, broad under 53 cm
)";

const char* const chart_valued = R"(
ask age   4 to 20 years, whole
ask foot  200 to 215 mm, whole
ask skill grades new, improving, league
chart growth_room gives growth_room
  across skill  new or improving,  league
  down age
    under 9:    8 mm,  6 mm
    under 13:   8 mm,  4 mm
    under 17:   4 mm,  2 mm
    the rest:   0 mm,  0 mm
chart turns gives turns
  down age
    under 10: 2
    the rest: 3
work out boot = foot + growth_room
work out load = boot * turns
piece skates always
  size  200 to 225 mm step 5 mm
  grind grades shallow, deep
rule boot_size
  size skates size from boot
chart grind_chart gives skates grind
  down turns
    at most 2: shallow
    the rest:  deep
rule room
  caution "Much room."
  for growth_room over 5 mm, boot at most 212 mm
rule no_one
  caution "Nobody under ten turns three times."
  for turns over 2, age under 10
rule heavy
  caution "Loaded."
  for load over 630 mm, age under 14
)";

const char* const one_input_two_ways = R"(
ask weight 20 to 60 kg, whole
ask height 100 to 120 cm, whole
ask hand   choice left, right
work out half   = weight / 1 kg / 2
work out double = weight / 1 kg * 2
work out build  = (weight / 1 kg) / (height / 1 m)
piece stick always
  flex 20 to 60 flex step 10 flex
chart flex_chart gives stick flex
  across double  under 70,  at most 90,  the rest
  down half
    under 15:    20 flex,   30 flex,     40 flex
    under 20:    30 flex,   40 flex,     50 flex
    under 25:    40 flex,   50 flex,     60 flex
    the rest:    50 flex,   50 flex,     60 flex
rule stocky
  caution "Stocky."
  for build over 40, half at most 25
rule no_one
  caution "Half is never more than double."
  for half over 20, double under 80
rule by_hand
  caution "Left, and slight."
  for hand left, build under 16.5, double over 40
)";

// Some lines tie what a table looks at to what it does not; one is about a worked-out detail.
const char* const who_cannot_be = R"(
ask age      4 to 20 years, whole
ask category choice u11, u15, adult
ask height   100 to 110 cm, whole
ask weight   20 to 40 kg, whole
work out build = (weight / 1 kg) / (height / 1 m)
nobody has category u15, adult, age under 11    "Ask again."
nobody has category u11, age at least 11        "Ask again."
nobody has category adult, age under 15         "Ask again."
nobody has category u15, age at least 15        "Ask again."
nobody has height under 105 cm, weight over 32 kg "Measure again."
nobody has build over 33, age under 12          "Measure again."
nobody has age at least 11, age under 15, height over 108 cm  "Measure again."
piece pads always
  size grades small, medium, large
  cut  grades slim, full
piece cage optional
  wire choice thin, thick
chart size_chart gives pads size
  across height  under 105 cm,  the rest
  down category
    u11:    small,  medium
    u15:    medium, medium
    adult:  medium, large
chart cut_chart gives pads cut
  down weight
    under 33 kg: slim
    the rest:    full
rule caged
  need cage
  for age under 15
chart wires gives cage wire
  down category
    u11:        thin
    u15, adult: thick
rule stout
  caution "Stout."
  for build over 31, category u11
rule no_one
  caution "Nobody in the u11s is fourteen."
  for category u11, age at least 14
)";

TEST_CASE("with blanks, just what some completion gets is possible") {
  const auto run = [](const char* name, const char* items) {
    const auto sums = compare_with_counting(items);
    fmt::print("possible: {}: {} players, {} completions, {} answers, {} of them several\n", name, sums.players,
               sums.completions, sums.answers, sums.several);
  };
  SECTION("details themselves") { run("details themselves", direct); }
  SECTION("sums and differences") { run("sums and differences", sums_and_differences); }
  SECTION("ratios") { run("ratios", ratios); }
  SECTION("roundings") { run("roundings", roundings); }
  SECTION("whole years") { run("whole years", years_of_birth); }
  SECTION("larger and smaller") { run("larger and smaller", larger_and_smaller); }
  SECTION("details that a chart gives") { run("details that a chart gives", chart_valued); }
  SECTION("players that cannot be") { run("players that cannot be", who_cannot_be); }
  SECTION("one input, two ways") { run("one input, two ways", one_input_two_ways); }
}

TEST_CASE("what no one can get is not possible, however blank the player is") {
  // Each policy above with a rule `no_one` has one caution that interval arithmetic over the whole domains can't rule
  // out.
  for (const auto* items :
       {sums_and_differences, years_of_birth, larger_and_smaller, chart_valued, one_input_two_ways, who_cannot_be}) {
    const auto engine = tests::small_shop(items);
    const auto& policy = engine->policy();
    runtime::Player nothing_known;
    nothing_known.readings.resize(policy.details.size());
    std::size_t found = 0;
    for (std::size_t i = 0; i < policy.cautions.size(); ++i) {
      if (policy.rules[policy.cautions[i]].name != "no_one") continue;
      ++found;
      const auto table = static_cast<TableId>(policy.tables.first_caution_table() + i);
      const auto possible = runtime::possible_answers(*engine, table, nothing_known);
      INFO(items);
      CHECK(possible.exact);
      REQUIRE(possible.classes.size() == 1);
      CHECK(engine->outcome(table, possible.classes.front()).standing == compiler::Standing::silent);
    }
    CHECK(found == 1);
  }
}

// ---- the shipped policy ----------------------------------------------------------------------------------

TEST_CASE("in the shipped policy no completion gets an answer that was not possible") {
  const auto engine = tests::engine_of(tests::shipped_policy("northgate.fitting"));
  const auto& tables = engine->policy().tables;
  const auto details = tables.asked.size();
  // Near an edge as often as anywhere: there an interval that is one tick too short would show.
  naive::Draw draw(77);
  const auto any_value = [&](std::size_t i) {
    const auto& domain = tables.asked[i];
    const auto& cuts = tables.columns[i].cuts;
    if (!cuts.empty() && draw.between(0, 1) == 0) {
      const auto& cut = cuts[static_cast<std::size_t>(draw.between(0, static_cast<std::int64_t>(cuts.size()) - 1))];
      return std::clamp(cut.at - draw.between(0, 1) * domain.grain, domain.lowest, domain.highest);
    }
    return domain.lowest + draw.between(0, (domain.highest - domain.lowest) / domain.grain) * domain.grain;
  };
  const std::size_t players = tests::whole() ? 2'000 : 150;
  constexpr std::size_t completions = 200;
  std::size_t inexact = 0, several = 0, tried = 0;
  auto scratch = engine->scratch();
  std::vector<ClassId> answers(engine->answers());
  for (std::size_t each = 0; each < players; ++each) {
    runtime::Player player;
    for (std::size_t i = 0; i < details; ++i)
      player.readings.push_back(draw.between(0, 2) == 0 ? std::nullopt : std::optional(any_value(i)));
    const auto possible = runtime::possible_answers(*engine, player);
    for (const auto& one : possible) inexact += one.exact ? 0 : 1, several += one.classes.size() > 1 ? 1 : 0;
    for (std::size_t k = 0; k < completions; ++k) {
      std::vector<std::int64_t> readings;
      for (std::size_t i = 0; i < details; ++i)
        readings.push_back(player.readings[i] ? *player.readings[i] : any_value(i));
      engine->answer(readings, scratch, answers);
      if (!engine->can_be(scratch)) continue;
      ++tried;
      for (TableId table = 0; table < engine->answers(); ++table) {
        if (!counts(*engine, answers, table) ||
            std::binary_search(possible[table].classes.begin(), possible[table].classes.end(), answers[table]))
          continue;
        INFO(described(*engine, player) << "table " << table);
        FAIL("a completion gets an answer that was not said to be possible");
      }
    }
  }
  fmt::print("possible: shipped policy: {} players, {} completions, {} answers open, {} not exact\n", players, tried,
             several, inexact);
  CHECK(several > 0);
  CHECK(inexact == 0);
}

}  // namespace
