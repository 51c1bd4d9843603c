#include "tests/runtime/seal/policies.hpp"

#include <algorithm>
#include <catch2/catch.hpp>
#include <sstream>

#include "tests/reference/generate/generator.hpp"
#include "tests/support/folder.hpp"
#include "tests/support/places.hpp"

namespace lacestay::tests {

std::string text_of_file(const std::string& path) { return bytes_of(in_checkout(path)); }

std::shared_ptr<const compiler::Policy> compiled(const std::string& text) { return policy_of("corner.fitting", text); }

const std::string& corner_shop() {
  static const std::string text = R"(policy "Corner shop Älv, a \ & 	tab"
edition 2, in force from 1 September 2026 to 31 August 2027
money GBP
ask age          4 to 90 years, whole      "Age in years"
ask birth_day    1 January 1940 to 31 December 2022
ask weight       12 to 180 kg give or take 500 g shown in st and lb
ask foot_length  140 to 330 mm             may be left blank
ask head         45 to 66 cm
ask sessions     0 to 14, whole            may change
ask skill        grades new, league, elite may change
ask hand         choice left, right

work out season_age = whole years from birth_day to 31 December 2026
work out boot_length = (the larger of foot_length + growth_room and foot_length * 101%) rounded up to 1 mm
work out load = (weight / 1 kg) * (sessions + 1) / (foot_length / 1 mm)

chart growth_room gives growth_room
  down age
    under 13:  8 mm
    the rest:  0 mm
  because "A growing foot fills a season's room."

piece skates always "Skates"
  tier  grades entry, club, race      "Grade"
  size  140 to 400 mm step 5 mm       "Boot length"
piece stick always
  flex    band 20 to 110 flex step 5 flex
  length  36 to 64 in step 1 in
  side    choice left, right
piece helmet always "Helmet"
  size  grades small, medium, large
piece visor optional
piece tape for skill at least league
  rolls 1 to 4 step 1

chart boots gives skates tier
  across weight  under 60 kg,  the rest
  down skill
    new:            entry,  club
    league, elite:  club,   race
  because "Weight and skill both load the boot."
  source "common practice"
rule boot_length_rule
  size skates size from boot_length
rule heavy
  floor skates tier at club
  for weight over 100 kg
  safety
rule loaded
  cap skates tier at club
  for load under 0.1
chart flexes gives stick flex
  down weight
    under 40 kg:  20 to 40 flex
    under 80 kg:  40 to 75 flex
    the rest:     75 to 110 flex
rule soft
  keep stick flex within 20 to 100 flex
rule shaft
  set stick length to 54 in
rule lefts
  set stick side to left
  for hand left
rule rights
  set stick side to right
  for hand right
rule heads
  set helmet size to small
rule big_heads
  set helmet size to large
  for head over 58 cm
  outranks heads
rule ask_about_heads
  refer helmet size
  for head over 64 cm
rule face
  need visor
  for season_age under 18
  because "Teeth."
  safety
rule face_too
  suggest visor
rule no_face
  omit visor
  for age at least 60, skill elite
rule tape_rolls
  set tape rolls to 2
rule more_tape
  one step up in tape rolls
  for hand left
rule straps
  caution "Do up the chin strap."
  for age under 18

make sure stick flex never falls as weight rises
make sure skates tier is at least club for weight over 100 kg
make sure visor is needed for season_age under 10

nobody has age under 10, weight over 120 kg    "Weigh again: no child is that heavy."
nobody has season_age under 8, age at least 12  "Ask the day of birth again."

protection is helmet
stick goes with skates
accept skates with size as advised, tier at least advised
  if none in stock, one step up in size
  if none in stock, order
accept stick with flex within advised once cut to length, side as advised, price at most 90 GBP for skill new
accept stick with length at least advised, made at most 4 years before today, condition new or used for skill league
accept helmet with size as advised, covers head, certified until today, condition new
worth skates tier 10 GBP a step
deal both "Skates with stick"
  for skates with stick
  5% off
deal heap "A heap"
  for 2 or more pieces of one make
  10 GBP off
  adds to both
round percentages on the bill
over the limit
  hire stick for 5 GBP
  put off tape  # the last thing to go
)";
  return text;
}

std::vector<NamedPolicy> reference_policies() {
  std::vector<NamedPolicy> all;
  std::istringstream page(text_of_file("grammar/reference.md"));
  std::string line, block, kind, prelude;
  bool inside = false;
  while (std::getline(page, line)) {
    if (line.rfind("```", 0) != 0) {
      if (inside) block += line + "\n";
      continue;
    }
    inside = !inside;
    if (inside) {
      kind = line.substr(3), block.clear();
    } else if (kind == "fitting") {
      if (prelude.empty()) prelude = block;
      const bool whole = block.rfind("policy", 0) == 0;
      auto made = compile_files({{"reference.fitting", whole ? block : prelude + block}});
      if (made.policy) all.push_back({"reference example " + std::to_string(all.size()), made.policy});
    }
  }
  return all;
}

std::vector<NamedPolicy> random_policies(std::uint64_t seed, std::size_t count) {
  std::vector<NamedPolicy> all;
  for (; all.size() < count; ++seed) {
    auto made = compile_files(naive::generate(seed).files);
    if (made.policy) all.push_back({"random policy " + std::to_string(seed), made.policy});
  }
  return all;
}

runtime::Player random_player(const compiler::Policy& policy, naive::Draw& draw, std::int64_t blank_of) {
  runtime::Player player;
  for (std::size_t i = 0; i < policy.tables.asked.size(); ++i) {
    const auto& domain = policy.tables.asked[i];
    auto value = domain.lowest + draw.between(0, (domain.highest - domain.lowest) / domain.grain) * domain.grain;
    // Half of them at an edge, or just below it: there a fault of one tick shows.
    const auto& cuts = policy.tables.columns[i].cuts;
    if (!cuts.empty() && draw.chance(50)) {
      value = draw.pick(cuts).at;
      if (draw.chance(50)) value -= domain.grain;
    }
    const bool blank = blank_of > 0 && draw.between(1, blank_of) == 1;
    player.readings.push_back(blank ? std::nullopt : std::optional(value));
  }
  for (std::uint32_t piece = 0; piece < policy.pieces.size(); ++piece)
    if (draw.between(1, 16) == 1) player.owns.push_back(piece);
  return player;
}

}  // namespace lacestay::tests
