// Players for a prepared policy, whoever wrote it: drawn on and beside its edges, or one by one where they can be
// counted.
//
// The edges are read off the policy's own conditions, charts and sizes. Where a worked-out detail is compared, the
// asked details it comes from are searched for a value that just reaches the edge.
#pragma once

#include <cstdint>
#include <map>
#include <optional>
#include <string>
#include <vector>

#include "tests/reference/draw.hpp"
#include "tests/reference/evaluator.hpp"

namespace lacestay::naive {

struct DrawnPlayer {
  Player exact;
  std::map<std::string, std::string> texts;  // the same, as the fitter would write it: {"weight", "12.5 kg"}

  // `age="9 years" weight="12.5 kg"`
  [[nodiscard]] std::string line() const;
};

class PlayerSource {
 public:
  // Keeps a reference to the policy.
  PlayerSource(const Policy& policy, std::uint64_t seed);

  // Always inside the asked details' domains; about half of the details stand on an edge or beside it. Somebody who can
  // be, if one comes within a thousand draws.
  [[nodiscard]] DrawnPlayer draw();

  // How many players there are, where every asked detail is whole, a grade, a choice or a day; else nothing. Also
  // nothing for more than 64 bits hold.
  [[nodiscard]] std::optional<std::uint64_t> all() const;
  // One of them, by number from 0.
  [[nodiscard]] DrawnPlayer at(std::uint64_t number);

 private:
  struct Asked {
    std::size_t detail = 0;
    std::string name;
    bool day = false, whole = false;
    Dimension dimension = Dimension::number;
    std::vector<std::string> members;  // if any, the values are 0 to one less than their number
    Rational low, high;
    Rational tick;  // what lies beside an edge: one unit where whole, a day, else the smallest step
    std::vector<Rational> edges;
  };

  [[nodiscard]] static Asked asked_of(const Policy& policy, std::size_t detail);
  [[nodiscard]] Rational value(const Asked& asked);
  [[nodiscard]] Rational on_tick(const Asked& asked, const Rational& near) const;
  void move_to_edge(Player& player);
  [[nodiscard]] static Exact exact(const Asked& asked, const Rational& value);
  [[nodiscard]] std::string text(const Asked& asked, const Exact& value);
  [[nodiscard]] DrawnPlayer written(Player player);

  const Policy& policy_;
  Draw draw_;
  std::vector<Asked> asked_;
  std::vector<Edge> worked_out_edges_;
};

}  // namespace lacestay::naive
