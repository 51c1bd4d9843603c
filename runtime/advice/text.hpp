// An advice as a text for the counter.
#pragma once

#include <string>

#include "runtime/advice/advice.hpp"

namespace lacestay::runtime {

// Piece by piece: what is needed, suggested or left out; each property; why, by which rule, on what it looked; what
// was overruled; what would change it; cautions at the foot. Ends with a line end.
[[nodiscard]] std::string text_of(const Advice& advice);

// The last lines of every advice, on paper and screen.
inline constexpr const char* standing_caution =
    "Fit and safety come first. The governing body's current rules, the standard's mark on each item and a trained "
    "fitter decide; this advice does not replace them.";

// What was handed over otherwise, and where it all stands in the daybook: the last lines of what is on record.
[[nodiscard]] std::string beside_text(const std::vector<HandedOver>& handed_over,
                                      const std::optional<EntryReference>& entry);
[[nodiscard]] std::string text_of(const std::vector<HandedOver>& handed_over);  // with its heading
[[nodiscard]] std::string text_of(const HandedOver& handed_over);
// What must be said beside it, wherever it is shown.
struct Warning {
  std::string heading, text;  // "A safety rule speaks of this", "young_neck: Cuts to the neck are rare and can kill."
};
[[nodiscard]] std::vector<Warning> warnings_of(const HandedOver& handed_over);
// "A SAFETY RULE SPEAKS OF THIS: young_neck: …"
[[nodiscard]] std::string text_of(const Warning& warning);

// "Daybook entry 41: 3f9a…", by which it is found again.
[[nodiscard]] std::string entry_text(const EntryReference& entry);

// One line: which rule spoke, where it stands, and what it looked at.
[[nodiscard]] std::string text_of_rule(const Part& part);
// "growing_boot 210 mm: from foot_length 205 mm, growth_room 5 mm"; of a chart, its because and what it looked at.
[[nodiscard]] std::string text_of(const Derivation& derived);

}  // namespace lacestay::runtime
