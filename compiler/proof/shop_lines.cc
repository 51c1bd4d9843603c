// Lines of the shop of which one at most may apply to a player: those that accept items for one piece, and those that
// say what a step of one property is worth.
#include "compiler/proof/prover.hpp"
#include "compiler/shelf/stages.hpp"
#include "compiler/tables/boxes.hpp"

namespace lacestay::compiler {

void Prover::find_lines_that_meet() {
  const auto& shop = policy_.shop;
  for (std::size_t piece = 0; piece < shop.accepts.size(); ++piece) {
    ShopLines lines{static_cast<TableId>(policy_.tables.piece_table(piece)), {}};
    for (const auto& line : shop.accepts[piece]) lines.players.push_back(line.players);
    lines_that_meet(lines);
  }
  std::vector<ShopLines> by_property(policy_.properties.size());
  for (const auto& worth : shop.worth) by_property[worth.property].players.push_back(worth.players);
  for (std::size_t property = 0; property < by_property.size(); ++property) {
    by_property[property].about = static_cast<TableId>(policy_.tables.property_table(property));
    lines_that_meet(by_property[property]);
  }
}

// Each two by themselves: there are few (most_shop_lines).
void Prover::lines_that_meet(const ShopLines& lines) {
  now_ = lines.about;
  for (std::size_t i = 0; i < lines.players.size(); ++i)
    for (std::size_t k = i + 1; k < lines.players.size(); ++k) {
      Parts parts;
      for (const auto& a : players_of(proof_.tables, lines.players[i]))
        for (const auto& b : players_of(proof_.tables, lines.players[k]))
          if (meet(a, b)) parts.boxes.push_back(shared_box(a, b));
      if (parts.boxes.empty()) continue;
      if (shown_[{now_, Finding::Kind::two_lines}] >= budget_.shown) {
        ++proof_.left_out;
        return;
      }
      Finding finding;
      finding.kind = Finding::Kind::two_lines;
      finding.lines = {i, k};
      report(std::move(finding), std::move(parts), 1);
    }
}

}  // namespace lacestay::compiler
