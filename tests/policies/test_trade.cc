// The policy of Haverdike beside the trade's own figures.
//
// Every figure is a row: what it is, where it is from, what the trade says, what the shop says. The shop is invented
// and its sums and bands are its own, so the trade's sums are held as ratios, of one customer's boot to another's, and
// the trade's bands of flex by their middles.
#include <fmt/format.h>

#include <catch2/catch.hpp>
#include <cmath>

#include "tests/policies/fitted.hpp"

namespace {

using namespace lacestay::tests;

// ---- skates ----------------------------------------------------------------------------------------------

TEST_CASE("skates: grade by build as much as by skill") {
  const auto big = Fitted(heavy_beginner).answer("skates", "tier");
  const bool mid_tier = big == "club" || big == "performance" || big == "elite";
  hold({{"a very heavy beginner needs at least a mid-tier boot, never the entry one", common,
         "club, performance or elite", mid_tier ? "club, performance or elite" : big}});
  for (int age = 4; age <= 9; ++age)
    hold({{fmt::format("a light child of {} is well served by an entry boot", age), common, "entry",
           Fitted(with(child_of_nine, {{"age", fmt::format("{} years", age)}})).answer("skates", "tier")}});
}

// The trade's sums of a junior's, a light and a bigger beginner's boot stand as 5 to 9 to 11, a heavy or tall one's
// at 13.
TEST_CASE("skates: sums to plan for, each to that of a light adult beginner") {
  const auto boot = [](const Fitted& player) { return middle(player.ends("skates", "sum")); };
  const double light = boot(Fitted(with(light_adult, {{"sessions", "1"}})));
  CHECK(boot(Fitted(with(light_adult, {{"sessions", "2"}}))) == light);
  for (int age = 5; age <= 9; ++age)
    stands_near(fmt::format("a junior to about nine, here {}", age), common, 5.0 / 9,
                boot(Fitted(with(child_of_nine, {{"age", fmt::format("{} years", age)}}))) / light);
  stands_near("a bigger adult beginner", common, 11.0 / 9, boot(Fitted(Details{{"weight", "85 kg"}})) / light);
  struct Build {
    const char* what;
    Details details;
  };
  for (const auto& [what, details] :
       {Build{"a very heavy beginner", heavy_beginner},
        {"a heavy beginner, not tall: 116 kg, 178 cm", {{"weight", "116 kg"}, {"height", "178 cm"}}},
        {"a heavy beginner, short: 116 kg, 165 cm", {{"weight", "116 kg"}, {"height", "165 cm"}}},
        {"a tall beginner: 98 kg, 196 cm", {{"weight", "98 kg"}, {"height", "196 cm"}}},
        {"a tall beginner, not heavy: 90 kg, 198 cm", {{"weight", "90 kg"}, {"height", "198 cm"}}},
        {"a tall beginner, light: 75 kg, 198 cm", {{"weight", "75 kg"}, {"height", "198 cm"}}}})
    for (const char* skill : {"new", "improving"}) {
      const Fitted player(with(details, {{"skill", skill}}));
      stands_near(what, common, 13.0 / 9, boot(player) / light);
      hold(
          {{fmt::format("{}: a boot to match the sum", what), common, "performance", player.answer("skates", "tier")}});
    }
  const auto often = Fitted(with(light_adult, {{"sessions", "5"}}));
  hold({{"a boot that lasts beats one outgrown in months", common, "club", often.answer("skates", "tier")}});
}

TEST_CASE("skates: size") {
  for (int foot = 215; foot <= 315; ++foot) {
    const Fitted grown(Details{{"foot_length", mm(foot)}, {"other_foot", mm(foot - 2)}});
    const double shoe = grown.worked_out("uk_adult");
    const double skate = grown.ends("skates", "number").low - (grown.answer("skates", "scale") == "adult" ? 0 : 13);
    INFO("skate size about 1 to 1½ under the shoe size, foot " << foot << " mm (" << common << ")");
    CHECK(shoe - skate >= 1);
    CHECK(shoe - skate <= 1.5);
    const double boot = grown.ends("skates", "size").low;
    INFO("toes brush the cap: a grown foot's boot is the next 5 mm step, less a millimetre (" << common << ")");
    CHECK(boot >= foot - 1);
    CHECK(boot < foot + 4);
  }
  for (int foot = 150; foot <= 250; ++foot) {
    const Fitted child(with(child_of_nine, {{"foot_length", mm(foot)}, {"other_foot", mm(foot)}}));
    const double boot = child.ends("skates", "size").low;
    INFO("growth room for juniors, little: here 3 mm, and to the next step, foot " << foot << " mm (" << common << ")");
    CHECK(boot - foot >= 3);
    CHECK(boot - foot < 8);
    const double skate = child.ends("skates", "number").low + (child.answer("skates", "scale") == "adult" ? 13 : 0);
    const double shoe_with_room = child.worked_out("uk_child") + 3 * 3 / 25.4;
    CHECK(shoe_with_room - skate >= 1);
    CHECK(shoe_with_room - skate <= 1.5);
  }
  hold({{"the longer foot decides: where the other is longer, that comes first of all cautions", common,
         "The other foot is the longer one",
         Fitted(Details{{"foot_length", "265 mm"}, {"other_foot", "270 mm"}})
             .first_warning("The other foot is the longer one")},
        {"and the boot goes by it", common, "270 mm",
         Fitted(Details{{"foot_length", "265 mm"}, {"other_foot", "270 mm"}}).answer("skates", "size")},
        {"and where it is not, nothing is said", common, "", Fitted().if_warned("The other foot is the longer one")},
        {"both feet are measured, and the advice says so where the size stands", common,
         "The longer foot counts: measure both",
         found("The longer foot counts: measure both", Fitted().because("skates", "size"))},
        {"both feet are measured, and the advice says so where the size stands", common,
         "The longer foot counts: measure both",
         found("The longer foot counts: measure both", Fitted(child_of_nine).because("skates", "size"))},
        {"both feet are measured, and the advice says so where the size stands", common,
         "The longer foot counts: measure both",
         found("The longer foot counts: measure both", Fitted(keeper).because("goal_skates", "size"))},
        {"feet that differ by more than half a size", common, "pad the other boot",
         Fitted(Details{{"foot_length", "265 mm"}, {"other_foot", "258 mm"}}).warning("pad the other boot")},
        {"feet that differ by a whole size are the fitter's", common, "refer",
         Fitted(Details{{"foot_length", "265 mm"}, {"other_foot", "257 mm"}}).answer("skates", "size")},
        {"and a goalkeeper's", common, "refer",
         Fitted(with(keeper, {{"foot_length", "265 mm"}, {"other_foot", "257 mm"}})).answer("goal_skates", "size")},
        {"a narrow foot", common, "narrow", Fitted(Details{{"foot_width", "95 mm"}}).answer("skates", "width")},
        {"an average foot", common, "regular", Fitted(Details{{"foot_width", "100 mm"}}).answer("skates", "width")},
        {"a wide foot", common, "wide", Fitted(Details{{"foot_width", "110 mm"}}).answer("skates", "width")},
        {"a foot past that only a fitter's hand can judge", common, "refer",
         Fitted(Details{{"foot_width", "125 mm"}}).answer("skates", "width")}});
  for (const char* width : {"95 mm", "100 mm", "110 mm", "125 mm"})
    hold({{"a goalkeeper's foot is as wide as a skater's", common,
           Fitted(Details{{"foot_width", width}}).answer("skates", "width"),
           Fitted(with(keeper, {{"foot_width", width}})).answer("goal_skates", "width")}});
}

TEST_CASE("skates: the hollow at hand-over") {
  hold({{"near ½ in is common", common, "middle", Fitted().answer("skates", "hollow")},
        {"lighter players deeper", common, "deep", Fitted(child_of_nine).answer("skates", "hollow")},
        {"heavier players shallower", common, "shallow", Fitted(heavy_beginner).answer("skates", "hollow")},
        {"goalkeepers often deeper", common, "deep", Fitted(keeper).answer("goal_skates", "hollow")}});
}

// ---- stick -----------------------------------------------------------------------------------------------

// The middles of the trade's bands: 45 for a small child, 67.5 for a teenager or a light beginner, 82.5 for a regular
// grown-up, 92.5 for a big one. The shop's bands stand a little under them for whoever learns; so do its children's,
// since a band of 60 to 75 leaves nothing that a child of 36 to 57 kg could bend.
TEST_CASE("stick: flex") {
  const auto flex = [](const Details& who) { return middle(Fitted(who).ends("stick", "flex")); };
  stands_near("a child of 45 kg", common, 45, flex(with(child_of_nine, {{"weight", "45 kg"}})));
  stands_near("a grown-up of 68 kg who learns", common, 67.5, flex({{"weight", "68 kg"}}));
  stands_near("and one who has learnt", common, 67.5, flex({{"weight", "68 kg"}, {"skill", "improving"}}));
  stands_near("a regular adult", common, 82.5, flex({{"weight", "80 kg"}}));
  for (const char* skill : {"new", "improving", "league", "elite"})
    for (const char* height : {"6 ft", "6 ft 4 in", "6 ft 8 in", "7 ft"}) {
      const Details who = {{"weight", "14 st"}, {"height", height}, {"skill", skill}};
      stands_near("a 14-stone, 6-to-7-foot player", common, 92.5, flex(who));
      hold({{"and 60 will break", common, "over 60", over(60, Fitted(who).ends("stick", "flex").low)}});
    }
  for (int kg = 36; kg <= 57; ++kg) {
    const auto ends = Fitted(with(child_of_nine, {{"age", "12 years"},
                                                  {"birth_day", "1 May 2014"},
                                                  {"category", "u14"},
                                                  {"height", "152 cm"},
                                                  {"weight", fmt::format("{} kg", kg)}}))
                          .ends("stick", "flex");
    INFO("a twelve-year-old of " << kg << " kg is between a child's shaft and a grown-up's (" << common << ")");
    CHECK(ends.low >= 35);
    CHECK(ends.high <= 65);
    CHECK(ends.low >= 0.8 * kg);
    CHECK(ends.high <= 1.3 * kg);
  }
  for (int kg = 40; kg <= 150; ++kg) {
    const auto weight = fmt::format("{} kg", kg);
    const double learning = flex({{"weight", weight}}), learnt = flex({{"weight", weight}, {"skill", "improving"}});
    INFO("while learning, a softer shaft, whatever the weight: " << weight << " (" << common << ")");
    CHECK(learning <= learnt);
    CHECK(learning >= learnt - 5);
  }
}

// Half the body weight in pounds, the saying, is past what is made from about 90 kg on; the shop stands under it, by a
// fifth at most up to there.
TEST_CASE("stick: half the body weight in pounds, where the bands part from it") {
  for (int kg = 24; kg <= 90; ++kg) {
    const Fitted player(Details{{"weight", fmt::format("{} kg", kg)}, {"skill", "improving"}});
    const double saying = player.worked_out("half_pounds"), shop = middle(player.ends("stick", "flex"));
    INFO(kg << " kg: the saying has " << saying << ", the shop " << shop << " (" << common << ")");
    CHECK(shop <= saying + 6);
    CHECK(shop >= 0.8 * saying);
  }
  hold({{"far past the band, which is followed, the advice says so", common, "Half the body weight in pounds",
         Fitted(heavy_beginner).warning("Half the body weight in pounds")},
        {"and not where the saying fits", common, "",
         Fitted(Details{{"weight", "80 kg"}}).if_warned("Half the body weight in pounds")}});
}

// Whose feet and weight nobody of any height is without.
Details of_height(const std::string& height) {
  return {{"height", height}, {"weight", "45 kg"}, {"foot_length", "225 mm"}, {"other_foot", "225 mm"}};
}

// The blade, two fifteenths of the height long, rises at 45° from the shaft's line: stood on its toe the stick is
// longer than its shaft by blade × cos 45°. The nose's tip is 91.4% of the height up, which is the face's share of
// ANSUR's stature (unverified, from memory), a child's up to 4.5 cm lower, and shoes add 3 cm.
TEST_CASE("stick: length from heel to end, and stood on its toe to the nose") {
  for (int height = 100; height <= 190; ++height) {
    const Fitted player(of_height(cm(height)));
    const double shaft = player.ends("stick", "length").low, on_toe = player.ends("stick", "on_toe").low;
    const double child_head = std::min(4.5, std::max(0.0, (155 - height) * 0.17));
    const double nose = (0.914 * height + 3 - child_head) / 2.54, blade = height * 2.0 / 15 / 2.54;
    INFO(height << " cm: shaft " << shaft << " in, on its toe " << on_toe << " in, the nose at " << nose << " in ("
                << common << ")");
    CHECK(std::abs(on_toe - nose) <= 0.6);
    CHECK(std::abs(on_toe - shaft - blade * std::sqrt(0.5)) <= 0.3);
  }
  for (int height = 175; height <= 190; ++height) {
    const double length = Fitted(of_height(cm(height))).ends("stick", "length").low;
    INFO("about 58 to 62 in, heel to end, from 175 to 190 cm (" << common << "): " << height << " cm, " << length);
    CHECK(length >= 57.5);
    CHECK(length <= 62.5);
  }
}

TEST_CASE("stick: the felt flex after a cut") {
  struct Cut {
    double to, from, felt;
    const char* shown;
  };
  const char* const mechanics = "handbook mechanics, three-point bending: force ÷ bend = 48 E I ÷ length³";
  for (const auto& cut : {Cut{58, 60, 1.10706, "111%"},
                          Cut{56, 57, 1.05453, "105%"},
                          Cut{52, 54, 1.11988, "112%"},
                          {54, 54, 1, "100%"}}) {
    const Fitted player(of_height(cm((cut.to * 2.54 - 3) / 0.82)));
    INFO(cut.from << " in cut to " << cut.to << " in (" << mechanics << ")");
    CHECK(player.ends("stick", "length").low == cut.to);
    CHECK(player.worked_out("shaft") == Approx(cut.from * 25.4));
    CHECK(std::pow(player.worked_out("cut_by"), 3) == Approx(cut.felt).margin(0.000005));
    CHECK(player.answer("stick", "felt") == cut.shown);
  }
  for (int millimetres = 950; millimetres <= 2000; millimetres += 5) {
    const Fitted player(of_height(mm(millimetres)));
    const double length = player.ends("stick", "length").low;
    double shaft = 64;
    for (const double shorter : {60.0, 57.0, 54.0, 50.0, 46.0, 42.0, 38.0}) shaft = length <= shorter ? shorter : shaft;
    INFO("nobody cuts a long shaft where a shorter one reaches: " << millimetres << " mm, " << length << " in ("
                                                                  << common << ")");
    CHECK(player.ends("stick", "felt").low == Approx(100 * std::pow(shaft / length, 3)).margin(0.5 + 1e-9));
  }
  hold({{"a bench test with a fixed span shows no change", mechanics, "bench with a fixed span",
         Fitted().warning("bench with a fixed span")}});
}

TEST_CASE("stick: material, blade and grip") {
  hold({{"a beginner starts on wood", common, "wood", Fitted().answer("stick", "material")},
        {"and on one mild all-round curve", common, "mild", Fitted().answer("stick", "pattern")}});
  for (const char* wish : {"no_wish", "smooth", "tacky"})
    hold({{"beginner sticks give no choice of grip", common, "smooth",
           Fitted(Details{{"grip_wish", wish}}).answer("stick", "grip")}});
  hold({{"later the grip is a wish", common, "tacky",
         Fitted(Details{{"grip_wish", "tacky"}, {"skill", "improving"}}).answer("stick", "grip")}});
  const Details defender = {{"position", "defence"}, {"skill", "league"}};
  hold({{"a square toe helps along the boards, often chosen by defenders", common, "square",
         Fitted(defender).answer("stick", "toe")},
        {"round is the all-round shape", common, "round",
         Fitted(Details{{"position", "forward"}, {"skill", "league"}}).answer("stick", "toe")},
        {"both are personal: round for a defender", common, "round",
         Fitted(with(defender, {{"toe_wish", "round"}})).answer("stick", "toe")},
        {"both are personal: square for a beginner", common, "square",
         Fitted(Details{{"toe_wish", "square"}}).answer("stick", "toe")}});
  for (const char* hand : {"left", "right"})
    hold({{"left or right", common, hand, Fitted(Details{{"hand", hand}}).answer("stick", "curve")}});
}

}  // namespace
