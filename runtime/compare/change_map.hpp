// A statement that turns on two number details, drawn as a map: the details as axes, its players as shaded regions.
#pragma once

#include <optional>
#include <string>
#include <utility>
#include <vector>

#include "compiler/compare/difference.hpp"

namespace lacestay::runtime {

struct ChangeMap {
  struct Axis {
    std::string name;
    double low = 0, high = 0;                           // of what is drawn, in ticks
    std::vector<std::pair<double, std::string>> edges;  // where the regions begin and end, in shop units
  };
  struct Region {
    double left = 0, right = 0, bottom = 0, top = 0;  // in ticks
    std::size_t becomes = 0;                          // of the statement's
  };
  Axis across, up;
  std::vector<Region> regions;
  std::vector<Region> kept;  // of those, where nothing changes after all; drawn over them
  std::string who;           // the statement's other conditions; empty: there are none
};

// Nothing where more, fewer or other details tell who is meant.
[[nodiscard]] std::optional<ChangeMap> map_of(const compiler::Difference& difference,
                                              const compiler::Statement& statement);

// As an SVG image to stand within a page, with a title and a description; the number of each change stands in its
// regions. `id` begins its element ids, and `about` is what it shows: "stick flex".
[[nodiscard]] std::string svg_of(const ChangeMap& map, const std::string& id, const std::string& about,
                                 const std::vector<std::string>& becomes);

}  // namespace lacestay::runtime
