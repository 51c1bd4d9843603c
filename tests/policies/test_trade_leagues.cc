// What leagues and standards ask, and the evidence for cautions (see test_trade.cc).
#include <fmt/format.h>

#include <algorithm>
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
          {"and coloured it must be", book, ((!adult && !small) ? "coloured" : "clear or coloured"),
           player.answer("mouthguard", "colour")},
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
        {"and face protector", canada, "CSA Z262.2", Fitted(minor).answer("face_protection", "mark")},
        {"of the type for over ten", canada, "B1", Fitted(minor).answer("face_protection", "type")},
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
  const auto& policy = haverdike().policy();
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
  CHECK(rules.size() == 7);
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

Details of_age(int age) {
  return {{"age", fmt::format("{} years", age)},
          {"category", age < 14 ? "u12" : "adult"},
          {"birth_day", fmt::format("{}-05-01", 2026 - age)}};
}

const std::vector<const char*> leagues = {"not_named",      "friendly", "international", "north_american_youth",
                                          "canadian_minor", "quebec",   "british"};

TEST_CASE("marks: which standard each piece carries, and where") {
  struct Mark {
    const char *piece, *league, *mark, *standard;
    const char* role = "skater";
  };
  for (const auto& row : {Mark{"helmet", "friendly", "ISO 10256-2", "ISO 10256-2, head"},
                          {"helmet", "canadian_minor", "CSA Z262.1", "CSA Z262.1"},
                          {"face_protection", "british", "ISO 10256-3", "ISO 10256-3, face"},
                          {"face_protection", "canadian_minor", "CSA Z262.2", "CSA Z262.2"},
                          {"face_protection", "north_american_youth", "ASTM F513", "ASTM F513"},
                          {"mask", "international", "ISO 10256-4", "ISO 10256-4, goalkeepers", "goalkeeper"},
                          {"mask", "north_american_youth", "ASTM F1587", "ASTM F1587", "goalkeeper"},
                          {"mask", "quebec", "CSA Z262.2", "CSA Z262.2", "goalkeeper"},
                          {"neck_guard", "international", "ISO 10256-5", "ISO 10256-5, cuts by skate blade"},
                          {"neck_guard", "quebec", "BNQ 9415-370", "BNQ 9415-370"}})
    hold({{fmt::format("{}, {}", row.piece, row.league), row.standard, row.mark,
           Fitted(Details{{"league", row.league}, {"role", row.role}}).answer(row.piece, "mark")}});
}

// ASTM F513's scope: B1 is for wearers over 10 years of age, B2 for those of 10 or under, C a visor for junior age and
// older. CSA's Z262.2 has the same three, and D1 and D2 of goalkeepers' masks by the same age (unverified, from
// memory).
TEST_CASE("types: by age in every league, whatever the head measures") {
  for (const auto* league : leagues)
    for (const char* girth : {"50 cm", "54 cm", "57 cm", "60 cm"})
      for (int age = 4; age <= 40; age += age < 14 ? 1 : 13) {
        const auto who = with(of_age(age), {{"league", league},
                                            {"head_girth", girth},
                                            {"height", "140 cm"},
                                            {"weight", "40 kg"},
                                            {"foot_length", "220 mm"},
                                            {"other_foot", "220 mm"},
                                            {"foot_width", "82 mm"}});
        const bool small = age <= 10;
        hold({{fmt::format("a face protector at {}, {}, head {}", age, league, girth), "ASTM F513, scope",
               small ? "B2" : "B1", Fitted(who).answer("face_protection", "type")},
              {fmt::format("a mask at {}, {}, head {}", age, league, girth), "CSA Z262.2, ISO 10256-4",
               small ? "D2" : "D1", Fitted(with(who, keeper)).answer("mask", "type")}});
      }
  // A visor is of type C, and nobody else's protector is.
  for (const auto* league : leagues)
    for (const char* skill : {"new", "improving", "league", "elite"})
      for (const char* sex : {"female", "male"})
        for (const char* wish : {"no_wish", "visor", "full_face"})
          for (const char* born : {"1970-05-01", "1996-05-01"}) {
            const Fitted player(Details{{"league", league},
                                        {"skill", skill},
                                        {"sex", sex},
                                        {"visor_wish", wish},
                                        {"birth_day", born},
                                        {"age", born[2] == '7' ? "56 years" : "30 years"}});
            const bool visor = player.answer("face_protection", "kind") == "visor";
            INFO(league << " " << skill << " " << sex << " " << wish << " " << born);
            CHECK(player.answer("face_protection", "type") == (visor ? "C" : "B1"));
          }
}

// The cage goes by the helmet's size: whoever has a small helmet has a small cage.
TEST_CASE("a cage is of its helmet's size") {
  const std::map<std::string, std::string> cage_of = {
      {"x_small", "small"}, {"small", "small"}, {"medium", "medium"}, {"large", "large"}, {"x_large", "large"}};
  for (int girth = 440; girth <= 640; girth += 5) {
    const Fitted player(Details{{"head_girth", mm(girth)}});
    INFO(girth << " mm (" << common << ")");
    CHECK(player.answer("face_protection", "size") == cage_of.at(player.answer("helmet", "size")));
  }
}

// Where no rink is named, nothing that protects is asked less than where any is.
TEST_CASE("no rink named: the strictest of all house rules") {
  const std::vector<std::string> kinds = {"visor", "shield", "cage"};
  const auto rank = [&](const std::string& kind) {
    return std::find(kinds.begin(), kinds.end(), kind) - kinds.begin();
  };
  std::size_t stricter = 0;
  for (int age : {6, 9, 12, 15, 17, 25, 60})
    for (const char* sex : {"female", "male"})
      for (const char* skill : {"new", "improving", "league"})
        for (const char* wish : {"no_wish", "visor"}) {
          const int cut = age < 8 ? 8 : age < 10 ? 10 : age < 12 ? 12 : age < 14 ? 14 : age < 16 ? 16 : 18;
          const auto who = with(of_age(age), {{"sex", sex},
                                              {"skill", skill},
                                              {"visor_wish", wish},
                                              {"height", "140 cm"},
                                              {"weight", "40 kg"},
                                              {"foot_length", "220 mm"},
                                              {"other_foot", "220 mm"},
                                              {"foot_width", "82 mm"},
                                              {"category", age > 17 ? "adult" : fmt::format("u{}", cut)}});
          const Fitted nowhere(with(who, {{"league", "not_named"}}));
          for (const auto* league : leagues) {
            const Fitted there(with(who, {{"league", league}}));
            INFO(age << " " << sex << " " << skill << " " << wish << " " << league);
            for (const char* piece : {"neck_guard", "mouthguard"})
              if (there.presence(piece) == "needed") CHECK(nowhere.presence(piece) == "needed");
            CHECK(rank(nowhere.answer("face_protection", "kind")) >= rank(there.answer("face_protection", "kind")));
            stricter += rank(nowhere.answer("face_protection", "kind")) > rank(there.answer("face_protection", "kind"));
          }
          hold({{"a helmet that the strictest take", "Hockey Canada, rule 3.6", "CSA Z262.1",
                 nowhere.answer("helmet", "mark")},
                {"a neck guard that the strictest take", "Hockey Canada, rule 3.6; Québec, S-3.1, r. 1", "BNQ 9415-370",
                 nowhere.answer("neck_guard", "mark")},
                {"the advice says so", common, "No rink is named", nowhere.warning("No rink is named")}});
        }
  CHECK(stricter > 0);
  for (const auto* league : leagues)
    for (const char* height : {"185 cm", "195 cm", "200 cm"}) {
      const Details who = {{"height", height}, {"league", league}},
                    nowhere = {{"height", height}, {"league", "not_named"}};
      INFO(league << " " << height);
      CHECK(Fitted(nowhere).ends("stick", "length").low <= Fitted(who).ends("stick", "length").low);
      CHECK(Fitted(with(nowhere, keeper)).ends("goal_stick", "paddle").low <=
            Fitted(with(who, keeper)).ends("goal_stick", "paddle").low);
    }
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
                                "heavy blow", "basic-safe", "no skin should show"})
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
