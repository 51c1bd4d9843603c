// A small policy of charts and rules over the details themselves, of every effect.
#pragma once

namespace lacestay::tests {

inline const char* const direct = R"(
ask age      4 to 20 years, whole
ask sessions 0 to 6, whole
ask skill    grades new, improving, league, elite
ask hand     choice left, right, either

piece stick always
  flex  band 20 to 60 flex step 5 flex
  curve choice left, right
piece pads always
  tier  grades light, medium, heavy
piece neck_guard optional
piece bag for age at least 10
  litres 60 to 100 step 10

chart flex_chart gives stick flex
  across sessions  under 2,         under 4,         the rest
  down age
    under 9:       20 to 30 flex,   20 to 35 flex,   25 to 35 flex
    under 14:      30 to 40 flex,   30 to 45 flex,   35 to 45 flex
    the rest:      40 to 60 flex,   45 to 60 flex,   50 to 60 flex
rule narrow
  keep stick flex within 20 to 50 flex
  for skill new
chart curve_chart gives stick curve
  down hand
    left, either:  left
    right:         right
rule ask_them
  refer stick curve
  for hand either
chart pads_chart gives pads tier
  down skill
    new:               light
    improving, league: medium
    elite:             heavy
rule hard_play
  floor pads tier at medium
  for sessions at least 5
rule young
  cap pads tier at medium
  for age under 8, skill elite
rule young_neck
  need neck_guard
  for age under 18
rule others
  suggest neck_guard
  for sessions over 2
rule not_there
  omit neck_guard
  for age at least 18, hand either
chart bag_chart gives bag litres
  down sessions
    under 3:  60
    under 5:  80
    the rest: 100
rule edges
  caution "Edges weekly."
  for sessions at least 4, skill at least league
)";

}  // namespace lacestay::tests
