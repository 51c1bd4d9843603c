// What leagues and standards ask, and the evidence for cautions (see test_trade.cc).
#include <fmt/format.h>

#include <catch2/catch.hpp>
#include <map>

#include "tests/policies/fitted.hpp"
#include "tests/support/policy/shipped.hpp"

namespace {

using namespace lacestay::tests;

// ---- house rules and marks -------------------------------------------------------------------------------

TEST_CASE("house rules: international") {
  const char* const book = "IIHF Official Rule Book";
  const Details international = {{"league", "international"}, {"skill", "league"}, {"visor_wish", "visor"}};
  for (const auto& who : {Details{}, Details{{"age", "60 years"}, {"birth_day", "1966-05-01"}}, child_of_nine})
    hold({{"neck laceration protection mandatory in all categories", book, "international: neck_for_all",
           Fitted(with(international, who)).speaker("international: neck_for_all", "neck_guard")}});
  hold({{"full face protection for women", book, "shield",
         Fitted(with(international, {{"sex", "female"}})).answer("face_protection", "kind")}});
  const auto junior = with(international, {{"age", "17 years"}, {"birth_day", "2009-06-01"}, {"category", "u18"}});
  hold({{"full face protection under 18", book, "shield", Fitted(junior).answer("face_protection", "kind")},
        {"a visor at least for men born after 31 December 1974", book, "international: men_visor",
         Fitted(with(international, {{"age", "51 years"}, {"birth_day", "1 January 1975"}}))
             .speaker("international: men_visor", "face_protection", "kind")},
        {"not for men born before", book, "",
         Fitted(with(international, {{"age", "51 years"}, {"birth_day", "31 December 1974"}}))
             .if_spoke("international: men_visor", "face_protection", "kind")}});
  for (const char* height : {"185 cm", "195 cm", "200 cm"})
    hold({{"stick at most 163 cm", book, "at most 163",
           at_most(163, Fitted(with(international, {{"height", height}})).ends("stick", "length").high * 2.54)}});
  hold({{"waiver from 2.0 m of height to 165 cm", book, "stick of up to 165 cm",
         Fitted(with(international, {{"height", "200 cm"}})).warning("stick of up to 165 cm")}});
  for (const char* height : {"190 cm", "200 cm", "215 cm"})
    for (const char* league : {"international", "british"})
      hold({{"the widened part of a goalkeeper's stick at most 71 cm", book, "at most 71",
             at_most(71,
                     Fitted(with(keeper, {{"league", league}, {"height", height}})).ends("goal_stick", "paddle").high *
                         2.54)}});
  hold(
      {{"no waiver below", book, "", Fitted(with(international, {{"height", "199.9 cm"}})).if_warned("165 cm")},
       {"blade at most 32 cm long, 5.0 to 7.6 cm high, curve at most 1.9 cm, 1.5 in older editions", book,
        "at most 32 cm long and 5.0 to 7.6 cm high, its curve at most 1.9 cm (1.5 cm",
        Fitted(international).warning("at most 32 cm long and 5.0 to 7.6 cm high, its curve at most 1.9 cm (1.5 cm")}});
}

TEST_CASE("house rules: North American youth") {
  const char* const book = "USA Hockey, rules 301 and 304";
  for (const char* category : {"u8", "u10", "u12", "u14", "u16", "u18", "adult"}) {
    const std::string name = category;
    const bool adult = name == "adult", small = name == "u8" || name == "u10";
    const Fitted player(Details{{"league", "north_american_youth"},
                                {"category", category},
                                {"skill", "league"},
                                {"visor_wish", "visor"},
                                {"contact", "full"},
                                {"height", "190 cm"}});
    INFO(category);
    hold({{"certified helmet and full mask below adult", book, (adult ? "visor" : "shield"),
           player.answer("face_protection", "kind")},
          {"neck laceration protection for all but adults", book,
           said_if(!adult, "north_american_youth: neck_below_adult"),
           player.if_spoke("north_american_youth: neck_below_adult", "neck_guard")},
          {"coloured mouthguard 12U to 18U, not 8U and 10U", book,
           said_if((!adult && !small), "north_american_youth: coloured_mouthguard"),
           player.if_spoke("north_american_youth: coloured_mouthguard", "mouthguard")},
          {"and coloured it must be", book, said_if((!adult && !small), "must be coloured"),
           player.if_warned("must be coloured")},
          {"body checking from 14U", book, said_if((small || name == "u12"), "from 14U on"),
           player.if_warned("from 14U on")},
          {"stick at most 63 in", book, "at most 63", at_most(63, player.ends("stick", "length").high)},
          {"the widened part of a goalkeeper's stick at most 26 in", book, "26",
           fmt::format(
               "{}",
               Fitted(with(keeper, {{"league", "north_american_youth"}, {"category", category}, {"height", "200 cm"}}))
                   .ends("goal_stick", "paddle")
                   .high)},
          {"blade 12½ in and 2 to 3 in, curve at most ¾ in", book,
           "at most 12½ in long, 2 to 3 in wide, its curve at most ¾ in",
           player.warning("at most 12½ in long, 2 to 3 in wide, its curve at most ¾ in")}});
  }
}

TEST_CASE("house rules: Canadian minor, Québec, British") {
  const char* const canada = "Hockey Canada, rule 3.6";
  const Details minor = {
      {"league", "canadian_minor"}, {"category", "u16"}, {"skill", "league"}, {"visor_wish", "visor"}};
  hold({{"a CSA-certified helmet", canada, "CSA Z262.1", Fitted(minor).answer("helmet", "mark")},
        {"and face protector", canada, "CSA Z262.2 B1", Fitted(minor).answer("face_protection", "mark")},
        {"of the whole face", canada, "shield", Fitted(minor).answer("face_protection", "kind")},
        {"a BNQ-certified throat protector", canada, "BNQ 9415-370", Fitted(minor).answer("neck_guard", "mark")},
        {"which is needed", canada, "canadian_minor: certified_throat",
         Fitted(minor).speaker("canadian_minor: certified_throat", "neck_guard")},
        {"a goalkeeper's hanging guard does not replace it", canada,
         "does not replace the BNQ-certified throat protector",
         Fitted(with(minor, keeper)).warning("does not replace the BNQ-certified throat protector")}});
  const char* const quebec = "Québec, S-3.1, r. 1 (O.C. 36-92), section 1";
  const Fitted anyone(Details{{"league", "quebec"},
                              {"age", "60 years"},
                              {"birth_day", "1966-05-01"},
                              {"skill", "elite"},
                              {"visor_wish", "visor"}});
  hold({{"helmet for anyone on reserved ice", quebec, "needed", anyone.presence("helmet")},
        {"full face protection for anyone", quebec, "shield", anyone.answer("face_protection", "kind")},
        {"neck protector for anyone", quebec, "needed", anyone.presence("neck_guard")},
        {"with exceptions for teams from elsewhere and a few leagues of grown-ups",
         "Québec, S-3.1, r. 1, section 2, and r. 2", "Excepted: teams from outside Québec",
         anyone.warning("Excepted: teams from outside Québec")}});
  // Where the duty goes with the ice, a friendly game is no exception.
  hold(
      {{"in a friendly game too", quebec, "Québec a full face too, in friendly play",
        Fitted().warning("Québec a full face too, in friendly play")},
       {"in a friendly game too", "England Ice Hockey, from 1 January 2024",
        "British rinks ask a neck guard of everyone", Fitted().warning("British rinks ask a neck guard of everyone")}});
  const char* const england = "England Ice Hockey, from 1 January 2024";
  for (const auto& who : {Details{}, Details{{"age", "60 years"}, {"birth_day", "1966-05-01"}}, child_of_nine})
    hold({{"neck guard for all players", england, "british: neck_for_all",
           Fitted(with(Details{{"league", "british"}}, who)).speaker("british: neck_for_all", "neck_guard")}});
}

TEST_CASE("house rules: every rule has its source, every pack says who decides, and what is from memory says so") {
  const auto& policy = shipped().policy();
  std::map<std::string, int> rules, deciding, remembered;
  for (const auto& rule : policy.rules) {
    const auto colon = rule.name.find(": ");
    if (colon == std::string::npos) continue;
    const auto pack = rule.name.substr(0, colon);
    INFO(rule.name);
    CHECK_FALSE(rule.source.empty());
    const bool dated = says(rule.source, " 20") || says(rule.source, "current") || says(rule.source, "S-3.1");
    CHECK((dated || says(rule.source, "unverified, from memory") || rule.source == "common practice"));
    ++rules[pack];
    deciding[pack] += rule.caution.find("decide") != std::string::npos ? 1 : 0;
    remembered[pack] += rule.source.find("unverified, from memory") != std::string::npos ? 1 : 0;
  }
  CHECK(rules.size() == 6);
  for (const auto& [pack, count] : rules) {
    fmt::print("trade: {}: {} rules, {} of them unverified, from memory\n", pack, count, remembered[pack]);
    CHECK(deciding[pack] == 1);
  }
  const Fitted junior(with(child_of_nine, {{"league", "international"}}));
  bool shown = false;
  for (const auto& caution : junior.advice().cautions)
    shown |= caution.part.source.find("unverified, from memory") != std::string::npos;
  CHECK(shown);
}

TEST_CASE("marks: which standard each piece carries, and where") {
  struct Mark {
    const char *piece, *league, *mark, *standard;
    int age;
    const char* role;
  };
  for (const auto& row :
       {Mark{"helmet", "friendly", "ISO 10256-2", "ISO 10256-2, head", 30, "skater"},
        {"helmet", "canadian_minor", "CSA Z262.1", "CSA Z262.1", 30, "skater"},
        {"face_protection", "british", "ISO 10256-3", "ISO 10256-3, face", 30, "skater"},
        {"face_protection", "canadian_minor", "CSA Z262.2 B1", "CSA Z262.2, B1", 11, "skater"},
        {"face_protection", "canadian_minor", "CSA Z262.2 B2", "CSA Z262.2, B2", 10, "skater"},
        {"face_protection", "north_american_youth", "ASTM F513 B1", "ASTM F513, B1 over 10 years", 11, "skater"},
        {"face_protection", "north_american_youth", "ASTM F513 B2", "ASTM F513, B2 for 10 or under", 10, "skater"},
        {"mask", "international", "ISO 10256-4", "ISO 10256-4, goalkeepers", 30, "goalkeeper"},
        {"mask", "north_american_youth", "ASTM F1587", "ASTM F1587", 12, "goalkeeper"},
        {"mask", "quebec", "CSA Z262.2 D1", "CSA Z262.2, D1; for whom: unverified, from memory", 11, "goalkeeper"},
        {"mask", "canadian_minor", "CSA Z262.2 D2", "CSA Z262.2, D2; for whom: unverified, from memory", 10,
         "goalkeeper"},
        {"neck_guard", "international", "ISO 10256-5", "ISO 10256-5, cuts by skate blade", 30, "skater"},
        {"neck_guard", "quebec", "BNQ 9415-370", "BNQ 9415-370", 30, "skater"}})
    hold({{fmt::format("{}, {}", row.piece, row.league), row.standard, row.mark,
           Fitted(Details{{"league", row.league},
                          {"role", row.role},
                          {"age", fmt::format("{} years", row.age)},
                          {"category", row.age < 14 ? "u12" : "adult"},
                          {"birth_day", fmt::format("{}-05-01", 2026 - row.age)}})
               .answer(row.piece, "mark")}});
  hold({{"type C, a visor for junior age and older", "ASTM F513", "ASTM F513 C",
         Fitted(Details{{"league", "north_american_youth"}, {"skill", "league"}, {"visor_wish", "visor"}})
             .answer("face_protection", "mark")}});
  // CSA's type C stands in no row: those who ask for CSA's marks here want the whole face of everyone.
  for (const char* league : {"canadian_minor", "quebec"})
    for (const char* skill : {"improving", "league", "elite"}) {
      const Fitted player(Details{{"league", league}, {"skill", skill}, {"visor_wish", "visor"}});
      hold({{"CSA Z262.2, type C, for nobody", "CSA Z262.2", "other than visor",
             other_than("visor", player.answer("face_protection", "kind"))},
            {"but type B1", "CSA Z262.2", "CSA Z262.2 B1", player.answer("face_protection", "mark")}});
    }
  hold({{"the label names the type", "ASTM F513, CSA Z262.2 (types B1, B2, C)",
         "The label names the type: B1 whole face over 10 years of age, B2 for 10 or under, C a visor.",
         found("The label names the type: B1 whole face over 10 years of age, B2 for 10 or under, C a visor.",
               Fitted().because("face_protection", "mark"))}});
}

// ---- cautions --------------------------------------------------------------------------------------------

TEST_CASE("cautions with evidence") {
  for (const auto& who : {Details{}, child_of_nine, keeper, Details{{"skill", "elite"}, {"contact", "full"}}}) {
    const Fitted player(who);
    hold({{"no helmet prevents all concussion", common, "No helmet and no mask prevents every",
           player.warning("No helmet and no mask prevents every")},
          {"neck guards lower but do not remove the risk", common, "it does not remove it",
           player.warning("it does not remove it")},
          {"fit matters; a trained fitter", common, "have a trained fitter see the kit on you",
           player.warning("have a trained fitter see the kit on you")}});
    for (const auto& caution : player.advice().cautions) {
      const auto& [says_it, source] = std::pair{caution.part.says, caution.part.source};
      for (const char* words : {"prevents every", "it does not remove it", "does not fit does not protect",
                                "heavy blow", "basic-safe", "no skin should show", "second shell"})
        if (says(says_it, words))
          hold({{"evidence is named, or that there is none", common, "no study named",
                 found("no study named", source)}});
      if (says(says_it, "2.3 times")) hold({{"evidence is named", common, "JAMA 1999", found("JAMA 1999", source)}});
    }
  }
  hold({{"half shields had 2.3 times the cuts and 9.9 times the dental injuries of full shields",
         "JAMA 1999;282:2328, university players",
         "2.3 times the cuts and 9.9 times the dental injuries of full shields",
         Fitted(Details{{"visor_wish", "visor"}, {"skill", "league"}})
             .warning("2.3 times the cuts and 9.9 times the dental injuries of full shields")}});
}

}  // namespace
