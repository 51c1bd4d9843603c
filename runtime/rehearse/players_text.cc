#include "runtime/rehearse/players_text.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <utility>

#include "runtime/base/layout.hpp"

namespace lacestay::runtime {

using compiler::Table;

namespace {

class Writing {
 public:
  Writing(const Engine& engine, const compiler::Readings& player)
      : engine_(engine), policy_(engine.policy()), player_(player), scratch_(engine.scratch()) {
    engine.place(player, scratch_);
  }

  std::string details() const {
    std::string out, line;
    for (std::size_t i = 0; i < player_.size(); ++i) {
      const auto detail =
          fmt::format("{} {}", policy_.details[i].name, policy_.details[i].scale.write_for_policy(player_[i]));
      if (!line.empty() && line.size() + detail.size() > text_width - 4) out += "  " + std::exchange(line, "") + "\n";
      line += (line.empty() ? "" : ", ") + detail;
    }
    return out + "  " + line + "\n";
  }

  std::string leaves_with(TableId id) const {
    const auto& table = policy_.tables.tables[id];
    const auto outcome = engine_.outcome(id, scratch_);
    switch (table.kind) {
      case Table::Kind::property: return of_property(table.target, outcome);
      case Table::Kind::piece: return of_piece(policy_.pieces[table.target].name, outcome);
      case Table::Kind::caution: return of_caution(caution(table.target), outcome);
      case Table::Kind::detail:
      case Table::Kind::shop_line: return "";
    }
    return "";
  }

 private:
  const std::string& caution(std::size_t place) const { return policy_.rules[policy_.cautions[place]].caution; }

  // A players file names a caution by its text, or a part of it, so one that is silent can't be told where another says
  // the same.
  std::string of_caution(const std::string& text, const Outcome& outcome) const {
    if (outcome.standing == Standing::spoken) return fmt::format("  leaves with caution \"{}\"\n", text);
    for (std::size_t i = 0; i < policy_.cautions.size(); ++i) {
      const auto id = static_cast<TableId>(policy_.tables.first_caution_table() + i);
      if (caution(i).find(text) != std::string::npos && engine_.outcome(id, scratch_).standing == Standing::spoken)
        return "";
    }
    return fmt::format("  leaves without caution \"{}\"\n", text);
  }

  std::string of_property(std::uint32_t property, const Outcome& outcome) const {
    const auto& text = policy_.properties[property];
    const auto piece = static_cast<TableId>(policy_.tables.piece_table(text.piece));
    if (!compiler::in_kit(engine_.outcome(piece, scratch_).standing)) return "";
    const auto name = policy_.name_of(policy_.tables.tables[policy_.tables.property_table(property)]);
    if (outcome.standing == Standing::referred) return fmt::format("  leaves with refer {}\n", name);
    if (outcome.standing != Standing::answered) return "";
    return fmt::format("  leaves with {} {}\n", name, text.write_for_policy(outcome.low, outcome.high));
  }

  static std::string of_piece(const std::string& name, const Outcome& outcome) {
    switch (outcome.standing) {
      case Standing::needed: return fmt::format("  leaves with {} needed\n", name);
      case Standing::suggested: return fmt::format("  leaves with {} suggested\n", name);
      case Standing::left_out:
      case Standing::not_in_kit: return fmt::format("  leaves without {}\n", name);
      default: return "";
    }
  }

  const Engine& engine_;
  const compiler::Policy& policy_;
  const compiler::Readings& player_;
  Engine::Scratch scratch_;
};

}  // namespace

std::string without_quotes(std::string text) {
  std::replace(text.begin(), text.end(), '"', '\'');
  return text;
}

std::string player_text(const Engine& engine, const std::string& name, const std::string& text,
                        const compiler::Readings& player, const std::vector<TableId>& answers) {
  const Writing writing(engine, player);
  auto out = fmt::format("player {} \"{}\"\n{}", name, text, writing.details());
  for (const auto id : answers) out += writing.leaves_with(id);
  return out;
}

}  // namespace lacestay::runtime
