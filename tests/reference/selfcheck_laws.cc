// The naive evaluator against outcomes worked by hand, law by law. Whole outcomes are compared, as `describe` tells
// them: pieces and properties by name, then the cautions.
#include <catch2/catch.hpp>

#include "tests/reference/by_hand.hpp"

using namespace lacestay::naive;

TEST_CASE("base answers: none is a gap, two are a clash, even two that agree") {
  const auto policy = policy_of(
      "ask age 4 to 90 years, whole\npiece stick always\n  toe choice round, square\n"
      "rule usual\n  set stick toe to round\n  for age at least 10\n"
      "rule same\n  set stick toe to round\n  for age at least 20\n");
  CHECK(told(policy, {{"age", "9"}}) == "stick: needed\n  toe: gap\n");
  CHECK(told(policy, {{"age", "10"}}) == "stick: needed\n  toe: round\n");
  CHECK(told(policy, {{"age", "20"}}) == "stick: needed\n  toe: clash\n");
}

TEST_CASE("a size is the next step up; past either end it neither answers nor silences") {
  const auto policy = policy_of(
      "ask foot 100 to 400 mm\npiece skates always\n  size 140 to 155 mm step 5 mm\n"
      "rule boot\n  size skates size from foot\n  outranks fallback\n"
      "rule fallback\n  set skates size to 15 cm\n  for foot under 200 mm\n");
  const auto size = [&](const char* foot) { return told(policy, {{"foot", foot}}); };
  CHECK(size("135 mm") == "skates: needed\n  size: 150 mm\n");
  CHECK(size("135.1 mm") == "skates: needed\n  size: 140 mm\n");
  CHECK(size("140 mm") == "skates: needed\n  size: 140 mm\n");
  CHECK(size("140.1 mm") == "skates: needed\n  size: 145 mm\n");
  CHECK(size("6 in") == "skates: needed\n  size: 155 mm\n");
  CHECK(size("155 mm") == "skates: needed\n  size: 155 mm\n");
  CHECK(size("155.1 mm") == "skates: needed\n  size: 150 mm\n");
  CHECK(size("200 mm") == "skates: needed\n  size: gap\n");
  const auto outcome = evaluate(policy, read_player(policy, {{"foot", "146 mm"}}));
  CHECK(outcome.pieces.at("skates").properties.at("size") ==
        PropertyOutcome{PropertyOutcome::Kind::answer, Answer{2, 2, "150 mm"}});
}

TEST_CASE("floors take the highest, caps the lowest, after the base; a floor above a cap is a clash") {
  const auto policy = policy_of(
      "ask a 0 to 3, whole\nask b 0 to 3, whole\npiece skates always\n  tier grades entry, club, performance, elite\n"
      "chart base gives skates tier\n  down a\n    under 1: entry\n    under 2: club\n    the rest: elite\n"
      "  for a at most 2\n"
      "rule floor_club\n  floor skates tier at club\n  for b at least 1\n"
      "rule floor_high\n  floor skates tier at performance\n  for b at least 2\n"
      "rule cap_high\n  cap skates tier at performance\n"
      "rule cap_club\n  cap skates tier at club\n  for b at least 3\n");
  const auto tier = [&](const char* a, const char* b) { return told(policy, {{"a", a}, {"b", b}}); };
  CHECK(tier("0", "0") == "skates: needed\n  tier: entry\n");
  CHECK(tier("0", "1") == "skates: needed\n  tier: club\n");
  CHECK(tier("1", "2") == "skates: needed\n  tier: performance\n");
  CHECK(tier("2", "0") == "skates: needed\n  tier: performance\n");
  CHECK(tier("2", "2") == "skates: needed\n  tier: performance\n");
  CHECK(tier("0", "3") == "skates: needed\n  tier: clash\n");
  CHECK(tier("3", "2") == "skates: needed\n  tier: gap\n");
  CHECK(tier("3", "3") == "skates: needed\n  tier: clash\n");  // a floor above a cap needs no base
}

TEST_CASE("a silenced floor lifts nothing; a safety floor above an ordinary cap still clashes") {
  const auto policy = policy_of(
      "ask a 0 to 3, whole\npiece skates always\n  size 140 to 180 mm step 10 mm\n"
      "rule base\n  set skates size to 150 mm\n"
      "rule lift\n  floor skates size at 170 mm\n  for a at least 1\n"
      "rule light\n  cap skates size at 160 mm\n  for a at least 2\n  outranks lift\n"
      "rule safe\n  floor skates size at 180 mm\n  for a at least 3\n  safety\n");
  const auto size = [&](const char* a) { return told(policy, {{"a", a}}); };
  CHECK(size("0") == "skates: needed\n  size: 150 mm\n");
  CHECK(size("1") == "skates: needed\n  size: 170 mm\n");
  CHECK(size("2") == "skates: needed\n  size: 150 mm\n");
  CHECK(size("3") == "skates: needed\n  size: clash\n");
}

TEST_CASE("steps move the base together, before floors and caps; past the range nothing answers") {
  const auto policy = policy_of(
      "ask a 0 to 3, whole\nask b choice no, yes, beside\npiece skates always\n  size 140 to 180 mm step 10 mm\n"
      "rule base\n  set skates size to 150 mm\n"
      "rule up\n  two steps up in skates size\n  for a at least 1\n"
      "rule back\n  one step down in skates size\n  for a at least 2\n"
      "rule far\n  three steps up in skates size\n  for a at least 3\n"
      "rule light\n  cap skates size at 140 mm\n  for b yes\n"
      "rule asked\n  refer skates size\n  for b beside\n");
  const auto size = [&](const char* a, const char* b) { return told(policy, {{"a", a}, {"b", b}}); };
  CHECK(size("0", "no") == "skates: needed\n  size: 150 mm\n");
  CHECK(size("1", "no") == "skates: needed\n  size: 170 mm\n");
  CHECK(size("2", "no") == "skates: needed\n  size: 160 mm\n");
  CHECK(size("3", "no") == "skates: needed\n  size: gap\n");
  CHECK(size("2", "yes") == "skates: needed\n  size: 140 mm\n");
  CHECK(size("3", "yes") == "skates: needed\n  size: gap\n");  // the cap does not bring it back
  CHECK(size("3", "beside") == "skates: needed\n  size: refer\n");
}

TEST_CASE("what a safety rule gives is moved by safety rules alone, beside a refer too") {
  const auto policy = policy_of(
      "ask a 0 to 2, whole\nask b choice no, yes\npiece skates always\n  tier grades entry, club, performance\n"
      "rule base\n  set skates tier to club\n  safety\n"
      "rule up\n  one step up in skates tier\n  for a at least 1\n  safety\n"
      "rule down\n  one step down in skates tier\n  for a at least 2\n"
      "rule asked\n  refer skates tier\n  for b yes\n");
  const auto tier = [&](const char* a, const char* b) { return told(policy, {{"a", a}, {"b", b}}); };
  CHECK(tier("0", "no") == "skates: needed\n  tier: club\n");
  CHECK(tier("1", "no") == "skates: needed\n  tier: performance\n");
  CHECK(tier("2", "no") == "skates: needed\n  tier: clash\n");
  CHECK(tier("1", "yes") == "skates: needed\n  tier: refer, at least performance, at most performance\n");
  CHECK(tier("2", "yes") == "skates: needed\n  tier: refer, at least performance, at most performance\n");
}

TEST_CASE("a band is what every keep leaves of its base; nothing left is a clash, no base a gap") {
  const auto policy = policy_of(
      "ask a choice no, yes\nask b choice no, yes\nask c choice no, yes\nask d choice no, yes\n"
      "piece stick always\n  flex band 20 to 110 flex step 5 flex\n  sum band 0 to 300 GBP step 10 GBP\n"
      "rule base\n  set stick flex to 40 to 60 flex\n  for d no\n"
      "rule low\n  keep stick flex within 20 to 45 flex\n  for a yes\n"
      "rule high\n  keep stick flex within 45 to 110 flex\n  for b yes\n"
      "rule higher\n  keep stick flex within 65 to 110 flex\n  for c yes\n"
      "rule dear\n  set stick sum to 250 to 300 GBP\n");
  const auto flex = [&](const char* a, const char* b, const char* c, const char* d) {
    return told(policy, {{"a", a}, {"b", b}, {"c", c}, {"d", d}});
  };
  CHECK(flex("no", "no", "no", "no") == "stick: needed\n  flex: 40 to 60 flex\n  sum: 250 to 300 GBP\n");
  CHECK(flex("yes", "no", "no", "no") == "stick: needed\n  flex: 40 to 45 flex\n  sum: 250 to 300 GBP\n");
  CHECK(flex("yes", "yes", "no", "no") == "stick: needed\n  flex: 45 flex\n  sum: 250 to 300 GBP\n");
  CHECK(flex("no", "no", "yes", "no") == "stick: needed\n  flex: clash\n  sum: 250 to 300 GBP\n");
  CHECK(flex("yes", "no", "yes", "yes") == "stick: needed\n  flex: gap\n  sum: 250 to 300 GBP\n");
  const auto outcome = evaluate(policy, read_player(policy, {{"a", "yes"}, {"b", "no"}, {"c", "no"}, {"d", "no"}}));
  CHECK(outcome.pieces.at("stick").properties.at("flex").answer == Answer{4, 5, "40 to 45 flex"});
}

TEST_CASE("a choice left open is what every keep leaves of it; three may leave nothing where two leave something") {
  const auto policy = policy_of(
      "ask a choice no, yes\nask b choice no, yes\nask c choice no, yes\nask d choice no, yes\n"
      "piece stick always\n  toe choice round, square, left shown as \"left-handed\"\n"
      "rule base\n  set stick toe to any of them\n"
      "rule one\n  keep stick toe within round or square\n  for a yes\n"
      "rule two\n  keep stick toe within left or square\n  for b yes\n  safety\n"
      "rule three\n  keep stick toe within round or left\n  for c yes\n"
      "rule four\n  refer stick toe\n  for d yes\n");
  const auto toe = [&](const char* a, const char* b, const char* c, const char* d) {
    return told(policy, {{"a", a}, {"b", b}, {"c", c}, {"d", d}}).substr(std::string("stick: needed\n  toe: ").size());
  };
  CHECK(toe("no", "no", "no", "no") == "round, square or left-handed\n");
  CHECK(toe("yes", "no", "no", "no") == "round or square\n");
  CHECK(toe("yes", "yes", "no", "no") == "square\n");
  CHECK(toe("yes", "yes", "yes", "no") == "clash\n");
  CHECK(toe("yes", "yes", "yes", "yes") == "refer, at least square or left-handed, at most square or left-handed\n");
}

TEST_CASE("a keep between two steps holds no step, and clashes") {
  const auto policy = policy_of(
      "piece stick always\n  flex band 20 to 110 flex step 5 flex\n"
      "rule base\n  set stick flex to 40 to 60 flex\nrule narrow\n  keep stick flex within 46 to 49 flex\n");
  CHECK(told(policy, {}) == "stick: needed\n  flex: clash\n");
}

TEST_CASE("what outranks reaches through, acts only where both apply, and reinstates nobody") {
  const auto policy = policy_of(
      "ask a choice no, yes\nask b choice no, yes\nask c choice no, yes\n"
      "piece stick always\n  toe choice one, two, three\n"
      "rule first\n  set stick toe to one\n  for a yes\n  outranks second\n"
      "rule second\n  set stick toe to two\n  for b yes\n  outranks third\n"
      "rule third\n  set stick toe to three\n  for c yes\n");
  const auto toe = [&](const char* a, const char* b, const char* c) {
    return told(policy, {{"a", a}, {"b", b}, {"c", c}});
  };
  CHECK(toe("no", "no", "no") == "stick: needed\n  toe: gap\n");
  CHECK(toe("no", "no", "yes") == "stick: needed\n  toe: three\n");
  CHECK(toe("no", "yes", "yes") == "stick: needed\n  toe: two\n");
  CHECK(toe("yes", "no", "yes") == "stick: needed\n  toe: one\n");  // through `second`, which does not apply
  CHECK(toe("yes", "yes", "yes") == "stick: needed\n  toe: one\n");
}

TEST_CASE("who is silenced stays silent though the one that outranks it is silenced too") {
  const auto policy = policy_of(
      "ask a choice no, yes\npiece skates always\n  tier grades entry, club, performance\n"
      "rule base\n  set skates tier to club\n"
      "rule top\n  cap skates tier at performance\n  for a yes\n  outranks middle\n"
      "rule middle\n  cap skates tier at entry\n  outranks lowest\n"
      "rule lowest\n  floor skates tier at performance\n");
  CHECK(told(policy, {{"a", "no"}}) == "skates: needed\n  tier: entry\n");
  CHECK(told(policy, {{"a", "yes"}}) == "skates: needed\n  tier: club\n");
}

TEST_CASE("outranks acts within one answer only") {
  const auto policy = policy_of(
      "piece stick always\n  toe choice round, square\n  kick choice low, mid\npiece bag optional\n"
      "piece tape optional\n"
      "rule toe_round\n  set stick toe to round\n  outranks kick_low\n"
      "rule kick_low\n  set stick kick to low\n"
      "rule both\n  need bag, tape\n  outranks no_bag\n"
      "rule no_bag\n  omit bag\n");
  CHECK(told(policy, {}) == "bag: needed\nstick: needed\n  kick: low\n  toe: round\ntape: needed\n");
}

TEST_CASE("a chart silences what it outranks where its `for` holds") {
  const auto policy = policy_of(
      "ask a 0 to 3, whole\npiece stick always\n  toe choice round, square\n"
      "chart toes gives stick toe\n  down a\n    under 2: round\n    the rest: square\n  for a at least 1\n"
      "  outranks usual\n"
      "rule usual\n  set stick toe to square\n");
  CHECK(told(policy, {{"a", "0"}}) == "stick: needed\n  toe: square\n");
  CHECK(told(policy, {{"a", "1"}}) == "stick: needed\n  toe: round\n");
  CHECK(told(policy, {{"a", "3"}}) == "stick: needed\n  toe: square\n");
}

TEST_CASE("refer comes before clash, gap and answer; a safety floor stands beside it; it may be silenced") {
  const auto policy = policy_of(
      "ask a 0 to 5, whole\npiece skates always\n  tier grades entry, club, performance, elite\n"
      "  size 140 to 150 mm step 5 mm\n"
      "rule base\n  set skates tier to entry\n  for a at most 1\n"
      "rule again\n  set skates tier to club\n  for a at most 1\n"
      "rule boot\n  set skates size to 145 mm\n"
      "rule ask_tier\n  refer skates tier\n  for a at least 1\n"
      "rule ask_all\n  refer skates\n  for a at least 2\n"
      "rule plain_floor\n  floor skates tier at elite\n  for a at least 3\n"
      "rule safe_floor\n  floor skates tier at club\n  for a at least 3\n  safety\n"
      "rule safer_floor\n  floor skates tier at performance\n  for a at least 4\n  safety\n"
      "rule cap_\n  cap skates tier at entry\n"
      "rule decided\n  set skates size to 140 mm\n  for a at least 5\n  outranks ask_all, boot\n");
  const auto skates = [&](const char* a) { return told(policy, {{"a", a}}); };
  CHECK(skates("0") == "skates: needed\n  size: 145 mm\n  tier: clash\n");
  CHECK(skates("1") == "skates: needed\n  size: 145 mm\n  tier: refer\n");
  CHECK(skates("2") == "skates: needed\n  size: refer\n  tier: refer\n");
  CHECK(skates("3") == "skates: needed\n  size: refer\n  tier: refer, at least club\n");
  CHECK(skates("4") == "skates: needed\n  size: refer\n  tier: refer, at least performance\n");
  CHECK(skates("5") == "skates: needed\n  size: 140 mm\n  tier: refer, at least performance\n");
}

TEST_CASE("beside a refer safety rules combine as without it, and clash as without it") {
  const auto policy = policy_of(
      "ask a 0 to 9, whole\npiece skates always\n  tier grades entry, club, performance, elite\n"
      "  flex band 20 to 60 flex step 10 flex\n"
      "rule ask_all\n  refer skates\n"
      "rule usual\n  set skates tier to entry\n"
      "rule safe\n  set skates tier to club\n  for a at least 1\n  safety\n"
      "rule lift\n  floor skates tier at performance\n  for a at least 2\n  safety\n"
      "rule hold\n  cap skates tier at performance\n  for a at least 5\n  safety\n  outranks safe, lift\n"
      "rule raise\n  floor skates tier at elite\n  for a at least 6\n  safety\n"
      "rule soft\n  keep skates flex within 20 to 50 flex\n  for a at least 3\n  safety\n"
      "rule stiff\n  keep skates flex within 40 to 60 flex\n  for a at least 4\n  safety\n"
      "rule own\n  set skates flex to 20 to 30 flex\n  for a at least 5, a at most 5\n"
      "rule slack\n  keep skates flex within 20 to 30 flex\n  for a at least 8\n  safety\n");
  const auto skates = [&](const char* a) { return told(policy, {{"a", a}}); };
  CHECK(skates("0") == "skates: needed\n  flex: refer\n  tier: refer\n");
  CHECK(skates("1") == "skates: needed\n  flex: refer\n  tier: refer, at least club, at most club\n");
  CHECK(skates("2") == "skates: needed\n  flex: refer\n  tier: refer, at least performance, at most performance\n");
  CHECK(skates("3") ==
        "skates: needed\n  flex: refer, at least 20 flex, at most 50 flex\n"
        "  tier: refer, at least performance, at most performance\n");
  CHECK(skates("4") ==
        "skates: needed\n  flex: refer, at least 40 flex, at most 50 flex\n"
        "  tier: refer, at least performance, at most performance\n");
  CHECK(skates("5") ==
        "skates: needed\n  flex: refer, at least 40 flex, at most 50 flex\n"
        "  tier: refer, at most performance\n");
  CHECK(skates("6") == "skates: needed\n  flex: refer, at least 40 flex, at most 50 flex\n  tier: clash\n");
  CHECK(skates("8") == "skates: needed\n  flex: clash\n  tier: clash\n");
}

TEST_CASE("presence: always, for, and optional by need, omit and suggest") {
  const auto policy = policy_of(
      "ask need_ choice no, yes\nask omit_ choice no, yes\nask suggest_ choice no, yes\nask age 4 to 90 years, whole\n"
      "piece helmet always\npiece mask for age under 13\n  kind choice cage, bars\npiece neck_guard optional\n"
      "  size grades small, large\n"
      "rule n\n  need neck guard, mask\n  for need_ yes\n"
      "rule o\n  omit neck_guard\n  for omit_ yes\n"
      "rule s\n  suggest neck_guard, helmet, mask\n  for suggest_ yes\n"
      "rule kind_\n  set mask.kind to cage\nrule size_\n  set neck guard size to large\n");
  const auto kit = [&](const char* n, const char* o, const char* s, const char* age) {
    return told(policy, {{"need_", n}, {"omit_", o}, {"suggest_", s}, {"age", age}});
  };
  const std::string child = "helmet: needed\nmask: needed\n  kind: cage\nneck_guard: ";
  const std::string grown = "helmet: needed\nmask: not in kit\nneck_guard: ";
  const std::string grown_with_mask = "helmet: needed\nmask: needed\n  kind: cage\nneck_guard: ";
  CHECK(kit("no", "no", "no", "12") == child + "not in kit\n");
  CHECK(kit("no", "no", "yes", "13") ==
        "helmet: needed\nmask: suggested\n  kind: cage\nneck_guard: suggested\n  size: large\n");
  CHECK(kit("no", "yes", "no", "13") == grown + "left out\n");
  CHECK(kit("no", "yes", "yes", "12") == child + "left out\n");
  CHECK(kit("yes", "no", "no", "13") == grown_with_mask + "needed\n  size: large\n");
  CHECK(kit("yes", "no", "yes", "13") == grown_with_mask + "needed\n  size: large\n");
  CHECK(kit("yes", "yes", "no", "12") == child + "clash\n");
  CHECK(kit("yes", "yes", "yes", "12") == child + "clash\n");
}

TEST_CASE("presence: who outranks decides between need, omit and suggest") {
  const auto policy = policy_of(
      "ask a 0 to 2, whole\npiece bag optional\n"
      "rule no_bag\n  omit bag\n"
      "rule nice\n  suggest bag\n  for a at least 1\n  outranks no_bag\n"
      "rule must\n  need bag\n  for a at least 2\n");
  CHECK(told(policy, {{"a", "0"}}) == "bag: left out\n");
  CHECK(told(policy, {{"a", "1"}}) == "bag: suggested\n");
  CHECK(told(policy, {{"a", "2"}}) == "bag: needed\n");
}

TEST_CASE("parts share the policy's names; a pack's rules need the conditions of its line too") {
  const auto policy = prepare({
      {"shop/house_rules/junior.fitting",
       "pack \"Juniors\"\nrelies on age in whole years\nrule neck\n  need neck_guard\n  for skill new\n"
       "  outranks no_neck\n"
       "rule no_neck\n  omit neck_guard\nrule usual\n  caution \"x\"\n"},
      {"shop/sizes.fitting", "part \"Sizes\"\nrule usual\n  set stick toe to round\npiece neck_guard optional\n"},
      {"shop/by_hand.fitting",
       "policy \"By hand\"\nedition 1, in force from 1 September 2026\nalong with \"sizes.fitting\"\n"
       "along with \"house_rules/junior.fitting\" for age under 18\nask age 4 to 90 years, whole\n"
       "ask skill grades new, improving\npiece stick always\n  toe choice round, square\n"
       "rule square_toe\n  set stick toe to square\n  for age under 10\n  outranks usual\n"},
  });
  const auto kit = [&](const char* age, const char* skill) { return told(policy, {{"age", age}, {"skill", skill}}); };
  CHECK(kit("9", "new") == "neck_guard: needed\nstick: needed\n  toe: square\ncaution junior: usual\n");
  CHECK(kit("17", "improving") == "neck_guard: left out\nstick: needed\n  toe: round\ncaution junior: usual\n");
  CHECK(kit("18", "new") == "neck_guard: not in kit\nstick: needed\n  toe: round\n");
}

TEST_CASE("what can't be made sense of is said") {
  CHECK_THROWS_AS(policy_of("rule r\n  need bag\n"), Unready);
  CHECK_THROWS_AS(policy_of("piece bag optional\nrule r\n  need bag\n  for age under 3\n"), Unready);
  CHECK_THROWS_AS(policy_of("piece bag optional\nrule r\n  need bag\n  outranks s\nrule s\n  omit bag\n  outranks r\n"),
                  Unready);
  CHECK_THROWS_AS(policy_of("ask age 4 to 90 years, whole\nrule r\n"), Unready);
  CHECK_THROWS_AS(policy_of("nonsense\n"), Unready);
  const auto policy = policy_of("ask age 4 to 90 years, whole\nrule r\n  caution \"x\"\n  for age under 5\n");
  CHECK_THROWS_AS(told(policy, {}), Unready);
}
