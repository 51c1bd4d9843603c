// Players just under, at and just over every edge of a policy where an answer changes, for an owner to read and keep.
//
// Which edges those are is no guess: for each edge the policy writes down, the exact difference
// (compiler/compare/difference.hpp) between the policy and one with that edge moved a step says for whom an answer
// changes. One such player is taken, and moved to just under, at and just over the edge with everything else as it was.
// On a worked-out detail, one of the details it rests on is moved. Few starting players serve all edges of a detail, so
// that neighbours can be compared.
#pragma once

#include <set>
#include <string>
#include <vector>

#include "runtime/rehearse/slip_run.hpp"

namespace lacestay::runtime {

struct EdgePlayer {
  std::string name;  // "weight_just_under_60_kg"
  std::string text;  // "Weight just under 60 kg"
  compiler::Readings player;
  std::set<TableId> answers;  // that change from one to the next here, or with a slip on the edge
};

struct EdgeGroup {
  std::string detail;
  std::vector<EdgePlayer> players;  // ascending by the edges
};

struct EdgePlayers {
  std::vector<EdgeGroup> groups;     // in the policy's order of details
  std::size_t edges = 0;             // that are served
  std::size_t noticed = 0, all = 0;  // slips on edges that change an answer
};

// `run` is run_edge_slips' for the engine. Players are started from `people` as far as they will do: from people an
// owner knows, the others read better too. Cost: small beside the run's.
[[nodiscard]] EdgePlayers edge_players(const Engine& engine, const SlipRun& run,
                                       const std::vector<compiler::Readings>& people);

// As a players file, with today's answers. `path` is what it says its policy is called.
[[nodiscard]] std::string text_of(const Engine& engine, const EdgePlayers& found, const std::string& path);

}  // namespace lacestay::runtime
