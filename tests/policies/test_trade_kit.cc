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

TEST_CASE("pads, helmet and gloves: a beginner's sums") {
  for (const auto& details : {Details{}, light_adult, twenty_stone}) {
    const Fitted player(details);
    stands_near("body pads", common, {35, 45}, player.ends("body_pads", "sum"));
    stands_near("pants", common, {65, 75}, player.ends("padded_pants", "sum"));
    stands_near("elbow pads", common, {40, 50}, player.ends("elbow_pads", "sum"));
    stands_near("shin guards", common, {50, 60}, player.ends("shin_guards", "sum"));
    stands_near("gloves", common, {50, 60}, player.ends("gloves", "sum"));
    const auto helmet = player.ends("helmet", "sum"), cage = player.ends("face_protection", "sum");
    stands_near("helmet", common, {40, 60}, helmet);
    // One figure of the trade's; the middle of the shop's band is held against it.
    const double both = (helmet.low + cage.low + helmet.high + cage.high) / 2;
    stands_near("helmet with a cage, about 75", common, {75, 75}, {both, both});
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
  for (const char* length : {"7 in", "9 in", "11 in", "13 in", "15 in", "17 in"})
    hold({{"shin guards from kneecap centre to boot top", common, length,
           Fitted(Details{{"shin", length}}).answer("shin_guards", "length")}});
}

TEST_CASE("pads: past the largest on the rack the fitter decides, and nowhere before") {
  struct Past {
    const char *piece, *property, *detail, *last, *past;
    Details who;
  };
  const Details bare;
  for (const auto& row : {Past{"padded_pants", "size", "waist", "46 in", "46.5 in", bare},
                          Past{"body_pads", "size", "chest", "54 in", "54.5 in", bare},
                          Past{"body_pads", "size", "waist", "54 in", "54.5 in", bare},
                          Past{"pelvic_guard", "size", "waist", "46 in", "46.5 in", bare},
                          Past{"base_layer", "size", "chest", "52 in", "52.5 in", bare},
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
  for (const auto& row : {Slim{"padded_pants", "159 cm", "youth", slim}, Slim{"padded_pants", "160 cm", "small", slim},
                          Slim{"body_pads", "124 cm", "youth", slim}, Slim{"body_pads", "125 cm", "junior", slim},
                          Slim{"goal_pants", "159 cm", "junior", with(slim, keeper)},
                          Slim{"goal_pants", "160 cm", "small", with(slim, keeper)},
                          Slim{"chest_arm", "124 cm", "youth", with(slim, keeper)},
                          Slim{"chest_arm", "125 cm", "junior", with(slim, keeper)}})
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
  for (const char* league : {"north_american_youth", "canadian_minor", "quebec"})
    hold({{"no word of ISO's types where another mark is asked for", iso, "",
           Fitted(with(keeper, {{"league", league}})).if_warned("cat's-eye")}});
  hold({{"and none to a skater", iso, "", Fitted().if_warned("cat's-eye")},
        {"a goalkeeper's cup", common, "with its second shell", Fitted(keeper).warning("with its second shell")},
        {"a skater needs none", common, "", Fitted().if_warned("second shell")},
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
