#include "tests/compiler/proof/everybody.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <catch2/catch.hpp>
#include <iostream>
#include <stdexcept>

#include "compiler/check/compile.hpp"
#include "compiler/space/reach.hpp"
#include "tests/compiler/proof/claims.hpp"
#include "tests/reference/generate/generator.hpp"
#include "tests/reference/generate/generator_nobody.hpp"
#include "tests/reference/generate/generator_shelf.hpp"
#include "tests/reference/players.hpp"
#include "tests/support/policy/compiled.hpp"
#include "tests/support/settings.hpp"

namespace lacestay::judges {

using compiler::Box;
using compiler::Finding;
using compiler::PlaceRange;
using Kind = Finding::Kind;

void Tally::differs(const std::string& what, const std::string& where, std::uint64_t seed, const std::string& policy) {
  auto& known = differences_[what];
  if (++known.times == 1 || policy.size() < known.policy.size())
    known.seed = seed, known.policy = policy, known.where = where;
}

std::string Tally::told() const {
  std::string out;
  for (const auto& [subject, counts] : counts_) {
    std::string line;
    for (const auto& [what, times] : counts) line += fmt::format("{}{} {}", line.empty() ? "" : ", ", times, what);
    out += fmt::format("{}: {}\n", subject, line);
  }
  for (const auto& [what, difference] : differences_)
    out += fmt::format("DIFFERS, {} times: {}; with seed {}: {}\n{}", difference.times, what, difference.seed,
                       difference.where, difference.policy);
  return out;
}

Everybody::Everybody(std::uint64_t seed, Tally& tally) : seed_(seed), tally_(tally) {
  naive::Settings settings;
  settings.most_players = most_players;
  files_ = naive::generate(seed, settings).files;
  auto& own = files_.front().text;
  // Every other policy has a shelf.
  if (seed % 2 == 0) {
    own += "\n" + naive::shelf_for(naive::prepare(files_), seed);
    own += "\n" + naive::shelf_claims_for(naive::prepare(files_), seed);
  }
  // In two of three there are players that cannot be.
  if (seed % 3 != 0) own += "\n" + naive::nobody_for(naive::prepare(files_), seed);
  own += "\n" + claims_for(naive::prepare(files_), seed);
  for (const auto& file : files_) text_ += "--- " + file.name + "\n" + file.text;
  naive_ = naive::prepare(files_);
  policy_ = tests::compile_files(files_).policy;
}

namespace {

bool inside(const Box& box, const std::vector<std::uint32_t>& places) {
  return std::all_of(box.begin(), box.end(), [&](const compiler::Cell& cell) {
    return std::any_of(cell.places.begin(), cell.places.end(), [&](const PlaceRange& range) {
      return range.first <= places[cell.column] && places[cell.column] <= range.last;
    });
  });
}

// A whole player stands in one place of each column.
std::vector<std::uint32_t> places_of(compiler::Reach& reach, const compiler::Readings& readings) {
  std::vector<std::uint32_t> places;
  for (const auto& range : reach.at(readings)) {
    if (range.first != range.last) throw std::logic_error("a whole player in two places");
    places.push_back(range.first);
  }
  return places;
}

}  // namespace

bool Everybody::try_all() {
  compiler::ProofBudget budget;
  budget.shown = std::size_t{1} << 40;
  proof_ = compiler::prove(*policy_, budget);
  tables_ = static_cast<compiler::TableId>(policy_->tables.first_caution_table());
  same("nothing is left out", proof_.left_out == 0);
  same("all is settled", std::none_of(proof_.findings.begin(), proof_.findings.end(),
                                      [](const Finding& finding) { return finding.kind == Kind::not_settled; }));
  asked_ = asked_ranges(naive_);
  for (const auto& range : asked_) {
    stride_.push_back(count_);
    count_ *= static_cast<std::size_t>(range.last) + 1;
  }
  REQUIRE(count_ <= most_players);
  REQUIRE(naive::PlayerSource(naive_, seed_).all() == count_);
  count("policies", "players", count_);
  for (std::size_t player = 0; player < count_; ++player)
    everybody_[player] = naive::can_be(naive_, player_of(asked_, steps(player)));
  count("policies", naive_.nobody.empty() ? "without lines on who cannot be" : "with some", 1);
  count("policies", "players that cannot be", count_ - everybody_.count());
  const bool nobody_left = std::any_of(proof_.findings.begin(), proof_.findings.end(),
                                       [](const Finding& finding) { return finding.kind == Kind::nobody_left; });
  same("it is told where nobody is left", nobody_left == everybody_.none());
  if (nobody_left) {
    same("and nothing else is", proof_.findings.size() == 1);
    count("policies", "of nobody");
    return false;
  }
  const auto& tables = policy_->tables.tables;
  for (const auto& one : tables) applies_.emplace_back(one.rows.size());
  claimed_.resize(policy_->sures.size());
  raw_claimed_.resize(policy_->sures.size());
  compiler::Reach own(policy_->tables), fewer(proof_.tables);
  for (std::size_t player = 0; player < count_; ++player) {
    outcomes_.push_back(naive::evaluate(naive_, player_of(asked_, steps(player))));
    const auto readings = readings_of(asked_, *policy_, steps(player));
    by_readings_[readings] = player;
    places_.push_back(places_of(fewer, readings));
    const auto places = places_of(own, readings);
    for (std::size_t i = 0; i < claimed_.size(); ++i) raw_claimed_[i][player] = inside(policy_->sures[i].when, places);
    for (std::size_t id = 0; id < tables.size(); ++id)
      for (std::size_t row = 0; row < tables[id].rows.size(); ++row)
        applies_[id][row][player] = everybody_[player] && inside(tables[id].rows[row].box, places);
  }
  for (std::size_t i = 0; i < claimed_.size(); ++i) claimed_[i] = raw_claimed_[i] & everybody_;
  for (std::size_t id = 0; id < tables.size(); ++id)
    for (std::size_t row = 0; row < tables[id].rows.size(); ++row)
      same("a row over the proof's fewer columns applies to the same players",
           applies_[id][row] == who(proof_.tables.tables[id].rows[row].box));
  return true;
}

std::int64_t Everybody::step(std::size_t player, std::size_t detail) const {
  return static_cast<std::int64_t>(player / stride_[detail]) % (asked_[detail].last + 1);
}
std::vector<std::int64_t> Everybody::steps(std::size_t player) const {
  std::vector<std::int64_t> all;
  for (std::size_t i = 0; i < asked_.size(); ++i) all.push_back(step(player, i));
  return all;
}
Players Everybody::who(const Box& box) const {
  Players all;
  for (std::size_t player = 0; player < count_; ++player)
    all[player] = everybody_[player] && inside(box, places_[player]);
  return all;
}

std::vector<const Finding*> Everybody::findings(const std::set<Kind>& kinds) const {
  std::vector<const Finding*> all;
  for (const auto& finding : proof_.findings)
    if (finding.table == table_ && kinds.count(finding.kind) != 0) all.push_back(&finding);
  return all;
}
std::vector<std::uint32_t> Everybody::rows_of(std::size_t player) const {
  std::vector<std::uint32_t> rows;
  for (std::uint32_t row = 0; row < table().rows.size(); ++row)
    if (applies_[table_][row][player]) rows.push_back(row);
  return rows;
}
bool Everybody::refused() const {
  const auto refuses = [&](const Finding& finding) {
    return finding.table == table_ && finding.refuses() && finding.kind != Kind::sure_broken &&
           finding.kind != Kind::no_pair && finding.kind != Kind::two_lines;
  };
  return std::any_of(proof_.findings.begin(), proof_.findings.end(), refuses);
}
bool Everybody::declared() const {
  return !of_property() && policy_->tables.presence[table().target] == compiler::Presence::always;
}

Players Everybody::speaks(compiler::TableId id, std::uint32_t row) const {
  const auto& table = policy_->tables.tables[id];
  auto all = applies_[id][row];
  for (std::uint32_t other = 0; other < table.rows.size(); ++other)
    if (std::binary_search(table.outranks.begin(), table.outranks.end(),
                           RulePair(table.rows[other].rule, table.rows[row].rule)))
      all &= ~applies_[id][other];
  return all;
}
Players Everybody::to_fitter(compiler::TableId id) const {
  const auto& rows = policy_->tables.tables[id].rows;
  Players all;
  for (std::uint32_t row = 0; row < rows.size(); ++row)
    if (rows[row].effect == compiler::Effect::refer) all |= speaks(id, row);
  return all;
}

const naive::PieceOutcome& Everybody::piece(std::size_t player) const {
  const auto piece = of_property() ? policy_->tables.piece_of[table().target] : table().target;
  return outcomes_[player].pieces.at(policy_->pieces[piece].name);
}
const naive::Standing& Everybody::standing(std::size_t player) const { return piece(player).standing; }
const naive::PropertyOutcome* Everybody::property(std::size_t player) const {
  const auto& all = piece(player).properties;
  const auto found = all.find(policy_->properties[table().target].name);
  return found == all.end() ? nullptr : &found->second;
}
bool Everybody::is_referred(std::size_t player) const {
  const auto& named = policy_->properties[table().target];
  const auto& of_piece = policy_->pieces[policy_->tables.piece_of[table().target]].name;
  const auto& pieces = naive_.pieces;
  const auto piece =
      std::find_if(pieces.begin(), pieces.end(), [&](const auto& each) { return each.name == of_piece; });
  const auto property = std::find_if(piece->properties.begin(), piece->properties.end(),
                                     [&](const auto& each) { return each.name == named.name; });
  const auto said = naive::sayings(naive_, player_of(asked_, steps(player))).at(&*property);
  return std::any_of(said.begin(), said.end(), [](const auto& one) { return one.kind == naive::Saying::Kind::refer; });
}
Players Everybody::standing(naive::Standing standing_of) const {
  Players all;
  for (std::size_t player = 0; player < count_; ++player) all[player] = standing(player) == standing_of;
  return all & everybody_;
}
Players Everybody::present() const { return standing(naive::Standing::needed) | standing(naive::Standing::suggested); }
Players Everybody::told(naive::PropertyOutcome::Kind kind) const {
  Players all;
  for (std::size_t player = 0; player < count_; ++player) {
    const auto* outcome = property(player);
    all[player] = outcome && outcome->kind == kind;
  }
  return all & everybody_;
}

void Everybody::same(const std::string& what, bool is, const std::string& where) {
  count("comparisons", "made");
  if (!is) tally_.differs(what, fmt::format("table {}, {}", table_, where), seed_, text_);
}

void try_policies(const std::function<void(std::uint64_t seed, Tally& tally)>& check) {
  const tests::Seeds seeds(1, tests::whole() ? 8000 : 800);
  Tally tally;
  for (const auto seed : seeds) {
    INFO("seed " << seed);
    check(seed, tally);
  }
  std::cout << tally.told() << std::flush;
  CHECK_FALSE(tally.differs());
  CHECK(tally.counted("policies", "that do not compile") * 50 <= seeds.count());
}

}  // namespace lacestay::judges
