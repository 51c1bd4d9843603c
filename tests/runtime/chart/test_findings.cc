// What the proof suggests: a rule that closes a gap without a guess, and an `outranks` that parts two rules.
#include <fmt/format.h>

#include <algorithm>
#include <catch2/catch.hpp>
#include <iostream>
#include <map>

#include "compiler/check/compile.hpp"
#include "runtime/advice/advice.hpp"
#include "runtime/chart/findings.hpp"
#include "tests/reference/generate/generator.hpp"
#include "tests/runtime/seal/policies.hpp"
#include "tests/support/golden.hpp"

namespace {

using namespace lacestay;
using namespace lacestay::tests;
using Kind = compiler::Finding::Kind;

struct Proved {
  explicit Proved(std::shared_ptr<const compiler::Policy> policy)
      : engine(engine_of(policy)), proof(compiler::prove(*policy)), told(runtime::told(*engine, proof)) {}

  std::shared_ptr<const runtime::Engine> engine;
  compiler::Proof proof;
  std::vector<Problem> told;
};

// What the rules of each case are of.
const std::string shop_text = R"(policy "Corner shop"
edition 1, in force from 1 September 2026
ask age     4 to 90 years, whole
ask weight  12 to 180 kg
ask foot    140 to 330 mm
ask skill   grades new, improving, league
ask role    choice skater, goalkeeper
work out build = (weight / 1 kg) / (foot / 1 mm)
piece stick always
  flex   band 20 to 110 flex step 5 flex
  grade  grades soft, firm, hard
piece skates always
  size   140 to 330 mm step 5 mm
)";

TEST_CASE("what is suggested for a gap") {
  const auto cases = golden_cases("gaps");
  CHECK(cases.size() >= 10);
  for (const auto& each : cases) {
    INFO(each.name);
    const Proved proved(compiled(shop_text + each.section("rules")));
    REQUIRE_FALSE(proved.told.empty());
    REQUIRE(proved.proof.findings.front().kind == Kind::gap);
    each.check("suggested", proved.told.front().hint + "\n" + proved.told.front().ready_text);
  }
}

TEST_CASE("a claim holds of items by what binds them alone") {
  const std::string cap = "rule no_more\n  cap pads tier at medium\n";
  for (const auto& accepts : {"tier at least advised", "condition new"}) {
    INFO(accepts);
    const auto with = [&](const std::string& more) {
      auto text = std::string("policy \"Corner shop\"\nedition 1, in force from 1 September 2026\n") +
                  "ask age 4 to 90 years, whole\npiece pads always\n  tier grades light, medium, heavy\n" +
                  "rule usual_pads\n  set pads tier to medium\n" + "accept pads with " + accepts + "\n" +
                  "make sure pads tier is at most medium\n";
      return Proved(compiled(text + more)).proof.refused();
    };
    CHECK(with(cap));
    CHECK_FALSE(with(cap + "  safety\n"));
  }
}

TEST_CASE("a band whose two ends leave no step between them is told with both") {
  const std::string shop = R"(policy "Corner shop"
edition 1, in force from 1 September 2026
ask weight 12 to 180 kg
ask skill  grades new, league
work out soft_end  = weight / 1 kg * 80%
work out stiff_end = weight / 1 kg * 110%
piece stick always
  flex band 20 to 110 flex step 10 flex
rule flex_by_weight
  size stick flex from )";
  const auto told = [&](const std::string& rules) {
    std::string out;
    for (const auto& each : Proved(compiled(shop + rules)).told) out += render({each}) + "\n";
    return out;
  };
  golden("findings/band_ends_turned_round.txt", told("stiff_end to soft_end, never under 20 flex or over 110 flex\n"));
  golden("findings/band_without_a_step.txt", told("soft_end to stiff_end, never under 20 flex or over 110 flex\n"));
  golden("findings/sized_bands_that_clash.txt",
         told("soft_end to stiff_end, never under 20 flex or over 110 flex\n"
              "rule light\n  refer stick flex\n  for weight under 40 kg\n"
              "rule heavy\n  set stick flex to 40 to 60 flex\n  for weight over 150 kg\n"
              "rule learners\n  keep stick flex within 20 to 30 flex\n  for skill new, weight over 120 kg\n"
              "rule stiff\n  keep stick flex within 90 to 110 flex\n  for skill league, weight under 50 kg\n"));
}

TEST_CASE("rules that leave nothing of a choice are told together, with what each leaves") {
  std::string out;
  for (const auto& each : Proved(compiled(R"(policy "Corner shop"
edition 1, in force from 1 September 2026
ask age   4 to 90 years, whole
ask skill grades new, league
piece helmet always
  mark choice iso_10256_2 shown as "ISO 10256-2", csa_z262_1 shown as "CSA Z262.1", hecc
chart usual_marks gives helmet mark
  down skill
    new:     any of them
    league:  iso_10256_2 or csa_z262_1
rule not_hecc
  keep helmet mark within iso_10256_2 or csa_z262_1
  for age under 30
rule not_csa
  keep helmet mark within iso_10256_2 or hecc
  for age under 18
  safety
rule not_iso
  keep helmet mark within csa_z262_1 or hecc
  for age under 12
rule hecc_alone
  keep helmet mark within hecc
  for age at least 60
)"))
                              .told)
    out += render({each}) + "\n";
  golden("findings/rules_that_leave_nothing_of_a_choice.txt", out);
}

TEST_CASE("steps past the range, or from what a safety rule gives, are told with a player and a way out") {
  const std::string boots = R"(policy "Corner shop"
edition 1, in force from 1 September 2026
ask age  4 to 90 years, whole
ask foot 140 to 330 mm
piece skates always
  tier grades entry, club, performance
  size 140 to 340 mm step 20 mm
rule boot_size
  size skates size from foot
)";
  const auto tier = [](const char* grade, const char* safety) {
    return fmt::format("rule usual_tier\n  set skates tier to {}\n{}", grade, safety);
  };
  const auto up = [](const char* name, const char* steps, const char* more) {
    return fmt::format("rule {}\n  {} in skates tier\n{}", name, steps, more);
  };
  struct Case {
    std::string rules, code, message, hint, ready, at, note;
  };
  const std::string fewer = "hold the step to fewer players with for";
  const Case cases[] = {
      {tier("club", "") + up("better", "one step up", "") + up("best", "two steps up", "  for age at least 20\n"),
       "proof-9",
       "'better' and 'best' move skates tier past its last step, performance, where age 20 years or more. For "
       "instance: age "
       "60 years.",
       fewer + ", or leave it to the fitter by this rule",
       "rule new_skates_tier\n  refer skates tier\n  for age at least 20 years\n", "rule better",
       "'usual_tier' gives the answer that is moved"},
      {tier("entry", "") + up("worse", "one step down", "  for age under 10\n"), "proof-9",
       "'worse' moves skates tier past its first step, entry, where age under 10 years. For instance: age 6 years.",
       fewer + ", or leave it to the fitter by this rule",
       "rule new_skates_tier\n  refer skates tier\n  for age under 10 years\n", "rule worse",
       "'usual_tier' gives the answer that is moved"},
      // Beside a refer a safety rule's answer would be past the range as well.
      {tier("performance", "  safety\n") + up("better", "one step up", "  for age under 10\n  safety\n"), "proof-9",
       "'better' moves skates tier past its last step, performance, where age under 10 years. For instance: age 6 "
       "years.",
       fewer, "", "rule better", "'usual_tier' gives the answer that is moved"},
      {tier("entry", "  safety\n") + up("better", "one step up", "  for age under 10\n"), "proof-10",
       "'better' moves the answer that the safety rule 'usual_tier' gives for skates tier where age under 10 years. "
       "For "
       "instance: age 6 years.",
       "hold the two apart with for, or write under 'usual_tier': outranks better", "", "rule usual_tier",
       "'better' stands here"},
      {tier("entry", "") + "rule roomy\n  one step up in skates size\n  for age under 13\n", "proof-9",
       "'roomy' moves skates size past its last step, 340 mm, where age under 13 years and foot over 320 mm. For "
       "instance: "
       "age 8 years, foot 326 mm.",
       fewer + ", or leave it to the fitter by this rule",
       "rule new_skates_size\n  refer skates size\n  for age under 13 years, foot over 320 mm\n", "rule roomy",
       "'boot_size' gives the answer that is moved"},
  };
  for (const auto& each : cases) {
    INFO(each.rules);
    const Proved proved(compiled(boots + each.rules));
    REQUIRE(proved.proof.refused());
    const auto& told = proved.told.front();
    CHECK(told.code == each.code);
    CHECK(told.message == each.message);
    CHECK(told.hint == each.hint);
    CHECK(told.ready_text == each.ready);
    CHECK(told.where.text() == each.at);
    CHECK(std::any_of(told.notes.begin(), told.notes.end(), [&](const auto& note) { return note.text == each.note; }));
    // What is suggested does away with it, and with it alone.
    if (!each.ready.empty()) CHECK_FALSE(Proved(compiled(boots + each.rules + each.ready)).proof.refused());
  }
  // So does the other way.
  const auto kept =
      boots + tier("entry", "  safety\n  outranks better\n") + up("better", "one step up", "  for age under 10\n");
  CHECK_FALSE(Proved(compiled(kept)).proof.refused());
}

TEST_CASE("two lines of the shop that are for one player are told with him, and a line for nobody is a remark") {
  const std::string boots = R"(policy "Corner shop"
edition 1, in force from 1 September 2026
money GBP
ask age    4 to 90 years, whole
ask skill  grades new, club
work out half = age / 2
piece boots always
  tier grades entry, club
rule usual_tier
  set boots tier to entry
)";
  const auto told = [&](const std::string& lines) {
    std::string all;
    for (const auto& each : Proved(compiled(boots + lines)).told)
      if (each.code != "remark-4" && each.code != "remark-5") all += render(each);
    return all;
  };
  CHECK(
      told("accept boots with tier as advised for age under 10\naccept boots with condition new for skill club\n"
           "worth boots tier 5 GBP a step for skill new\nworth boots tier 6 GBP a step\n") ==
      R"(proof-13: Two lines say what is accepted for boots where age under 10 years and skill club. For instance: age 6 years, skill club.
  corner.fitting, line 12, character 1
      accept boots with condition new for skill club
      ^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^
  the other line: corner.fitting, line 11, character 1
      accept boots with tier as advised for age under 10
      ^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^
  Try: hold the two apart, each with for at its end (this one is for skill club, the other for age under 10 years).
proof-13: Two lines say what a step of boots tier is worth where skill new. For instance: skill new.
  corner.fitting, line 14, character 1
      worth boots tier 6 GBP a step
      ^^^^^^^^^^^^^^^^^^^^^^^^^^^^^
  the other line: corner.fitting, line 13, character 1
      worth boots tier 5 GBP a step for skill new
      ^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^
  Try: hold the two apart, each with for at its end (this one is for everybody, the other for skill new).
)");
  // That no two values of a worked-out detail and the one it comes from meet is found as everywhere.
  CHECK(told("accept boots with tier as advised for age under 10\naccept boots with condition new for half at least 5 "
             "years\n")
            .empty());
  CHECK(told("accept boots with tier as advised for age under 10, half at least 30 years\n") ==
        R"(remark-1: No player meets this, so 'accept boots' never applies here.
  corner.fitting, line 11, character 1
      accept boots with tier as advised for age under 10, half at least 30 years
      ^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^
  Try: take it out, or mend its conditions.
)");
}

TEST_CASE("a claim on items is refuted only by those whom the accept line is for") {
  const std::string boots = R"(policy "Corner shop"
edition 1, in force from 1 September 2026
ask skill  grades new, club, elite
piece boots always
  tier grades entry, club, top
rule usual_tier
  set boots tier to entry
accept boots with tier at least advised for skill elite
accept boots with tier as advised for skill new
)";
  CHECK_FALSE(Proved(compiled(boots + "make sure boots tier is at most entry for skill new, club\n")).proof.refused());
  const Proved refuted(compiled(boots + "make sure boots tier is at most entry\n"));
  REQUIRE(refuted.proof.refused());
  CHECK(refuted.told.front().code == "proof-8");
  CHECK(refuted.told.front().message.find("skill elite") != std::string::npos);
  CHECK(refuted.told.front().notes.front().span.text() == "accept boots with tier at least advised for skill elite");
}

TEST_CASE("a gap of many ranges is told by the first of them and their count") {
  std::string text =
      "policy \"Corner shop\"\nedition 1, in force from 1 September 2026\nask weight 12 to 180 kg\npiece stick always\n"
      "  flex band 20 to 110 flex step 5 flex\n";
  for (int i = 0; i < 12; ++i)
    text +=
        fmt::format("rule r{0}\n  set stick flex to 40 to 55 flex\n  for weight at least {1} kg, weight under {2} kg\n",
                    i, 20 + 10 * i, 25 + 10 * i);
  const Proved proved(compiled(text));
  REQUIRE_FALSE(proved.told.empty());
  CHECK(proved.told.front().message ==
        "Nothing answers stick flex where weight under 20 kg, 25 kg up to 30 kg, 35 kg up to 40 kg, 45 kg up to 50 kg, "
        "55 kg up to 60 kg and 8 more ranges. For instance: weight 16 kg.");
}

TEST_CASE("a clash is told in all its parts, and those past the limit are counted") {
  const std::string shop = R"(policy "Corner shop"
edition 1, in force from 1 September 2026
ask n 0 to 9, whole
ask m 0 to 9, whole
piece stick always
  toe   choice round, square
  grade grades soft, firm, hard
piece bag optional
rule graded
  set stick grade to firm
)";
  const std::string usual = "rule usual\n  set stick toe to round\n";
  const std::string far =
      "rule far\n  set stick toe to square\n  for n at least 4, m under 3\n  outranks usual, long\n";
  const std::string in_a_chart =
      "chart toe_chart gives stick toe\n  across m  under 3, the rest\n  down n\n    under 2: round, round\n"
      "    under 4: round, square\n    the rest: square, round\n"
      "rule long\n  set stick toe to square\n  for n at least 2\n";
  const auto one_player = [](const char* name, int value) {
    return fmt::format(
        "rule {0}\n  set stick toe to square\n  for n at least {1}, n at most {1}, m at least {1}, m at most {1}\n"
        "  outranks usual, long\n",
        name, value);
  };
  const auto three = one_player("three", 3), six = one_player("six", 6);
  const std::string hold = "'usual' and 'long' both answer stick toe where ";
  struct Case {
    std::string rules;
    std::size_t shown;  // the budget's
    std::string message;
    std::size_t left_out;
  };
  const Case cases[] = {
      // In one part.
      {usual + "rule long\n  set stick toe to square\n  for n at least 2, n at most 4\n", 10,
       hold + "n 2 up to 5. For instance: n 3.", 0},
      // Less those a third rule answers.
      {usual + "rule long\n  set stick toe to square\n  for n at least 2\n" + far, 10,
       hold + "n 4 or more and m 3 or more; also where n 2 up to 4. For instance: n 6, m 6.", 0},
      {usual + "rule long\n  set stick toe to square\n  for n at least 2\n" + far +
           "rule near\n  set stick toe to square\n  for n under 4, m at least 8\n  outranks usual, long\n",
       1, hold + "n 4 or more and m 3 or more; also where n 2 up to 4 and m under 8. For instance: n 6, m 6.", 0},
      // Of two rules one finding, whichever of their rows meet.
      {in_a_chart, 10, "'toe_chart' and 'long' both answer stick toe where n 2 or more. For instance: n 6, m 6.", 0},
      {in_a_chart + "rule far\n  set stick toe to square\n  for n at least 4, m under 3\n  outranks toe_chart, long\n",
       10,
       "'toe_chart' and 'long' both answer stick toe where n 2 or more and m 3 or more; also where n 2 up to 4 and m "
       "under 3. For instance: n 6, m 6.",
       0},
      // All but two players.
      {usual + "rule long\n  set stick toe to square\n" + six + three, 10,
       hold +
           "n under 3, 4 up to 6, 7 or more; also where n 3 up to 4 and m under 3, 4 or more; also where n 6 up to 7 "
           "and m under 6, 7 or more. For instance: n 1, m 4.",
       0},
      {usual + "rule long\n  set stick toe to square\n" + six + three, 1,
       hold +
           "n under 3, 4 up to 6, 7 or more; also where n 3 up to 4 and m under 3, 4 or more. For instance: n 1, m 4.",
       1},
      {usual + "rule carry\n  need bag\n  for n at least 2\nrule hands\n  omit bag\nrule light\n  suggest bag\n"
               "  for n at least 4, m under 3\n  outranks carry\n",
       10,
       "'carry' needs bag and 'hands' leaves it out where n 4 or more and m 3 or more; also where n 2 up to 4. For "
       "instance: n 6, m 6.",
       0},
      {usual + "rule up\n  floor stick grade at hard\nrule down\n  cap stick grade at soft\n  for n at least 2\n"
               "rule ask\n  refer stick grade\n  for n at least 4, m under 3\n",
       10,
       "The floor 'up' lies above the cap 'down' where n 4 or more and m 3 or more; also where n 2 up to 4. For "
       "instance: n 6, m 6.",
       0},
  };
  for (const auto& each : cases) {
    INFO(each.rules);
    const auto policy = compiled(shop + each.rules);
    compiler::ProofBudget budget;
    budget.shown = each.shown;
    const auto proof = compiler::prove(*policy, budget);
    const auto told = runtime::told(*engine_of(policy), proof);
    REQUIRE_FALSE(told.empty());
    CHECK(told.front().message == each.message);
    CHECK(proof.left_out == each.left_out);
  }
}

// To take such a rule out would weaken what may be handed over, though no answer of an advice turns on it.
TEST_CASE("a safety rule, and a limit of house rules, is idle only if nobody meets it") {
  const auto files = std::vector<naive::TextFile>{{"corner.fitting", R"(policy "Corner shop"
edition 1, in force from 1 September 2026
along with "club.fitting"
ask age 4 to 90 years, whole
piece helmet always
  tier  grades entry, club, top
piece neck_guard for age under 18
  kind  choice collar, bib
rule usual
  set helmet tier to club
rule plain
  floor helmet tier at entry
  for age under 60
rule sound
  floor helmet tier at entry
  for age under 60
  safety
rule usual_collar
  set neck_guard kind to collar
rule sure_collar
  set neck_guard kind to collar
  for age at least 18
  outranks usual_collar
  safety
)"},
                                                  {"club.fitting", R"(pack "Club"
relies on age in whole years
rule held
  cap helmet tier at top
  for age under 13
)"}};
  const auto made = compile_files(files);
  REQUIRE(made.policy);
  std::string told;
  for (const auto& each : Proved(made.policy).told)
    if (each.code == "remark-1" || each.code == "remark-2") told += each.code + ": " + each.message + "\n";
  CHECK(told ==
        "remark-2: 'plain' changes no player's answer here, nor what may be handed over for it: others say the same, "
        "or go before it.\n"
        "remark-1: No player meets this, so 'sure_collar' never applies here.\n");
}

TEST_CASE("a piece that nothing in stock is accepted for is remarked upon, and the line it asks for mends it") {
  const std::string shop = R"(policy "Corner shop"
edition 1, in force from 1 September 2026
money GBP
ask age 4 to 90 years, whole
piece helmet always
  size  grades small, large
  sum   band 40 to 90 GBP step 5 GBP
piece stick always
  flex   band 20 to 110 flex step 5 flex
  curve  choice left, right
piece neck_guard optional
rule all
  set helmet size to small
rule sums
  set helmet sum to 40 to 60 GBP
rule bend
  set stick flex to 40 to 55 flex
rule curve
  set stick curve to left
rule neck
  need neck_guard
  for age under 18
  safety
)";
  std::string lines;
  std::vector<Proved> kept;  // what is told points into their texts
  const auto told = [&] {
    kept.emplace_back(compiled(shop + lines));
    std::vector<Problem> all;
    for (const auto& each : kept.back().told)
      if (each.code == "remark-6") all.push_back(each);
    return all;
  };
  CHECK(told().empty());  // a policy that quotes nothing
  lines = "accept neck_guard with condition new\n";
  const auto open = told();
  REQUIRE(open.size() == 2);
  golden("findings/nothing_is_accepted_for_a_piece.txt", render(open));
  for (const auto& each : open) lines += each.hint.substr(each.hint.find("accept ")) + "\n";
  CHECK(told().empty());
}

// The text with a line more at the end of an item.
std::string with_line(const std::string& text, const std::string& item, const std::string& line) {
  auto at = std::min({text.find("\nrule " + item + "\n"), text.find("\nchart " + item + " gives ")});
  REQUIRE(at != text.npos);
  do {
    at = text.find('\n', at + 1);
  } while (at + 1 < text.size() && (text[at + 1] == ' ' || text[at + 1] == '\n' || text[at + 1] == '#'));
  return text.substr(0, at + 1) + "  " + line + "\n" + text.substr(at + 1);
}

std::string short_text(const compiler::Policy& policy, const compiler::Finding& finding) {
  return fmt::format("{} {} {} {}", static_cast<int>(finding.kind), policy.name_of(policy.tables.tables[finding.table]),
                     policy.rules[finding.rules[0]].name, policy.rules[finding.rules[1]].name);
}

TEST_CASE("what is suggested where two rules clash is lawful and parts them") {
  std::map<Kind, std::size_t> parted, apart_only;
  for (std::uint64_t seed = 1; seed <= 400; ++seed) {
    const auto files = naive::generate(seed).files;
    const auto compile = [&](const std::string& text) {
      return compiler::compile("shop.fitting", text, [&](const std::string& path) -> Result<std::string> {
        for (const auto& file : files)
          if (file.name == path) return file.text;
        return Problem{"file-5", "there is none"};
      });
    };
    const auto& text = files.front().text;
    const auto made = compile(text);
    if (!made.policy) continue;
    const Proved before(made.policy);
    for (std::size_t i = 0; i < before.told.size(); ++i) {
      const auto& finding = before.proof.findings[i];
      if (!finding.refuses() || finding.rules.size() != 2) continue;
      const auto& hint = before.told[i].hint;
      const std::string way = "write under '";
      if (hint.find(way) == hint.npos) ++apart_only[finding.kind];
      // One before the other, or the other before the one: each that is offered is lawful by itself.
      for (auto at = hint.find(way); at != hint.npos; at = hint.find(way, at + 1)) {
        const auto over = hint.substr(at + way.size(), hint.find('\'', at + way.size()) - at - way.size());
        auto line = hint.substr(hint.find("outranks ", at));
        line = line.substr(0, line.find_first_of(",;"));
        const bool here =
            text.find("\nrule " + over + "\n") != text.npos || text.find("\nchart " + over + " gives ") != text.npos;
        if (!here) continue;  // it stands in another file
        INFO("seed " << seed << ", " << over << ": " << line);
        const auto mended = compile(with_line(text, over, line));
        INFO(render(mended.diagnostics));
        REQUIRE(mended.policy);
        const Proved after(mended.policy);
        for (const auto& other : after.proof.findings) {
          if (other.refuses() && other.rules.size() == 2)
            CHECK(short_text(*mended.policy, other) != short_text(*made.policy, finding));
          // And nobody is left without an answer whom a base spoke to.
          if (other.kind != Kind::gap || other.table != finding.table) continue;
          const auto answer = runtime::explain(*before.engine, runtime::player_of(other.players.front()), other.table);
          for (const auto& part : answer.parts)
            for (const auto& rule : made.policy->rules)
              if (rule.name == part.rule && part.role != compiler::Role::Kind::silenced)
                CHECK(rule.effect != compiler::Effect::base);
        }
        ++parted[finding.kind];
      }
    }
  }
  for (const auto kind : {Kind::two_answers, Kind::floor_over_cap, Kind::band_emptied, Kind::need_and_omit}) {
    std::cout << parted[kind] << " clashes parted by the outranks suggested, " << apart_only[kind]
              << " by other means\n";
    CHECK(parted[kind] > 5);
  }
}

TEST_CASE("what is suggested for gaps, written into the policy, closes them and answers nobody twice") {
  naive::Settings settings;
  settings.several_files = false;
  std::size_t closed = 0, policies = 0;
  std::map<std::string, std::size_t> written;
  for (std::uint64_t seed = 1; seed <= 400; ++seed) {
    const auto text = naive::generate(seed, settings).files.front().text;
    const auto made = compiler::compile("shop.fitting", text, {});
    if (!made.policy) continue;
    const Proved before(made.policy);
    std::string rules;
    std::vector<compiler::Finding> gaps;
    for (std::size_t i = 0; i < before.told.size(); ++i) {
      if (before.proof.findings[i].kind != Kind::gap) continue;
      REQUIRE_FALSE(before.told[i].ready_text.empty());
      rules += before.told[i].ready_text;
      ++written[before.told[i].ready_text.find("\n  set ") != std::string::npos ? "set" : "refer"];
      gaps.push_back(before.proof.findings[i]);
    }
    if (gaps.empty()) continue;
    ++policies;
    INFO("seed " << seed << "\n" << rules);
    const Proved after(compiled(text + rules));
    for (const auto& gap : gaps) {
      auto scratch = after.engine->scratch();
      after.engine->place(gap.players.front(), scratch);
      CHECK(after.engine->outcome(gap.table, scratch).standing != runtime::Standing::gap);
      ++closed;
    }
    for (std::size_t i = 0; i < after.told.size(); ++i) {
      if (after.proof.findings[i].kind != Kind::two_answers) continue;
      INFO(render(after.told[i]));
      for (const auto rule : after.proof.findings[i].rules)
        CHECK(after.engine->policy().rules[rule].name.rfind("new_", 0) != 0);
    }
  }
  std::cout << closed << " gaps of " << policies << " policies closed as suggested, " << written["set"]
            << " as both sides of them say, " << written["refer"] << " by the fitter\n";
  CHECK(written["refer"] > 100);
}

TEST_CASE("what is told of lines on players that cannot be") {
  const std::string rest = R"(piece stick always
  flex 20 to 100 flex step 10 flex
chart flex_chart gives stick flex
  down weight
    under 40 kg: 30 flex
    the rest:    60 flex
)";
  const std::string asked =
      "policy \"Corner shop\"\nedition 1, in force from 1 September 2026\n"
      "ask age 4 to 20 years, whole\nask weight 12 to 90 kg\nask skill grades new, league\n";
  const auto texts_of = [&](const std::string& lines) {
    std::string text;
    for (const auto& problem : Proved(compiled(asked + rest + lines)).told)
      if (problem.code != "remark-4" && problem.code != "remark-5") text += render(problem);
    return text;
  };
  CHECK(texts_of("nobody has age under 8, weight over 60 kg \"Weigh again.\"\n") == "");
  CHECK(texts_of("nobody has age under 12, weight over 30 kg \"Weigh again.\"\n"
                 "nobody has age at least 12, weight over 30 kg \"Weigh again.\"\n"
                 "nobody has skill new, weight under 40 kg \"Weigh again.\"\n"
                 "nobody has skill league, weight under 40 kg \"Weigh again.\"\n") ==
        R"(proof-11: The lines that say who nobody is leave no player at all.
  corner.fitting, line 12, character 1
      nobody has age under 12, weight over 30 kg "Weigh again."
      ^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^
  Try: take one of them out, or add a condition to it.
)");
  CHECK(texts_of("nobody has weight at least 12 kg, weight under 90 kg, skill new \"Weigh again.\"\n"
                 "make sure stick flex never falls as weight rises for skill new\n") ==
        R"(proof-12: The lines that say who nobody is leave no two players to compare here.
  corner.fitting, line 13, character 1
      make sure stick flex never falls as weight rises for skill new
      ^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^
  Try: take this line out, or one of those.
)");
  // One that stands above a wider one; one that no values meet.
  CHECK(texts_of("nobody has age under 6, weight over 70 kg \"Weigh again.\"\n"
                 "nobody has age under 8, weight over 60 kg \"Weigh again.\"\n"
                 "nobody has age under 8, age at least 9, skill league \"Ask again.\"\n") ==
        R"(remark-7: This line shuts out nobody: no player is like that, or other lines shut them out already.
  corner.fitting, line 12, character 1
      nobody has age under 6, weight over 70 kg "Weigh again."
      ^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^
  Try: take it out, or mend its conditions.
remark-7: This line shuts out nobody: no player is like that, or other lines shut them out already.
  corner.fitting, line 14, character 1
      nobody has age under 8, age at least 9, skill league "Ask again."
      ^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^
  Try: take it out, or mend its conditions.
)");
}

TEST_CASE("a gap, a clash and a broken claim are excused where nobody can be, and told where somebody is left") {
  const std::string shop = R"(policy "Corner shop"
edition 1, in force from 1 September 2026
ask age 4 to 20 years, whole
ask category choice u11, adult
ask weight 12 to 90 kg
piece stick always
  toe choice round, square
  flex 20 to 100 flex step 10 flex
rule round_toe
  set stick toe to round
  for category u11
rule square_toe
  set stick toe to square
  for age at least 15
chart flex_chart gives stick flex
  down weight
    under 40 kg: 30 flex
    the rest:    60 flex
rule soft_for_the_young
  cap stick flex at 50 flex
  for age under 9
make sure stick flex is at most 50 flex for age under 11
)";
  const auto codes = [&](const std::string& lines) {
    std::vector<std::string> all;
    for (const auto& problem : Proved(compiled(shop + lines)).told)
      if (problem.code.rfind("proof", 0) == 0) all.push_back(problem.code);
    return all;
  };
  using Codes = std::vector<std::string>;
  CHECK(codes("") == Codes{"proof-1", "proof-2", "proof-6"});
  const std::string no_young_adults = "nobody has age under 15, category adult \"Ask again.\"\n";
  const std::string no_old_juniors = "nobody has age at least 15, category u11 \"Ask again.\"\n";
  const std::string no_heavy_children = "nobody has age under 11, weight at least 40 kg \"Weigh again.\"\n";
  CHECK(codes(no_young_adults) == Codes{"proof-2", "proof-6"});
  CHECK(codes(no_young_adults + no_old_juniors) == Codes{"proof-6"});
  CHECK(codes(no_young_adults + no_old_juniors + no_heavy_children) == Codes{});
  // A year short of what is needed, and somebody is left.
  CHECK(codes("nobody has age under 14, category adult \"Ask again.\"\n" + no_old_juniors + no_heavy_children) ==
        Codes{"proof-1"});
}

// Of ten years nobody is with the under-tens, of nine nobody is elsewhere: two who are compared need not be of one
// class.
TEST_CASE("two players who are compared may differ in what the property does not rest on") {
  const std::string shop = R"(policy "Corner shop"
edition 1, in force from 1 September 2026
ask age 4 to 20 years, whole
ask category choice u10, adult
nobody has age under 10, category adult    "Ask again."
nobody has age at least 10, category u10   "Ask again."
piece stick always
  flex 20 to 100 flex step 10 flex
make sure stick flex never falls as age rises
)";
  const std::string by_age =
      "chart flex_chart gives stick flex\n  down age\n    under 10: 60 flex\n    the rest: 30 flex\n";
  const auto told = Proved(compiled(shop + by_age)).told;
  REQUIRE_FALSE(told.empty());
  CHECK(told.front().code == "proof-6");
  CHECK(
      told.front().message ==
      "This does not hold for every player. For instance: age 6 years: 60 flex; but with age 15 years, category adult: "
      "30 flex.");
  // What turns on the class as well compares nobody of one class with anybody of another.
  const std::string by_both =
      "chart flex_chart gives stick flex\n  across category u10, adult\n  down age\n    under 10: 60 flex, 60 flex\n"
      "    the rest: 30 flex, 30 flex\n";
  for (const auto& problem : Proved(compiled(shop + by_both)).told) CHECK(problem.code.rfind("proof", 0) != 0);
}

}  // namespace
