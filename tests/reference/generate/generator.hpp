// Random policies, as text, from a seed.
//
// They are meant to compile without an error of names, types or charts: names are known, charts are complete and
// rise, edges lie inside the domains, `outranks` never runs in a circle, safety yields only to safety of its own
// file, and every property has a base source. Beyond that they are free: gaps and clashes happen, often.
#pragma once

#include <cstdint>
#include <map>
#include <optional>
#include <string>
#include <vector>

#include "tests/reference/prepared.hpp"

namespace lacestay::naive {

struct Settings {
  std::size_t most_details = 6;  // asked; worked-out ones come on top
  std::size_t most_worked_out = 3;
  std::size_t most_pieces = 4;
  // Only whole, grades and choice details, and at most this many players in all, so that each can be tried. 0: free.
  std::int64_t most_players = 0;
  bool several_files = true;  // sometimes a part and a pack
  bool sheets = true;         // where there may be several files: now and then a chart stands in a spreadsheet
  bool sixteenths = true;     // halves of pounds, and ounces: they need a finer tick than whole pounds do
  bool kinds = false;         // numbers worked out and given a unit, money and flex among them
  // The pieces and rules from another seed: two policies that say different things of the same details.
  std::optional<std::uint64_t> kit_seed;
};

struct Generated {
  std::vector<TextFile> files;                // the policy first; the others stand where it brings them along from
  std::map<std::string, std::size_t> counts;  // how often each construct was written
};

[[nodiscard]] Generated generate(std::uint64_t seed, const Settings& settings = {});

}  // namespace lacestay::naive
