// The engine beside the naive evaluator: both answer the same players of the same policies, and every answer is
// compared. Shared by the test of the engine and by the copies of it that carry a planted fault.
#pragma once

#include <cstdint>
#include <map>
#include <string>

namespace lacestay::agreement {

struct Plan {
  std::uint64_t first_seed = 1, policies = 0;
  std::size_t players = 0;      // drawn, on and beside edges for the most part
  std::int64_t exhaustive = 0;  // else every player, for policies with at most this many
  bool walked = false;          // every table walked as a diagram, none looked up by index
  bool kinds = false;           // with worked-out numbers that are given a unit
};

struct Tally {
  std::size_t policies = 0, refused = 0, pairs = 0, answers = 0;
  std::map<std::string, std::size_t> constructs;  // how often the generated policies wrote each
  std::map<std::string, std::size_t> laws;        // how often an outcome came about by each law
  std::string first_difference;                   // a policy and a player to paste; empty where all agree
};

// Stops at the first difference.
void run(const Plan& plan, Tally& tally);

}  // namespace lacestay::agreement
