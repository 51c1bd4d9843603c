// Text to tree, one table of {source, tree} for each construct; what a tree keeps; how a bad line is passed over.
#include <fmt/format.h>

#include <catch2/catch.hpp>

#include "grammar/read/reader.hpp"
#include "tests/grammar/read/dump.hpp"

namespace {

using namespace lacestay;

struct Example {
  const char* source;
  const char* tree;
};

grammar::File read(const std::string& text, grammar::Diagnostics& diagnostics) {
  return grammar::read(std::make_shared<grammar::Source>("example.fitting", text), diagnostics);
}

const Example examples[] = {
    {"policy \"Rink shop\"", "(policy \"Rink shop\")"},
    {"part “Skaters”", "(part \"Skaters\")"},
    {"pack \"House rules\"", "(pack \"House rules\")"},
    {"edition 4, in force from 1 September 2026", "(edition 4 2026-09-01)"},
    {"edition 4, in force from 2026-09-01 to 31 Aug 2027", "(edition 4 2026-09-01 2027-08-31)"},
    {"money GBP", "(money gbp)"},
    {"along with \"house_rules/junior.fitting\"", "(along_with \"house_rules/junior.fitting\")"},
    {"along with \"a.fitting\" for skill league, elite",
     "(along_with \"a.fitting\" (for (is 'skill league' 'elite')))"},
    {"relies on age in whole years", "(relies_on 'age' whole years)"},
    {"relies on weight in kg", "(relies_on 'weight' kg)"},
    {"relies on skill", "(relies_on 'skill')"},
    {"ask age 4 to 90 years, whole \"Age\"", "(ask age (amount 4years..90years whole) \"Age\")"},
    {"ask weight 4 st 10 lb to 20 st shown in st and lb give or take 1 lb",
     "(ask weight (amount 4st+10lb..20st shown=st shown=lb) give_or_take=1lb)"},
    {"ask skill grades new, improving may change", "(ask skill (grades new improving) may_change)"},
    {"ask hand choice left, right \"Which?\" may be left blank may change",
     "(ask hand (choice left right) \"Which?\" may_change may_be_blank)"},
    {"ask born 1 January 1936 to 31 December 2023", "(ask born (amount 1936-01-01..2023-12-31))"},
    {"ask sessions 0 to 14, whole", "(ask sessions (amount 0..14 whole))"},
    {"work out a = b + c * 2 - d / 4", "(work_out a (- (+ 'b' (* 'c' 2)) (/ 'd' 4)))"},
    {"work out a = (b + c) × 2½ ÷ 1 in", "(work_out a (/ (* (+ 'b' 'c') 5/2) 1in))"},
    {"work out a = the larger of b × 90% and 5 mm", "(work_out a (larger (* 'b' 90%) 5mm))"},
    {"work out a = (the smaller of b and c) rounded up to 5 mm", "(work_out a (up (smaller 'b' 'c') 5mm))"},
    {"work out a = b rounded down to 5 mm", "(work_out a (down 'b' 5mm))"},
    {"work out a = b – 1 rounded to the nearest ½", "(work_out a (nearest (- 'b' 1) 1/2))"},
    {"work out a = whole years from birth_day to 31 December 2026",
     "(work_out a (whole_years 'birth_day' 2026-12-31))"},
    {"piece skates always \"Skates\"\n  tier grades entry, club\n  size 140 to 340 mm step 5 mm \"Boot size\" shown in "
     "mm",
     "(piece skates always \"Skates\" (property tier (grades entry club)) (property size (amount 140mm..340mm step=5mm "
     "shown=mm) \"Boot size\"))"},
    {"piece stick optional\n  flex band 20 to 110 flex step 5 flex\n  toe choice round, square",
     "(piece stick optional (property flex (band 20flex..110flex step=5flex)) (property toe (choice round square)))"},
    {"piece pads always\n  size grades small, x_large shown as “XL” \"Size\"\n  mark choice a shown as \"A, 1\", b\n  "
     "length one of 46, 48, 50, 54 in shown in in",
     "(piece pads always (property size (grades small x_large=\"XL\") \"Size\") (property mark (choice a=\"A, 1\" b)) "
     "(property length (sizes 46in 48in 50in 54in shown=in)))"},
    {"ask hand choice left shown as \"L\", right shown as \"R\" \"Which?\"",
     "(ask hand (choice left=\"L\" right=\"R\") \"Which?\")"},
    {"piece mask for role goalkeeper, age at least 10 \"Mask\"",
     "(piece mask (for (is 'role goalkeeper') (at_least 'age' 10)) \"Mask\")"},
    {"chart c gives stick flex\n  down weight\n    under 27 kg: 20 to 30 flex\n    at most 5 ft: 1 flex to 2 flex\n    "
     "the rest: 3 to 4 flex",
     "(chart c 'stick flex' (down 'weight') (row (under 27kg) 20flex..30flex) (row (at_most 5ft) 1flex..2flex) (row "
     "(rest) 3flex..4flex))"},
    {"chart c gives boot\n  across weight under 60 kg, the rest\n  down skill\n    league, elite: entry, club\n    new "
     "or improving: club, club",
     "(chart c 'boot' (across 'weight' (under 60kg) (rest)) (down 'skill') (row (members 'league' 'elite') 'entry' "
     "'club') (row (members 'new' 'improving') 'club' 'club'))"},
    {"rule r\n  size shins length from shin, never under 8 in or over 17 in",
     "(rule r (size 'shins length' 'shin' never under 8in never over 17in))"},
    {"rule r\n  size shins length from shin never over 17 in", "(rule r (size 'shins length' 'shin' never over 17in))"},
    {"chart c gives stick flex from \"flex.csv\"\n  for skill new\n  because \"Why\"",
     "(chart c 'stick flex' from=\"flex.csv\" (for (is 'skill new')) because=\"Why\")"},
    {"chart c gives counted graded as skill from \"a/b.csv\"",
     "(chart c 'counted' (graded as 'skill') from=\"a/b.csv\")"},
    {"chart c gives counted graded as skill\n  down years\n    under 2: new\n    the rest: league",
     "(chart c 'counted' (graded as 'skill') (down 'years') (row (under 2) 'new') (row (rest) 'league'))"},
    {"chart c gives x\n  across skill: new or improving, league\n    5 mm, 6 mm",
     "(chart c 'x' (across 'skill' (members 'new' 'improving') (members 'league')) (row (rest) 5mm 6mm))"},
    {"chart c gives x\n  down born\n    before 1 May 2010: a\n    the rest: b",
     "(chart c 'x' (down 'born') (row (before 2010-05-01) 'a') (row (rest) 'b'))"},
    {"rule r\n  set stick toe to round\n  because \"Why\"\n  source \"Where\"\n  safety\n  outranks a, b",
     "(rule r (set 'stick toe' 'round') because=\"Why\" source=\"Where\" outranks='a' outranks='b' safety)"},
    {"rule r\n  size stick flex from soft_end to stiff_end, never over 90 flex",
     "(rule r (size 'stick flex' 'soft_end' to 'stiff_end' never over 90flex))"},
    {"rule r\n  size skates size from boot length", "(rule r (size 'skates size' 'boot length'))"},
    {"rule r\n  keep stick flex within 20 to 60 flex", "(rule r (keep 'stick flex' 20flex..60flex))"},
    {"rule r\n  set guard mark to iso or bnq or csa", "(rule r (set 'guard mark' 'iso'|'bnq'|'csa'))"},
    {"rule r\n  set guard mark to any of them", "(rule r (set 'guard mark' any))"},
    {"rule r\n  keep guard mark within iso or bnq", "(rule r (keep 'guard mark' 'iso'|'bnq'))"},
    {"rule r\n  keep guard mark within iso", "(rule r (keep 'guard mark' 'iso'))"},
    {"chart c gives guard mark\n  down skill\n    new: iso or bnq\n    elite: any of them",
     "(chart c 'guard mark' (down 'skill') (row (members 'new') 'iso'|'bnq') (row (members 'elite') any))"},
    {"rule r\n  floor skates.tier at club\n  for weight over 115 kg, height at most 5 ft 9 in",
     "(rule r (floor 'skates tier' 'club') (for (over 'weight' 115kg) (at_most 'height' 5ft+9in)))"},
    {"rule r\n  cap body_pads tier at medium\n  for contact none",
     "(rule r (cap 'body_pads tier' 'medium') (for (is 'contact none')))"},
    {"rule r\n  need neck guard, mouthguard\n  for skill new, improving, age under 18, role skater",
     "(rule r (need 'neck guard' 'mouthguard') (for (is 'skill new' 'improving') (under 'age' 18) (is 'role "
     "skater')))"},
    {"rule r\n  suggest bag\n  for position defence, contact incidental, full, skill at least improving",
     "(rule r (suggest 'bag') (for (is 'position defence') (is 'contact incidental' 'full') (at_least 'skill' "
     "'improving')))"},
    {"rule r\n  omit bag\n  for born since 2010-05-01, born before 2012-05-01",
     "(rule r (omit 'bag') (for (since 'born' 2010-05-01) (before 'born' 2012-05-01)))"},
    {"rule r\n  one step up in gloves size", "(rule r (step 1 'gloves size'))"},
    {"rule r\n  Two Steps Down in stick length\n  for age under 8",
     "(rule r (step -2 'stick length') (for (under 'age' 8)))"},
    {"rule r\n  need bag\n  for sessions 2 to 4, age 6 to 10 years, category u8 to u12, born 1 May 2010 to 2012-05-31",
     "(rule r (need 'bag') (for (from_to 'sessions' 2 4) (from_to 'age' 6years 10years) (from_to 'category u8' 'u12') "
     "(from_to 'born' 2010-05-01 2012-05-31)))"},
    {"rule r\n  refer skates", "(rule r (refer 'skates'))"},
    {"rule r\n  refer skates, gloves size, padding", "(rule r (refer 'skates' 'gloves size' 'padding'))"},
    {"rule r\n  caution \"Mind the step.\"", "(rule r (caution \"Mind the step.\"))"},
    {"rule r\n  need a,   # one\n       b    # two\n  safety", "(rule r (need 'a' 'b') safety)"},
    {"Rule R\n  Need Neck_Guard\n  FOR Age UNDER 18", "(rule r (need 'neck_guard') (for (under 'age' 18)))"},
    {"group padding is body_pads, elbow pads, gloves", "(group padding 'body_pads' 'elbow pads' 'gloves')"},
    {"make sure stick flex never falls as weight rises", "(make_sure 'stick flex' never_falls 'weight')"},
    {"make sure stick flex never rises as age rises for role skater",
     "(make_sure 'stick flex' never_rises 'age' (for (is 'role skater')))"},
    {"make sure neck_guard is needed for age under 18", "(make_sure 'neck_guard' needed (for (under 'age' 18)))"},
    {"make sure bag is left out", "(make_sure 'bag' left_out)"},
    {"nobody has category adult, senior, age under 15  \"Ask again.\"",
     "(nobody (is 'category adult' 'senior') (under 'age' 15) \"Ask again.\")"},
    {"nobody has born before 2010-05-01, role goalkeeper or skater \"No.\"",
     "(nobody (before 'born' 2010-05-01) (is 'role goalkeeper' 'skater') \"No.\")"},
    {"protection is helmet, neck guard", "(protection 'helmet' 'neck guard')"},
    {"face_protection goes with helmet", "(goes_with 'face_protection' 'helmet')"},
    {"neck guard goes  with goes", "(goes_with 'neck guard' 'goes')"},
    {"accept helmet with size as advised, covers head_girth, certified until today, condition new",
     "(accept 'helmet' (as_advised 'size') (covers 'head_girth') (in_date) (is 'condition new'))"},
    {"accept skates with size as advised,\n  tier at least advised, width at most advised\n  if none in stock, one "
     "step "
     "up in size\n  if none in stock, two steps down in tier\n  if none in stock, any width\n  if none in stock, "
     "refer\n  if none in stock, order",
     "(accept 'skates' (as_advised 'size') (at_least 'tier') (at_most 'width') (if_none step 1 'size') (if_none step "
     "-2 "
     "'tier') (if_none any 'width') (if_none refer) (if_none order))"},
    {"accept stick with flex within advised once cut to length",
     "(accept 'stick' (within 'flex' once_cut_to='length'))"},
    {"accept gloves with size as advised, condition new or used,\n  price at most 80 GBP for skill new, age under 12",
     "(accept 'gloves' (as_advised 'size') (new_or_used) (price at_most 80GBP) (for (is 'skill new') (under 'age' "
     "12)))"},
    {"accept helmet with condition used or new, made at most 4 years before today, price under 90.50 GBP",
     "(accept 'helmet' (new_or_used) (made at_most 4years) (price under 9050/100GBP))"},
    {"accept gloves with size as advised, price at most 40 GBP if used, made at most 3 years before today if used, "
     "price "
     "at least 20 GBP if new\n  if none in stock, any condition  \"Say how worn it is.\"",
     "(accept 'gloves' (as_advised 'size') (price at_most 40GBP if_used) (made at_most 3years if_used) (price at_least "
     "20GBP if_new) (if_none any 'condition' \"Say how worn it is.\"))"},
    {"worth skates tier 35 GBP a step for skill league", "(worth 'skates tier' 35GBP (for (is 'skill league')))"},
    {"deal ten \"Ten off\" for skill league\n  for 2 or more of one make\n  10% off",
     "(deal ten \"Ten off\" (for (is 'skill league')) (for 2 one_make) (off 10%))"},
    {"over the limit\n  hire skates for 45 GBP for age under 12\n  borrow stick for skill new\n  put off bag for age "
     "at "
     "least 12",
     "(over_the_limit (hire 'skates' 45GBP (for (under 'age' 12))) (borrow 'stick' (for (is 'skill new'))) (put_off "
     "'bag' (for (at_least 'age' 12))))"},
    {"worth skates tier 35 GBP a grade", "(worth 'skates tier' 35GBP)"},
    {"worth skates tier 35 GBP a step", "(worth 'skates tier' 35GBP)"},
    {"deal head_to_toe \"One make\"\n  for 5 or more pieces of one make\n  10% off\n  adds to caged, other\n  because "
     "\"It clears the shelf.\"",
     "(deal head_to_toe \"One make\" (for 5 one_make) (off 10%) adds_to='caged' adds_to='other' because=\"It clears "
     "the "
     "shelf.\")"},
    {"deal caged\n  for helmet with face_protection with neck_guard of \"Fellwick\"\n  75 GBP together",
     "(deal caged (for \"Fellwick\" 'helmet' 'face_protection' 'neck_guard') (together 75GBP))"},
    {"deal gift\n  for gloves over 90 GBP with mouthguard at most 15 GBP\n  100% off mouthguard",
     "(deal gift (for (over 'gloves' 90GBP) (at_most 'mouthguard' 15GBP)) (off 100% 'mouthguard'))"},
    {"deal some\n  for 2 or more: helmet under 90 GBP, gloves\n  10% off gloves, helmet",
     "(deal some (for 2 (under 'helmet' 90GBP) 'gloves') (off 10% 'gloves' 'helmet'))"},
    {"deal kit\n  for the whole kit of one make\n  10% off", "(deal kit (for whole_kit one_make) (off 10%))"},
    {"deal kit\n  for the whole kit\n  10% off", "(deal kit (for whole_kit) (off 10%))"},
    {"deal three\n  for 3 or more: helmet, gloves, skates\n  20 GBP off",
     "(deal three (for 3 'helmet' 'gloves' 'skates') (off 20GBP))"},
    {"round percentages on each line", "(round_percentages each_line)"},
    {"round percentages on the bill", "(round_percentages bill)"},
    {"over the limit\n  settle for one step down in kit bag litres for age under 12\n  settle for any stick grip",
     "(over_the_limit (settle step -1 'kit bag litres' (for (under 'age' 12))) (settle any 'stick grip'))"},
    {"over the limit\n  hire skates for 45 GBP\n  borrow stick\n  buy used padded_pants for 20 GBP\n  put off kit bag",
     "(over_the_limit (hire 'skates' 45GBP) (borrow 'stick') (buy_used 'padded_pants' 20GBP) (put_off 'kit bag'))"},
    {"make sure skates tier is at least club", "(make_sure 'skates tier' at_least 'club')"},
    {"make sure stick flex is at most 90 flex", "(make_sure 'stick flex' at_most 90flex)"},
    {"make sure stick flex is within 40 to 90 flex", "(make_sure 'stick flex' within 40flex..90flex)"},
    {"players of \"northgate.fitting\"", "(players_of \"northgate.fitting\")"},
    {"player kim \"Nine\"\n  age 9 years, weight 4 st 10 lb, skill new\n  foot_length blank, born 3 May 2014\n  owns "
     "helmet, skates",
     "(player kim \"Nine\" (reading 'age' 9years) (reading 'weight' 4st+10lb) (reading 'skill new') (reading "
     "'foot_length' blank) (reading 'born' 2014-05-03) owns='helmet' owns='skates')"},
    {"player kim\n  leaves with stick flex 30 to 40 flex\n  leaves without mask\n  leaves with refer skates size\n  "
     "leaves with caution \"blow\"\n  leaves without caution \"cold\"\n  leaves with chest to take next\n  leaves "
     "with neck_guard",
     "(player kim (with 'stick flex' 30flex..40flex) (without 'mask') (refer 'skates size') (caution \"blow\") "
     "(no_caution \"cold\") (next 'chest') (with 'neck_guard'))"},
    {"player kim\n  leaves with guard mark iso or bnq or csa", "(player kim (with 'guard mark iso'|'bnq'|'csa'))"},
    {"player a\n  age 9, can_do x\n  can spend 450 GBP\n  leaves with item \"SK-104\"\n  leaves without item "
     "\"SK-105\"\n  leaves with total 425.17 GBP\n  leaves with total at most 450 GBP",
     "(player a (reading 'age' 9) (reading 'can_do x') can_spend=450GBP (item \"SK-104\") (no_item \"SK-105\") (total "
     "42517/100GBP) (total_at_most 450GBP))"},
};

TEST_CASE("each construct becomes the tree it should") {
  for (const auto& example : examples) {
    grammar::Diagnostics diagnostics;
    const auto file = read(example.source, diagnostics);
    INFO(example.source);
    INFO(render(diagnostics.sorted()));
    REQUIRE(file.items.size() == 1);
    CHECK(tests::dump(file.items.front()) == example.tree);
    CHECK(diagnostics.empty());
  }
}

TEST_CASE("numbers are exact fractions") {
  const auto fraction = [](const char* text) {
    const auto amount = grammar::read_decimal(text);
    return amount ? fmt::format("{}/{}", amount->numerator, amount->denominator) : std::string("too long");
  };
  CHECK(fraction("88.90410452") == "8890410452/100000000");
  CHECK(fraction("12½") == "25/2");
  CHECK(fraction("12 ⅝") == "101/8");
  CHECK(fraction("¾") == "3/4");
  CHECK(fraction("007") == "7/1");
  CHECK(fraction("0.1") == "1/10");
  CHECK(fraction("12345678901234567") == "12345678901234567/1");
  CHECK(fraction("123456789012345678") == "too long");
  CHECK(fraction("0.0000000000000000001") == "too long");
}

TEST_CASE("comments and items together cover every byte that is not blank") {
  const std::string text =
      "# first\n"
      "policy \"A # in a text\"   # beside\n"
      "\n"
      "  # an indented comment\n"
      "rule r\n"
      "  need a,  # one\n"
      "       b\n"
      "# last";
  grammar::Diagnostics diagnostics;
  const auto file = read(text, diagnostics);
  REQUIRE(diagnostics.empty());
  std::string covered(text.size(), ' ');
  const auto cover = [&](const grammar::Span& span) {
    for (auto i = span.begin; i < span.end; ++i) covered[i] = text[i];
  };
  for (const auto& item : file.items) cover(item.span);
  for (const auto& comment : file.comments) cover(comment.span);
  for (std::size_t i = 0; i < text.size(); ++i)
    if (text[i] != '\n' && text[i] != ' ') CHECK(covered[i] == text[i]);
  REQUIRE(file.comments.size() == 5);
  CHECK(file.comments[0].own_line);
  CHECK_FALSE(file.comments[1].own_line);
  CHECK(file.comments[2].own_line);
  CHECK_FALSE(file.comments[3].own_line);
}

TEST_CASE("a bad line costs itself, a bad item the lines under it, and the rest is read") {
  grammar::Diagnostics diagnostics;
  const auto file = read(
      "policy \"P\"\n"
      "rule a\n"
      "  need\n"
      "  because \"Kept.\"\n"
      "rule 7up\n"
      "  need b\n"
      "rule c\n"
      "  need d\n",
      diagnostics);
  CHECK(diagnostics.size() == 2);
  REQUIRE(file.items.size() == 3);
  CHECK(tests::dump(file.items[1]) == "(rule a because=\"Kept.\")");
  CHECK(tests::dump(file.items[2]) == "(rule c (need 'd'))");
}

}  // namespace
