#include "tests/compiler/proof/claims.hpp"

#include <algorithm>

#include "tests/compiler/proof/asked.hpp"
#include "tests/reference/players.hpp"

namespace lacestay::judges {

using naive::Draw;

namespace {

class Claiming {
 public:
  Claiming(const naive::Policy& policy, std::uint64_t seed)
      : policy_(policy), draw_(seed * 2 + 1), asked_(asked_ranges(policy)) {
    naive::PlayerSource source(policy, seed);
    for (int i = 0; i < 40; ++i) outcomes_.push_back(naive::evaluate(policy, source.draw().exact));
  }

  std::string run() {
    for (const auto& piece : policy_.pieces) {
      about_piece(piece);
      for (const auto& property : piece.properties)
        if (property.tree->domain.kind != grammar::Domain::Kind::choice)
          for (auto wanted = draw_.between(0, 3); wanted > 0; --wanted) about_property(piece, property);
    }
    return text_;
  }

 private:
  void claim(const std::string& subject, const std::string& what, int condition_chance) {
    const auto when = draw_.chance(condition_chance) ? condition() : "";
    text_ += "make sure " + subject + " " + what + (when.empty() ? "" : " for " + when) + "\n";
  }

  void about_piece(const naive::Piece& piece) {
    const bool optional = piece.tree->presence == grammar::Piece::Presence::optional;
    if (!draw_.chance(optional ? 80 : 15)) return;
    std::size_t needed = 0;
    for (const auto& outcome : outcomes_)
      needed += outcome.pieces.at(piece.name).standing == naive::Standing::needed ? 1 : 0;
    const bool mostly = needed * 2 > outcomes_.size();
    claim(piece.name, mostly != draw_.chance(20) ? "is needed" : "is left out", 70);
  }

  void about_property(const naive::Piece& piece, const naive::Property& property) {
    std::int64_t low = property.last(), high = 0;
    for (const auto& outcome : outcomes_) {
      const auto& told = outcome.pieces.at(piece.name).properties;
      const auto found = told.find(property.name);
      if (found == told.end() || found->second.kind != naive::PropertyOutcome::Kind::answer) continue;
      low = std::min(low, found->second.answer->low);
      high = std::max(high, found->second.answer->high);
    }
    if (low > high) low = 0, high = property.last();
    const auto name = piece.name + " " + property.name;
    const auto form = draw_.between(1, 100);
    if (form <= 45) {
      std::vector<std::string> rising;
      for (const auto& range : asked_) {
        const auto& domain = policy_.details[range.detail].ask->domain;
        if (domain.kind != grammar::Domain::Kind::choice) rising.push_back(range.name);
      }
      if (rising.empty()) return;
      const auto how = draw_.chance(50) ? "never falls as " : "never rises as ";
      return claim(name, how + draw_.pick(rising) + " rises", 30);
    }
    // A step past what was met would be too easy to refute; the ends of the range can't be.
    const auto from = std::min(property.last(), low + (draw_.chance(25) ? 1 : 0));
    const auto to = std::max<std::int64_t>(0, high - (draw_.chance(25) ? 1 : 0));
    const auto said = [&](std::int64_t step) { return property.answers[static_cast<std::size_t>(step)]; };
    if (said(from).find('/') != std::string::npos || said(to).find('/') != std::string::npos) return;
    if (form <= 65) return claim(name, "is at least " + said(from) + property.unit, 40);
    if (form <= 85) return claim(name, "is at most " + said(to) + property.unit, 40);
    if (from < to) claim(name, "is within " + said(from) + " to " + said(to) + property.unit, 40);
  }

  // One or two of the conditions the policy's rules have, word by word.
  std::string condition() {
    std::vector<std::string> known;
    for (const auto& voice : policy_.voices)
      for (const auto& condition : voice.clauses->when) known.emplace_back(condition.span.text());
    if (known.empty()) return "";
    auto text = draw_.pick(known);
    if (draw_.chance(35)) text += ", " + draw_.pick(known);
    return text;
  }

  const naive::Policy& policy_;
  Draw draw_;
  std::vector<AskedRange> asked_;
  std::vector<naive::Outcome> outcomes_;
  std::string text_;
};

}  // namespace

std::string claims_for(const naive::Policy& policy, std::uint64_t seed) { return Claiming(policy, seed).run(); }

}  // namespace lacestay::judges
