// The trade's figures of pads, what is worn in goal, head and face, and the rest of a kit (see test_trade.cc).
#include <fmt/format.h>

#include <catch2/catch.hpp>

#include "tests/policies/fitted.hpp"

namespace {

using namespace lacestay::tests;

// ---- pads ------------------------------------------------------------------------------------------------

TEST_CASE("pads: grades") {
  hold({{"higher tiers buy mobility, comfort and padding, and weigh more, unlike skates", common,
         "buy mobility, comfort and padding, and weigh more. Dearer skates weigh less",
         Fitted().warning("buy mobility, comfort and padding, and weigh more. Dearer skates weigh less")}});
  for (const char* piece : {"body_pads", "elbow_pads", "padded_pants", "shin_guards", "gloves"})
    for (const char* contact : {"none", "incidental"})
      for (const char* skill : {"new", "improving", "league", "elite"})
        for (const char* weight : {"30 kg", "75 kg", "130 kg"}) {
          const Fitted player(
              Details{{"contact", contact}, {"skill", skill}, {"weight", weight}, {"position", "defence"}});
          hold(
              {{fmt::format("{}: without full contact the top tier is money wasted, recreational play never needs more "
                            "than the middle",
                            piece),
                common, "other than heavy", other_than("heavy", player.answer(piece, "tier"))}});
        }
  hold({{"with full contact the top tier is for use", common, "heavy",
         Fitted(Details{{"contact", "full"}, {"skill", "league"}}).answer("body_pads", "tier")},
        {"no gap between pieces", common, "no skin should show between two pieces",
         Fitted().warning("no skin should show between two pieces")}});
}

// The trade's sums for a beginner, pants at 70: body pads 40, elbow pads 45, shin guards and gloves 55, a helmet 50,
// with its cage 75.
TEST_CASE("pads, helmet and gloves: a beginner's sums, each to that of the pants") {
  for (const auto& details : {Details{}, light_adult}) {
    const Fitted player(details);
    const auto sum = [&](const char* piece) { return middle(player.ends(piece, "sum")); };
    const double pants = sum("padded_pants");
    stands_near("body pads", common, 40.0 / 70, sum("body_pads") / pants);
    stands_near("elbow pads", common, 45.0 / 70, sum("elbow_pads") / pants);
    stands_near("shin guards", common, 55.0 / 70, sum("shin_guards") / pants);
    stands_near("gloves", common, 55.0 / 70, sum("gloves") / pants);
    stands_near("helmet", common, 50.0 / 70, sum("helmet") / pants);
    stands_near("helmet with a cage", common, 75.0 / 70, (sum("helmet") + sum("face_protection")) / pants);
  }
}

TEST_CASE("pads: the measures that decide") {
  struct Measure {
    const char *piece, *property, *detail, *small, *large;
  };
  for (const auto& row : {Measure{"body_pads", "size", "chest", "26 in", "47 in"},
                          {"body_pads", "size", "waist", "20 in", "47 in"},
                          {"padded_pants", "size", "waist", "20 in", "47 in"},
                          {"padded_pants", "leg", "height", "160 cm", "190 cm"},
                          {"elbow_pads", "size", "forearm", "16 cm", "28 cm"},
                          {"shin_guards", "length", "shin", "9 in", "16 in"},
                          {"gloves", "size", "height", "120 cm", "180 cm"},
                          {"helmet", "size", "head_girth", "50 cm", "61 cm"},
                          {"neck_guard", "size", "neck_girth", "26 cm", "43 cm"}})
    hold({{fmt::format("{} {} by {}", row.piece, row.property, row.detail), common,
           "other than " + Fitted(Details{{row.detail, row.large}}).answer(row.piece, row.property),
           other_than(Fitted(Details{{row.detail, row.large}}).answer(row.piece, row.property),
                      Fitted(Details{{row.detail, row.small}}).answer(row.piece, row.property))}});
  // On bodies of which the leg is a usual share, about a fifth.
  for (const int length : {8, 9, 11, 13, 15, 17})
    hold({{"shin guards from kneecap centre to boot top", common, fmt::format("{} in", length),
           Fitted(Details{{"shin", fmt::format("{} in", length)},
                          {"height", cm(length * 2.54 / 0.21)},
                          {"weight", "45 kg"},
                          {"foot_length", "225 mm"},
                          {"other_foot", "225 mm"}})
               .answer("shin_guards", "length")}});
}

// Drillis and Contini's proportions of a body (1966) have the forearm at 14.6% of its height, the lower leg at 24.6%.
TEST_CASE("pads: a slip of the tape gives no child a grown-up's pads, and no grown-up a child's") {
  const Details child = with(child_of_nine, {{"height", "138 cm"}});
  const Details tall = {{"height", "183 cm"}, {"weight", "70 kg"}, {"age", "16 years"}, {"birth_day", "1 May 2010"}};
  struct Slip {
    const char *what, *piece, *property, *detail, *slip, *expected;
    Details who;
  };
  for (const auto& row :
       {Slip{"a nine-year-old of 138 cm, measured over the coat", "body_pads", "size", "chest", "84 cm", "junior",
             child},
        Slip{"the same, broader than junior pads are cut", "body_pads", "size", "chest", "112 cm", "refer", child},
        Slip{"the same, at the waist", "padded_pants", "size", "waist", "100 cm", "refer", child},
        Slip{"the same, the whole arm measured", "elbow_pads", "size", "forearm", "36 cm", "medium", child},
        Slip{"the same, down to the floor", "shin_guards", "length", "shin", "45 cm", "13 in", child},
        Slip{"a boy of 183 cm, slim", "body_pads", "size", "chest", "80 cm", "medium", tall},
        Slip{"the same, the forearm measured short", "elbow_pads", "size", "forearm", "14 cm", "junior", tall},
        Slip{"the same, the shin measured short", "shin_guards", "length", "shin", "20 cm", "12 in", tall}})
    hold({{row.what, "after Drillis and Contini, 1966; common practice", row.expected,
           Fitted(with(row.who,
                       {{row.detail, row.slip}, {"waist", row.detail == std::string("waist") ? row.slip : "60 cm"}}))
               .answer(row.piece, row.property)}});
}

TEST_CASE("pads: past the largest on the rack the fitter decides, and nowhere before") {
  struct Past {
    const char *piece, *property, *detail, *last, *past;
    Details who;
  };
  const Details bare;
  for (const auto& row : {Past{"padded_pants", "size", "waist", "46 in", "46.5 in", bare},
                          Past{"body_pads", "size", "chest", "52 in", "52.5 in", bare},
                          Past{"body_pads", "size", "waist", "52 in", "52.5 in", bare},
                          Past{"pelvic_guard", "size", "waist", "46 in", "46.5 in", bare},
                          Past{"base_layer", "size", "chest", "50 in", "50.5 in", bare},
                          Past{"goal_pants", "size", "waist", "46 in", "46.5 in", keeper},
                          Past{"chest_arm", "size", "chest", "54 in", "54.5 in", keeper},
                          Past{"chest_arm", "size", "waist", "54 in", "54.5 in", keeper}}) {
    const auto largest = std::string(row.piece) == "pelvic_guard" ? "large" : "x_large";
    hold({{fmt::format("{}: {} of {}", row.piece, row.detail, row.last), common, largest,
           Fitted(with(row.who, {{row.detail, row.last}})).answer(row.piece, row.property)},
          {fmt::format("{}: {} of {}", row.piece, row.detail, row.past), common, "refer",
           Fitted(with(row.who, {{row.detail, row.past}})).answer(row.piece, row.property)}});
  }
}

TEST_CASE("pads: a tall player's are never too short, however slim: no gap between pieces") {
  struct Slim {
    const char *piece, *height, *size;
    Details who;
  };
  const Details slim = {{"chest", "25 in"}, {"waist", "21 in"}};
  for (const auto& row : {Slim{"padded_pants", "119 cm", "youth", slim}, Slim{"padded_pants", "120 cm", "junior", slim},
                          Slim{"padded_pants", "149 cm", "junior", slim}, Slim{"padded_pants", "150 cm", "small", slim},
                          Slim{"body_pads", "119 cm", "youth", slim}, Slim{"body_pads", "120 cm", "junior", slim},
                          Slim{"body_pads", "150 cm", "small", slim}, Slim{"body_pads", "180 cm", "medium", slim},
                          Slim{"goal_pants", "129 cm", "youth", with(slim, keeper)},
                          Slim{"goal_pants", "130 cm", "junior", with(slim, keeper)},
                          Slim{"goal_pants", "160 cm", "small", with(slim, keeper)},
                          Slim{"chest_arm", "129 cm", "youth", with(slim, keeper)},
                          Slim{"chest_arm", "130 cm", "junior", with(slim, keeper)},
                          Slim{"chest_arm", "160 cm", "small", with(slim, keeper)},
                          Slim{"chest_arm", "180 cm", "medium", with(slim, keeper)}})
    hold({{fmt::format("{}: {}, waist 21 in, chest 25 in", row.piece, row.height), common, row.size,
           Fitted(with(row.who, {{"height", row.height}})).answer(row.piece, "size")}});
}

TEST_CASE("in goal: which hand, and what keeps a stick's blade out") {
  for (const char* hand : {"left", "right"}) {
    const std::string other = std::string(hand) == "left" ? "right" : "left";
    const Fitted player(with(keeper, {{"hand", hand}, {"skill", "improving"}}));
    hold({{"the stick in the stick hand", common, hand, player.answer("goal_stick", "side")},
          {"the blocker on the same", common, hand, player.answer("blocker", "worn_on")},
          {"the catcher on the other", common, other, player.answer("catcher", "worn_on")}});
    const Fitted first(with(keeper, {{"hand", hand}}));
    for (const auto& [piece, property] :
         {std::pair{"goal_stick", "side"}, {"blocker", "worn_on"}, {"catcher", "worn_on"}})
      hold({{"a first season's hands are settled by throwing a ball", common, "refer", first.answer(piece, property)}});
  }
  const char* const iso = "ISO 10256-4:2016, introduction";
  for (const char* league : {"friendly", "international", "british"})
    hold({{"D1 and D2 keep out a stick blade, D3 only a puck", iso, "D3, the cat's-eye, does not",
           Fitted(with(keeper, {{"league", league}})).warning("D3, the cat's-eye, does not")}});
  for (const char* league : {"not_named", "north_american_youth", "canadian_minor", "quebec"})
    hold({{"no word of ISO's types where another mark is asked for", iso, "",
           Fitted(with(keeper, {{"league", league}})).if_warned("cat's-eye")}});
  hold({{"and none to a skater", iso, "", Fitted().if_warned("cat's-eye")},
        {"a goalkeeper's cup, with its second shell", common, "goalkeeper's jock",
         Fitted(keeper).answer("pelvic_guard", "kind")},
        {"a goalkeeper's of a woman", common, "goalkeeper's jill",
         Fitted(with(keeper, {{"sex", "female"}})).answer("pelvic_guard", "kind")},
        {"a skater needs none", common, "jock", Fitted().answer("pelvic_guard", "kind")},
        {"socks: over a skater's guards", common, "covers the shin guard",
         found("covers the shin guard", Fitted().because("socks", "length"))},
        {"socks: under a goalkeeper's pads", common, "Under the leg pad",
         found("Under the leg pad", Fitted(keeper).because("socks", "length"))},
        {"a jersey goes over it all", common, "Over it all goes a jersey",
         Fitted().warning("Over it all goes a jersey")}});
}

TEST_CASE("age and day of birth that can't both be right") {
  struct Both {
    const char *age, *birth_day;
    bool warned;
  };
  // The season's age is the one reached on 31 December 2026; on a day of the edition, 1 September 2026 to 31 August
  // 2027, the age is that, one less before the birthday in 2026, or one more after the one in 2027.
  for (const auto& row : {Both{"9 years", "2017-04-01", false}, Both{"8 years", "2017-10-01", false},
                          Both{"10 years", "2017-04-01", false}, Both{"11 years", "2017-04-01", true},
                          Both{"7 years", "2017-04-01", true}, Both{"30 years", "1 May 1996", false},
                          Both{"30 years", "1 May 1969", true}, Both{"50 years", "1 May 1996", true}}) {
    Details details{{"age", row.age}, {"birth_day", row.birth_day}};
    if (std::atoi(row.age) < 18)
      details.insert({{"category", "u12"},
                      {"height", "130 cm"},
                      {"weight", "28 kg"},
                      {"foot_length", "205 mm"},
                      {"other_foot", "205 mm"},
                      {"foot_width", "80 mm"}});
    hold({{fmt::format("{}, born {}", row.age, row.birth_day), common,
           said_if(row.warned, "Age and day of birth do not agree"),
           Fitted(details).if_warned_first("Age and day of birth do not agree")}});
  }
}

// ---- head, face, and the rest of a kit -------------------------------------------------------------------

TEST_CASE("head and face") {
  hold({{"a basic certified helmet is basic-safe; more money buys fit, ventilation and comfort", common,
         "a basic one is basic-safe. More buys fit, air and comfort",
         Fitted().warning("a basic one is basic-safe. More buys fit, air and comfort")}});
  for (const char* wish : {"no_wish", "visor", "full_face"})
    hold({{"a beginner leaves with a full cage", common, "cage",
           Fitted(Details{{"visor_wish", wish}}).answer("face_protection", "kind")}});
  const Fitted visor(Details{{"visor_wish", "visor"}, {"skill", "improving"}});
  hold({{"a grown-up past the first season may wish for a visor", common, "visor",
         visor.answer("face_protection", "kind")},
        {"a visor leaves mouth and chin open", common, "leaves the mouth and chin open",
         visor.warning("leaves the mouth and chin open")},
        {"a helmet past the date on its label, or after a heavy blow, is not sold or kept", common,
         "past the date on its label, or after a heavy blow, is not sold, kept or worn",
         Fitted().warning("past the date on its label, or after a heavy blow, is not sold, kept or worn")},
        {"an out-of-date label is refused", "the label", "label is past its date",
         Fitted().warning("label is past its date")}});
}

TEST_CASE("teeth: a grown jaw from about twelve, and braces are the dentist's") {
  for (const auto& [age, mould] :
       {std::pair{7, "youth"}, {8, "junior"}, {11, "junior"}, {12, "senior"}, {30, "senior"}}) {
    const Details who = {{"age", fmt::format("{} years", age)},
                         {"birth_day", fmt::format("1 May {}", 2026 - age)},
                         {"category", age < 14 ? "u12" : "adult"},
                         {"height", age < 12 ? "135 cm" : "165 cm"},
                         {"weight", age < 12 ? "30 kg" : "60 kg"},
                         {"foot_length", "215 mm"},
                         {"other_foot", "215 mm"},
                         {"foot_width", "82 mm"}};
    hold({{fmt::format("a jaw of {}", age), common, mould, Fitted(who).answer("mouthguard", "mould")},
          {fmt::format("a jaw of {}, with braces", age), common, "refer",
           Fitted(with(who, {{"braces", "yes"}})).answer("mouthguard", "mould")}});
  }
  hold({{"braces are told of", common, "Braces:", Fitted(Details{{"braces", "yes"}}).warning("Braces:")},
        {"glasses are told of", common, "Glasses:", Fitted(Details{{"glasses", "yes"}}).warning("Glasses:")},
        {"insoles are told of", common, "Insoles:", Fitted(Details{{"insoles", "yes"}}).warning("Insoles:")},
        {"and none of it where there is none", common, "", Fitted().if_warned("Braces:")}});
}

TEST_CASE("a whole kit, everything needed to step on the ice") {
  const Fitted beginner;
  for (const char* piece :
       {"skates", "stick", "helmet", "face_protection", "body_pads", "elbow_pads", "gloves", "padded_pants",
        "shin_guards", "neck_guard", "mouthguard", "pelvic_guard", "base_layer", "socks", "tape", "kit_bag"})
    hold({{fmt::format("a beginner's {}", piece), common, piece, beginner.in_kit(piece) ? piece : "not in the kit"}});
  const Fitted goalkeeper(keeper);
  for (const char* piece : {"goal_skates", "leg_pads", "blocker", "catcher", "chest_arm", "mask", "goal_pants",
                            "goal_stick", "throat_guard"})
    hold({{fmt::format("a goalkeeper's {}", piece), common, piece,
           goalkeeper.in_kit(piece) ? piece : "not in the kit"}});
  hold({{"throat cover beyond the hanging guard", common, "needed", goalkeeper.presence("neck_guard")},
        {"one make throughout is usually cheaper than mixing", common, "usually cheaper than mixing",
         beginner.warning("usually cheaper than mixing")}});
}

}  // namespace
