// Mutation testing of a policy: small slips are planted, and sample players are its tests. Which slips they notice, and
// which players would notice the rest.
//
// Each slip is made on the policy's text and compiled. What the compiler or the proof refuses, the owner is told of
// anyway. What the exact difference (compiler/compare/difference.hpp) shows to change no player's answer is set aside.
// All others can be noticed; a slip is noticed where a sample player no longer leaves with what the file says.
//
// A slip on the shelf (what is accepted, and what is protection) may change no answer at all, and yet what is handed
// over for it. Such a one the proof refuses where a claim then breaks; else it is noticed by what sample players leave
// with from the stock, and by nothing where no stock is given.
#pragma once

#include <functional>
#include <memory>
#include <string>
#include <vector>

#include "compiler/compare/difference.hpp"
#include "runtime/rehearse/rehearsal.hpp"
#include "runtime/rehearse/slips.hpp"

namespace lacestay::runtime {

struct SlipResult {
  enum class Fate : std::uint8_t { not_compiled, refused, changes_nothing, noticed, not_noticed, not_settled };
  Fate fate = Fate::not_settled;
  std::string noticed_by;     // the first sample player who does
  bool on_the_shelf = false;  // no answer changes, but what may be handed over for it
  // not_noticed, and some answer changes: the policy with the slip, and whose answers change.
  std::shared_ptr<const Engine> engine;
  std::vector<compiler::MatchedAnswer> changes;
  std::vector<compiler::Readings> players;  // some who are answered otherwise
  // Of the same: the values the asked details of changed players can have; by box, by asked detail.
  std::vector<std::vector<compiler::ValueRange>> regions;
};

struct SlipRun {
  std::vector<Slip> slips;
  std::vector<SlipResult> results;  // by slip

  [[nodiscard]] std::size_t count(SlipResult::Fate fate) const;
  [[nodiscard]] std::vector<const SlipResult*> unnoticed() const;  // but for those on the shelf, which have no players
  bool with_stock = false;
};

// The stock that sample players leave with items from; read anew for a policy with a slip, which may ask other columns.
struct SlipShelf {
  std::function<Stock(const compiler::Policy& policy)> stock;  // called by several threads at once
  std::int64_t today = 0;
};

// Runs every slip on all cores. `tell` hears how many are done, and of how many, from one thread at a time. Cost: some
// 20 ms a slip and core on a policy of a shop's size. `shelf` may be absent.
using TellProgress = std::function<void(std::size_t done, std::size_t all)>;
[[nodiscard]] SlipRun run_slips(const Engine& engine, const std::vector<SamplePlayer>& players,
                                const TellProgress& tell, const SlipShelf* shelf = nullptr);

// Runs the slips on edges alone, before nobody, and without a proof: whether the owner is told of one otherwise is not
// asked here. An edge where some answer changes has slips that are not noticed, with players.
[[nodiscard]] SlipRun run_edge_slips(const Engine& engine, const TellProgress& tell);

// By which of its changed answers a player is answered otherwise under a slip that was not noticed.
[[nodiscard]] std::vector<compiler::MatchedAnswer> notices(const Engine& engine, const SlipResult& slip,
                                                           const compiler::Readings& player);

// Few players who together notice all of these slips, and how few could do at least: slips no one player can notice
// together each need their own.
struct Noticing {
  std::vector<compiler::Readings> players;
  std::size_t at_least = 0;
};
[[nodiscard]] Noticing players_noticing(const Engine& engine, const std::vector<const SlipResult*>& slips);

}  // namespace lacestay::runtime
